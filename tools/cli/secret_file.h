// Files that hold a secret: made for their user alone, and read only when nobody else could.
#pragma once

#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate::cli {

// Never over one that is there ("secret.exists"); mode 0600 from the start, on the disk before it returns
// ("cli.not_written").
Result<void> write_secret(const std::string& file, std::string_view text);

// "cli.no_file", or "secret.open_to_all" (file, mode) when others than its user may read or write it.
Result<std::string> read_secret(const std::string& file);

}  // namespace crimpgate::cli
