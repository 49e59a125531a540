// Which assemblies a recall finds; internal to station/journal.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>

#include "station/journal/database.h"
#include "station/journal/recall.h"

namespace crimpgate {

// Fills temp.recall_list(n, serial) in the order of starting. Throws SQLite::Exception.
Result<void> choose_recalled(Database& database, const RecallAsked& asked);

// The first and the last entry number between which every entry of that time stands, and perhaps others: times run
// with the numbers but where a clock was put back, and there the bounds are wider. {1, 0} for none.
std::pair<std::int64_t, std::int64_t> entries_between(Database& database, std::optional<std::int64_t> from_ms,
                                                      std::optional<std::int64_t> to_ms);

// Fills temp.recall_near(serial) with what was made around that serial, itself included. count 0: between the same
// set-up pieces or die confirmations on its crimper, of each of its ends.
void choose_around(Database& database, const std::string& serial, std::int64_t count);

}  // namespace crimpgate
