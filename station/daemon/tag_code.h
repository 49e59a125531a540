// The tag's two-dimensional code as a signed statement (station/proof/tag_statement.h): what a phone without a network
// can check.
#pragma once

#include <string>

#include "reports/tag.h"
#include "station/bench/state.h"
#include "station/proof/signing_key.h"

namespace crimpgate {

// Order and station are cut to this many bytes, whole characters, the last one of them an ellipsis: a code of any
// length would fit no label. Both stand on the tag in full.
inline constexpr std::size_t longest_in_tag_code = 16;
std::string cut_for_tag_code(const std::string& text);

// Least margin of all that was measured at both ends, in whole micrometres, rounded down; 0 when nothing was.
std::int64_t worst_margin_um(const AssemblyState& assembly);

// Fills in `code_payload` and `code_fallback`: the shop's link and, where it has no room, the bare statement; without a
// link the statement alone. `tag` is otherwise complete.
void sign_tag_code(TagData& tag, const AssemblyState& assembly, const SigningKey& tag_key, const std::string& link);

}  // namespace crimpgate
