// What looks as if nobody had measured or looked: all places of an end exactly alike, readings that follow each other
// faster than a hand can move, questions confirmed faster than what they ask about can be done and seen, readings
// voided more often than others void them. By person, each against all others together: binomial, one-sided, p times
// the number of comparisons made (Bonferroni). It points to somebody to talk to; it proves nothing: a stiff fitting and
// a coarse caliper give equal readings too.
#pragma once

#include <string>
#include <vector>

#include "reports/audit/work.h"

namespace crimpgate::audit {

inline constexpr std::int64_t least_places_alike = 3;
inline constexpr std::int64_t faster_than_a_hand_ms = 1'000;  // between two places of an end (our own choice)
// Between two confirmations of one person, of whatever assembly: to read the next question, look or push a pin through
// and press takes longer (common practice, no source). The bench asks one by one, so nobody can answer two at once.
inline constexpr std::int64_t faster_than_a_look_ms = 2'000;
inline constexpr double alike_error = 0.01;

enum class Alike : std::uint8_t { equal_places, too_fast, confirmed_fast, voids };

struct AlikeRow {
    Alike what = Alike::equal_places;
    std::string person;
    std::int64_t count = 0, of = 0, others_count = 0, others_of = 0;
    double p_adjusted = 1;
    bool stands_out = false;
};
std::vector<AlikeRow> alike_rows(const Work& work);

}  // namespace crimpgate::audit
