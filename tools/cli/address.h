// Where a station is, as --station says it.
#pragma once

#include <cstdint>
#include <string>
#include <utility>

#include "tools/cli/command_line.h"

namespace crimpgate::cli {

// Host and port of --station; "cli.bad_address" (found).
Result<std::pair<std::string, std::uint16_t>> station_address(const CommandLine& line);

}  // namespace crimpgate::cli
