// A PIN or a passphrase, from a file or from the terminal without showing it; never from the command line, where
// everybody on the machine could read it.
#pragma once

#include <string>

#include "specs/message.h"

namespace crimpgate::cli {

// The first line of the file. "cli.no_file", "cli.pin_file_open_to_all" (others may read it).
Result<std::string> pin_from_file(const std::string& file);

// Asks at the terminal, whatever standard input is. "cli.no_terminal".
Result<std::string> pin_from_terminal(const std::string& person);

}  // namespace crimpgate::cli
