// The station's secret as letters on paper, and back from what somebody types.
//
// 15 groups of five characters of Crockford's base 32 (0-9, A-Z without I, L, O, U; read in either case, O as 0, I and
// L as 1). In each group four characters carry 20 bits and the fifth checks them and the group's number: a wrong
// character, two that changed places, or a group at another's place is always found and named by its group. Groups 1 to
// 13 are the 32 bytes and four zero bits; 14 and 15 are the first 40 bits of
// SHA-256("crimpgate-recovery/1\n" || the 32 bytes), for what slips through more than one mistake in a group.
//
// The check of a group over GF(32) with x^5 + x^2 + 1 (primitive; a = x): a d1 + a^2 d2 + a^3 d3 + a^4 d4 + a^6 number.
// Pure; texts given out are secrets.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/proof/signing_key.h"

namespace crimpgate {

inline constexpr std::size_t recovery_groups = 15;

// The groups in order, in capitals.
std::vector<std::string> recovery_text(const Seed& seed);

// Whether what was typed can be group `number` (1 to 15): "recovery.length" (group, found), "recovery.character"
// (group, place, found), "recovery.group" (group).
Result<void> check_recovery_group(std::size_t number, std::string_view typed);

// From all that was typed, groups apart by blanks, line ends or hyphens: every group that is wrong, or "recovery.count"
// (found, wanted), or "recovery.whole" when all groups are good in themselves and not together.
tl::expected<Seed, std::vector<Message>> read_recovery_text(std::string_view typed);

// The groups as they were typed.
std::vector<std::string> groups_in(std::string_view typed);

}  // namespace crimpgate
