#include "station/daemon/evidence_source.h"

#include "station/journal/evidence_entries.h"

namespace crimpgate {

Result<GatheredEvidence> evidence_of(const Journal& journal, const std::vector<std::string>& serials,
                                     const std::string& customer, const KeptCheckpoint& checkpoint) {
    GatheredEvidence out;
    auto& evidence = out.evidence;
    const auto keys = station_keys(journal);
    if (!keys) return refuse(keys.error());
    // The key that signed it is the last one before it; those before lead to it by their hand-overs.
    for (const auto& key : *keys) {
        if (key.seq > checkpoint.seq) break;
        evidence.name = key.name;
        evidence.key = key.key;
        if (!key.statement.empty()) evidence.handovers.push_back(key.statement);
    }
    if (evidence.key.empty()) return refuse(message("evidence.no_key"));
    evidence.serials = serials;
    evidence.checkpoint = checkpoint.whole_note();

    auto entries = evidence_entries(journal, serials, customer, checkpoint.size);
    if (!entries) return refuse(entries.error());
    out.entries = std::move(*entries);
    evidence.entries.reserve(out.entries.size());
    for (const auto& entry : out.entries) {
        auto proof = journal.inclusion(entry.seq, checkpoint.size);
        if (!proof) return refuse(proof.error());
        evidence.entries.push_back({entry.seq, entry.bytes, std::move(*proof)});
    }
    return out;
}

}  // namespace crimpgate
