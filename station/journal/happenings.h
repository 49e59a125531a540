// Entries of a kind, out of the view of what happens beside the work (view_tables.cpp): few, and found by an index.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <string_view>
#include <vector>

#include "station/journal/journal.h"

namespace crimpgate {

// All of these types up to entry `upto_seq`, in order. Types of the everyday work (readings, ends, tags ...) are not in
// that view and are never found. A Result because the disk may fail.
Result<std::vector<Entry>> happenings_of(const Journal& journal, std::initializer_list<std::string_view> types,
                                         std::int64_t upto_seq);

}  // namespace crimpgate
