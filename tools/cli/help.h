// The manual's pages.
#pragma once

#include <string_view>

namespace crimpgate::cli {

// Of a command, or of the whole program for ""; empty for a command that there is not.
std::string_view help_page(std::string_view command);

// The page's SYNOPSIS lines.
std::string_view usage_of(std::string_view command);

}  // namespace crimpgate::cli
