// The evidence of some assemblies from a journal (station/proof/evidence.h): the entries that speak of them, what these
// stand on (station/journal/evidence_entries.h says which, R12), each with its proof under one checkpoint.
//
// Needs nothing but a journal opened for reading, so that it can be made on any thread.
#pragma once

#include <string>
#include <vector>

#include "station/journal/checkpoints.h"
#include "station/proof/evidence.h"

namespace crimpgate {

struct GatheredEvidence {
    Evidence evidence;           // write_evidence() gives the file
    std::vector<Entry> entries;  // the same entries, read
};

// What evidence_entries() refuses, and "evidence.no_key" in a journal that never had a key.
Result<GatheredEvidence> evidence_of(const Journal& journal, const std::vector<std::string>& serials,
                                     const std::string& customer, const KeptCheckpoint& checkpoint);

}  // namespace crimpgate
