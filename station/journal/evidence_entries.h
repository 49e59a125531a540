// Which entries an evidence file holds: all that speak of some assemblies, and what they stand on.
//
// By a closed list of types, so that a new type stays inside until somebody lets it out. Never among them: people and
// the hashes of their secrets, sessions, looks through links, returns, recalls, samples' plans; and no entry that names
// another customer (R12), whatever its type.
//
// What an assembly stands on: its order (and a lead's answer for it), the shifts that it was worked in; for each
// reading the gauge's registration and uncertainty in force then, its good proof, the reading and the reference of
// that; the die set confirmed and the set-up piece judged before its crimps; the station's keys.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "station/journal/journal.h"

namespace crimpgate {

// In the order of their numbers, none beyond `upto_seq`. The assemblies must all be of that customer: refused with
// "certificate.other_customer" (serial) otherwise, and with "trace.no_serial" for one that is not there.
Result<std::vector<Entry>> evidence_entries(const Journal& journal, const std::vector<std::string>& serials,
                                            const std::string& customer, std::int64_t upto_seq);

// Whether an entry of that type may ever be in an evidence file.
bool may_be_evidence(std::string_view type);
// Whether the entry names a customer other than that one, in any of its members.
bool names_another_customer(const Entry& entry, const std::string& customer);

// What a certificate is about.
struct CertificateSubject {
    std::string kind;  // "serial", "order", "delivery"
    std::string id;
    std::string customer;
    std::vector<std::string> serials;                         // without what was scrapped
    std::string note_number, date;                            // of a delivery
    std::optional<std::int64_t> ordered;                      // of an order: its quantity
    std::vector<std::pair<std::string, std::string>> in_way;  // serial and stage of what has not passed
};

// Its assemblies in the order of starting. "trace.no_serial", "certificate.no_order" (order), "delivery.no_delivery",
// "certificate.nothing" (id: no assembly in it), "certificate.scrapped" (serial).
Result<CertificateSubject> certificate_subject(const Journal& journal, const std::string& kind, const std::string& id);

}  // namespace crimpgate
