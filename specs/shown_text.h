// Outside text made fit to stand in a message: short, one line, valid UTF-8.
//
// What a file or a gauge sent may hold control characters, half a character or a megabyte. A message quotes it so that
// a person can find it; every byte that does not print is written as \xNN, and long text ends in "...".
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace crimpgate {

// The length in bytes of the UTF-8 character that starts text, or 0 when there is none (RFC 3629: no overlong forms,
// no surrogates, nothing above U+10FFFF). Empty text gives 0.
std::size_t utf8_character(std::string_view text);

// True for U+0000 to U+001F, U+007F and U+0080 to U+009F, given the bytes of one valid character.
bool is_control(std::string_view character);

// True for one valid character that prints nothing yet makes two texts differ, or that turns the text around it: the
// zero-width and bidirectional controls of Unicode, line and paragraph separators, soft hyphen, byte order mark.
bool is_invisible(std::string_view character);

// At most `longest` characters of text, the rest told by "...".
std::string shown_text(std::string_view text, std::size_t longest = 48);

}  // namespace crimpgate
