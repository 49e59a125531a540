// The signed code on a tag as the way to one assembly's record: behind /t/ it stands as behind /C/, base32 in letters
// of either kind. Its 64 bytes of signature are what nobody guesses, so whoever can say them has read the tag.
//
// A signature alone opens nothing: there must be a link that a lead made for the tags to open, too, and that covers
// that assembly now (link_of_tag in station/journal/customer_view.h). Pure.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "station/journal/checkpoints.h"

namespace crimpgate {

// By length and letters: never so for a link's token, which has 26 characters, 64 at most with its hyphens.
bool looks_like_tag_text(std::string_view text);

// The serial of a statement that one of those keys signed, the one in force or an earlier one; nothing for anything
// else, without saying why.
std::optional<std::string> serial_of_tag(std::string_view text, const std::vector<StationKey>& keys);

}  // namespace crimpgate
