// Questions about keys, checkpoints and countersignatures to the views. Everything here is as the journal says it;
// verify() is what doubts it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "station/journal/journal.h"

namespace crimpgate {

struct KeptCountersignature {
    std::int64_t seq = 0;
    std::string key;   // verifier key of the witness
    std::string line;  // without its line end
    std::int64_t signed_utc_s = 0;
};

struct KeptCheckpoint {
    std::int64_t seq = 0;  // of the entry checkpoint.signed
    std::string time;
    std::string who;
    std::int64_t size = 0;
    std::string root;  // base64
    std::string note;  // as signed
    std::string cause;
    std::vector<KeptCountersignature> countersignatures;  // oldest first

    // The note with the countersignatures' lines behind it: what is handed out.
    std::string whole_note() const;
};

struct StationKey {
    std::int64_t seq = 0;
    std::string name;
    std::string key;        // verifier key
    std::string tag_key;    // base64
    std::string statement;  // the old key's note; empty for a key that was made
};

struct KnownWitness {
    std::string key;  // verifier key
    std::string holder;
};

// The last one signed; nothing in a journal without any.
Result<std::optional<KeptCheckpoint>> last_checkpoint(const Journal& journal);
// The first one of at least that size, so that entry number `size` is under it.
Result<std::optional<KeptCheckpoint>> checkpoint_covering(const Journal& journal, std::int64_t size);
// The one of exactly that size (the last, should there be two).
Result<std::optional<KeptCheckpoint>> checkpoint_of_size(const Journal& journal, std::int64_t size);
// Newest first.
Result<std::vector<KeptCheckpoint>> checkpoints(const Journal& journal, std::int64_t limit);

// Every key that the station had, oldest first.
Result<std::vector<StationKey>> station_keys(const Journal& journal);
// Witnesses that are known and not forgotten.
Result<std::vector<KnownWitness>> witnesses(const Journal& journal);

// The number of the last entry that is not itself about a checkpoint, 0 when there is none: whether there is anything
// new to sign.
Result<std::int64_t> last_seq_to_sign(const Journal& journal);

}  // namespace crimpgate
