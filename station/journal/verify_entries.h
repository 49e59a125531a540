// The first pass of verify(): every entry from its raw bytes, the tree, the signatures. Internal to station/journal.
#pragma once

#include <functional>

#include "station/journal/database.h"
#include "station/journal/journal.h"

namespace crimpgate {

// Fills `result` up to the first damage. Throws SQLite::Exception when it cannot be read.
void verify_entries(Database& database, const std::string& station, Verification& result);

// Signed checkpoints from outside (files, other people's copies) against a journal that was found sound.
void verify_outside(Database& database, const VerifyOptions& options, Verification& result);

}  // namespace crimpgate
