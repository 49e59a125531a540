// How the desk comes by the bench's state without reading the whole journal, and by an assembly that was forgotten.
//
// The state is kept in a file beside the journal ("<journal>.state"), at the end of a shift and when the station stops:
//   {"program": state_program(), "root": of the tree of the first N entries, "seq": N, "sha256": of the second line}
//   the state
// It is used only when the journal's first N entries still have that root and this program wrote the file; otherwise
// the journal is folded from its first entry. (The last entry's own hash would not do: it says nothing of those
// before.) Deleting the file is harmless.
#pragma once

#include <filesystem>

#include "station/bench/state.h"
#include "station/journal/journal.h"

namespace crimpgate {

std::filesystem::path kept_state_file(const Journal& journal);

// "state.not_kept" with why; nothing depends on it.
Result<void> keep_state(const Journal& journal, const BenchState& state);
// The state as it was kept; refused ("state.*") when there is none that may be used.
Result<BenchState> kept_state(const Journal& journal);

// Gives the state's assemblies the journal to recall from. What cannot be read throws std::runtime_error: with a
// damaged disk under it the station must not go on.
void recall_from(const Journal& journal, Assemblies& assemblies);

// The state that the journal leads to: from the kept one if it may be used, else from the first entry.
Result<BenchState> folded(const Journal& journal, bool use_kept = true);

}  // namespace crimpgate
