// Measuring results as QIF 3.0 (ISO 23952:2020, "Results"), for customers whose metrology software reads it.
//
// Plain values in, text out: CertificateData is what certificates and the customers' pages say, so all three say the
// same. It judges nothing; statuses are the record's verdicts (R5): PASS, FAIL, and INDETERMINATE (of a whole assembly:
// UNKNOWN) for what lies between a guard and its limit. What was let through on concession stays FAIL, with the
// concession beside it as an event, as a designator and in words.
//
// Lengths in millimetres, pressures in bar: exact decimals of the record's whole nanometres and kilopascals, a reading
// with the places of its gauge. Times are UTC. The time of the file is that of the last thing that it tells, so the
// same record gives the same bytes, whenever it is asked for. Where the standard has no element for something
// (resolution, guard, lots, who measured) it stands as an attribute, which the standard has for that.
//
// Nothing in it is signed, and it claims nothing of the kind: a proof is the evidence file's.
#pragma once

#include <functional>
#include <string>
#include <string_view>

#include "reports/certificate.h"

namespace crimpgate {

struct QifMaker {
    // A UUID for a thing, always the same for the same words.
    std::function<std::string(const std::string& kind, const std::string& id)> uuid;
    // A sentence of the catalogue in that language ("en", "de").
    std::function<std::string(std::string_view language, const Message& message)> say;
};

// Of `data`: items, assemblies, gauges, proofs, shop, address, station, customer, and number where it is a
// certificate's. At least one assembly.
std::string qif_xml(const CertificateData& data, const QifMaker& maker);

}  // namespace crimpgate
