// Help for the commands around the record's proof: verify, check-page, checkpoint, compare, countersign, witness-key,
// key, go-on-after-loss. See help.h.
#pragma once

#include <string_view>

namespace crimpgate::cli {

// Empty for any other command.
std::string_view record_help_page(std::string_view command);

}  // namespace crimpgate::cli
