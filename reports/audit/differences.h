// What differs from the rest by more than chance would make it: a hose lot, a gauge in one week, a day, a die set that
// wears, a setting that was bumped in the middle of a set-up.
//
// Stepwise: of all comparisons the most unlikely one is taken, its effect taken off the ends, and the search begun
// again, so that a fault is named once and does not hide another. The first comparison that chance explains ends it.
// Every comparison's p is multiplied by the number of comparisons (Bonferroni), so that where nothing is wrong the
// chance that anything at all is named is no more than family_error, for independent normal errors. What makes them so:
// the observation is the mounting of a die set and not the set-up piece (compared.h says why), and spreads are taken to
// the power at which they are nearest to normal (side_searches.cpp). Where that is only nearly so, family_error being
// half of what the audit states (stated_error) is the margin. tests/audit/stands_out_test.cpp measures it ("[.rate]").
//
// Comparisons of the level, nanometres off the band's middle; an end that lies far from those before and from those
// behind it in its set-up (a crimp that stopped short) is no level, and is counted where it did not conform:
// - between mountings: the weighted mean of the mountings with a level of a factor against all others. Mountings weigh
//   1 / (tau^2 + sigma^2 / ends), sigma within set-ups and tau between mountings; the spread between mountings decides
//   (t).
// - within set-ups: ends of one level against the other ends of the same set-ups (gauge, person, end), weighted by
//   sigma^2 (1/n + 1/m); where set-ups disagree more than sigma allows, the error grows by that much (Birge's ratio),
//   and where chance would make them disagree so in less than one case of twenty, it is known no better than from them.
// - a die set's trend: its mountings' means level until a day and on a straight line from there, its own mean apart; a
//   wear may begin on the first day or at any of eleven points in time behind it.
// - a jump within a set-up: the largest standardized difference between the ends before and after any point, p times
//   the number of points that were tried; in a set-up that scatters more than others against its own scatter.
// Of the spread within ends, as standard deviation: between mountings. Of the share that does not conform: binomial
// against the share of all others, counts divided by the overdispersion between mountings; without the ends whose level
// was found to differ, since their verdicts follow from that. Of proofs: a gauge's errors in one week against its
// others, a day one observation.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "reports/audit/compared.h"

namespace crimpgate::audit {

inline constexpr double stated_error = 0.01;
inline constexpr double family_error = stated_error / 2;
// Below this many mountings their spread is not known well enough to compare anything with it.
inline constexpr std::size_t least_units = 8;

enum class Response : std::uint8_t { level, spread, not_conforming, proof_error };
enum class Pattern : std::uint8_t { differs, differs_within, trend, jump };

struct Difference {
    Response response = Response::level;
    Pattern pattern = Pattern::differs;
    Factor factor = Factor::day;
    std::string level;
    std::int64_t from_ms = 0, to_ms = 0;
    std::int64_t seq = 0;  // of the set-up piece (set-up), of the first end after the jump
    std::int64_t setups = 0, ends = 0;
    double estimate = 0;    // nm, a trend's since it began; of not_conforming a share
    double since_days = 0;  // a trend's: when it begins, since the first end of all
    double p = 0;           // of its own
    double p_adjusted = 0;
    std::vector<std::string> same;  // levels of other factors that hold nearly the same ends
};

struct Differences {
    std::vector<Difference> found;  // in the order of finding
    std::int64_t comparisons = 0;   // that were made at first
    std::size_t units = 0;          // mountings
    bool compared = false;          // false: too few of them
};

Differences differences_of(const Work& work);

}  // namespace crimpgate::audit
