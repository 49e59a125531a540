// What a certificate says, from the very entries that are its evidence: nothing stands on the paper that its attached
// record does not hold, but people's names and the shop's address.
//
// The readings that count are those that the bench counts: an assembly's entries are folded by the bench's own rules
// (station/bench/apply.cpp). Verdicts, bands, guards and spec rows are the entries' (R5, R6), whatever holds today.
// Pure.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "reports/certificate.h"
#include "station/journal/entry.h"

namespace crimpgate {

struct CertificateGathering {
    std::vector<std::string> serials;
    std::function<std::string(const std::string& person)> name_of;  // "Mara Olsen (MO)"
};

// Items, assemblies, gauges, proofs and applications; all else of the data is the caller's to fill in. Refused (R1):
// "certificate.not_passed" (serial) where the entries do not hold that it passed and is nowhere on hold,
// "certificate.entry" (seq, why) for an entry that cannot be read.
Result<CertificateData> certificate_data(const std::vector<Entry>& entries, const CertificateGathering& gathering);

// Whether that person measured any of it: then they are not independent of production.
bool measured_any(const std::vector<Entry>& entries, const std::string& person);

}  // namespace crimpgate
