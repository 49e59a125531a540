// One assembly's part of the journal: what the bench needs in order to recall one that it forgot.
#pragma once

#include <string>
#include <vector>

#include "station/journal/journal.h"

namespace crimpgate {

// Every entry up to that one which speaks of the assembly, in order; none for a serial that was never given.
Result<std::vector<Entry>> entries_of(const Journal& journal, const std::string& serial, std::int64_t upto_seq);

// The how many-th of its order the assembly is that was started with that entry.
Result<std::int64_t> place_in_order(const Journal& journal, const std::string& order, std::int64_t started_seq);

// Serials of a shift in the order of starting, up to that entry.
Result<std::vector<std::string>> serials_of_shift(const Journal& journal, const std::string& shift,
                                                  std::int64_t upto_seq);

}  // namespace crimpgate
