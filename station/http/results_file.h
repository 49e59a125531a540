// Measuring results as a file of QIF (reports/qif.h), from the entries that a certificate would be made of.
//
// The same record gives the same bytes: its UUIDs are of version 8 (RFC 9562 section 5.8), SHA-256 over the name of the
// station's first key and what they are of, so they outlive a hand-over; no clock is asked.
#pragma once

#include <functional>
#include <string>

#include <boost/json/object.hpp>

#include "station/journal/journal.h"

namespace crimpgate {

struct ResultsMaker {
    std::string shop, address;
    std::function<std::string(const std::string& person)> name_of;  // as certificates print it
};

// Of one assembly. What certificate_data() and evidence_entries() refuse; "trace_page.no_results" (serial) where it is
// in question or withdrawn (R1: then no reading stands).
Result<std::string> results_of(const Journal& journal, const std::string& serial, const std::string& customer,
                               const ResultsMaker& maker);

// Of all assemblies of a certificate, from the evidence that was kept with it, so it says what the paper says.
// Refused as results_of() is where one of them is in question now, and as read_evidence() and read_entry() do.
Result<std::string> results_of_certificate(const Journal& journal, const std::string& evidence,
                                           const std::string& certificate, const std::string& customer,
                                           std::int64_t issued_ms, const ResultsMaker& maker);

// A UUID for a thing of a kind in the space of a station: always the same, and no other station's.
std::string named_uuid(const std::string& space, const std::string& kind, const std::string& id);

// The space: the station's first key, or its name where it never had one.
Result<std::string> uuid_space(const Journal& journal);

}  // namespace crimpgate
