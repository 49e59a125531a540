// Whole files, read for a check.
#pragma once

#include <string>

#include "specs/message.h"

namespace crimpgate::cli {

// At most 64 MiB, far beyond what any table may have. "cli.no_file" with the reason.
Result<std::string> read_file(const std::string& file);

}  // namespace crimpgate::cli
