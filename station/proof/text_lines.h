// Texts that are lines, as notes and proofs are: taken apart without forgiving anything.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

namespace crimpgate {

// The lines of a text, each without its end; nothing when the last one has no end.
std::optional<std::vector<std::string_view>> lines_of(std::string_view text);

// A number from 0 to 2^53 - 1 in its one spelling: ASCII digits, no leading zero, no sign.
std::optional<std::int64_t> strict_number(std::string_view text);

}  // namespace crimpgate
