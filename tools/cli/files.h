// Whole files, read for a check or written.
#pragma once

#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate::cli {

// At most 64 MiB, far beyond what any table may have. "cli.no_file" with the reason.
Result<std::string> read_file(const std::string& file);

// Under another name first, so that whoever looks meets the old file or the whole new one. "cli.not_written" with the
// reason.
Result<void> write_file(const std::string& file, std::string_view bytes);

}  // namespace crimpgate::cli
