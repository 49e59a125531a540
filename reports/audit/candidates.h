// The columns of the comparison: which share of each set-up's ends has a level of a factor.
#pragma once

#include <vector>

#include "reports/audit/compared.h"
#include "reports/audit/weighted_fit.h"

namespace crimpgate::audit {

struct Candidate {
    Factor factor = Factor::day;
    int level = 0;
    Sparse share;  // by unit
    std::int64_t setups = 0;
    double ends = 0;
    std::int64_t from_ms = 0, to_ms = 0;
    std::vector<std::string> same;  // others with exactly or nearly these ends
};

// Of the ends for which `take` says so; levels that all ends have are left out, and of those with the same ends the
// first factor stays.
std::vector<Candidate> candidates_of(const Compared& compared, const std::vector<bool>& take);

}  // namespace crimpgate::audit
