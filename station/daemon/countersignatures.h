// What somebody brings as a countersignature, held against the witnesses that the shop knows and the checkpoint that it
// should be of. Nothing is written; the journal is only read.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "station/entries/record_entries.h"
#include "station/journal/checkpoints.h"

namespace crimpgate {

// `brought`: one signature line, with `size` saying of which checkpoint, or a whole countersigned note. Every good
// signature by a known witness that the journal does not have yet, at least one; or what is wrong:
// "note.malformed" (why), "checkpoint.malformed" (why), "countersignature.size_needed", "countersignature.other_size"
// (size, found), "countersignature.no_checkpoint" (size), "countersignature.other_note" (size: the note's text is not
// the one that was signed), "countersignature.own" (name: it is the station's own), "countersignature.unknown" (name),
// "countersignature.other_key" (name: that witness's name, not its key), "countersignature.bad" (name, size),
// "countersignature.twice" (name, size), "countersignature.none" (size: the note bears none but the station's).
Result<std::vector<entries::CheckpointCountersigned>> countersignatures_in(const Journal& journal,
                                                                           const std::string& brought,
                                                                           std::optional<std::int64_t> size);

}  // namespace crimpgate
