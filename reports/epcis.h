// The events of some assemblies as EPCIS 2.0 (GS1 EPCIS and CBV 2.0, JSON-LD binding): made of hose and fittings,
// inspected, sent.
//
// Plain facts in, text out. Names are URIs that the caller gives; no GS1 key is among them, since only who holds a
// company prefix may make one, and the standard lets private URIs stand in their place. Numbers are exact decimals of
// the record's whole nanometres and kilopascals; times are UTC, with the offset that the shop's wall clock had then
// beside them, as the standard asks. Own members stand under the prefix "crimpgate".
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "specs/length.h"
#include "specs/pressure.h"

namespace crimpgate {

// Crimp diameters that count, of one end.
struct EpcisEnd {
    std::string end;  // "a", "b"
    Length least, most;
    std::int64_t mean_nm = 0;  // rounded
    std::int64_t at_ms = 0;    // of the last of them
    std::string gauge;
    bool operator==(const EpcisEnd&) const = default;
};

struct EpcisAssembly {
    std::string serial, order, customer_part;
    std::string hose_lot, fitting_lots[2];
    std::string specs[2];  // "NH-2SC-08 rev 3"; one where both ends are alike
    Length cut_length;
    Pressure working_pressure;
    std::int64_t started_ms = 0;
    std::optional<std::int64_t> passed_ms;
    std::string state;  // as customer_view.h has it
    std::string concession;
    std::vector<EpcisEnd> ends;
    std::optional<Pressure> proof_pressure;  // of the last good proof test
    std::int64_t entry = 0;                  // its place in the journal
    bool operator==(const EpcisAssembly&) const = default;
};

struct EpcisDelivery {
    std::string delivery, note_number;
    std::int64_t sent_ms = 0;
    std::vector<std::string> serials;
    bool operator==(const EpcisDelivery&) const = default;
};

struct EpcisFacts {
    std::vector<EpcisAssembly> assemblies;
    std::vector<EpcisDelivery> deliveries;
};

struct EpcisMaker {
    std::string station;
    std::int64_t created_ms = 0;
    // The name of a thing as a URI; `kind`: "serial", "order", "lot", "gauge", "spec", "delivery", "station", "what".
    std::function<std::string(const std::string& kind, const std::string& id)> uri;
    std::function<std::int64_t(std::int64_t utc_ms)> offset_minutes;  // of the shop's clock at that time
};

// One line.
std::string epcis_json(const EpcisFacts& facts, const EpcisMaker& maker);

}  // namespace crimpgate
