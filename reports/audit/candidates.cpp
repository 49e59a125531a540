#include "reports/audit/candidates.h"

#include <algorithm>
#include <map>
#include <set>

namespace crimpgate::audit {

namespace {

// Which ends a level holds, as counts by unit.
using Counts = std::vector<std::pair<std::size_t, std::int64_t>>;

struct Level {
    Counts counts;
    std::set<std::size_t> setups;
    std::int64_t ends = 0, from_ms = 0, to_ms = 0;
};

std::vector<Level> levels_of(const Compared& compared, const std::vector<bool>& take, std::size_t factor) {
    std::vector<Level> levels(compared.levels[factor].size());
    for (std::size_t u = 0; u < compared.units.size(); ++u)
        for (const std::size_t i : compared.units[u].ends) {
            const ComparedEnd& end = compared.ends[i];
            if (!take[i] || end.level[factor] < 0) continue;
            Level& level = levels[static_cast<std::size_t>(end.level[factor])];
            if (level.counts.empty() || level.counts.back().first != u) level.counts.emplace_back(u, 0);
            ++level.counts.back().second;
            ++level.ends;
            level.setups.insert(end.setup);
            level.from_ms = level.from_ms == 0 ? end.ms : std::min(level.from_ms, end.ms);
            level.to_ms = std::max(level.to_ms, end.ms);
        }
    return levels;
}

}  // namespace

std::vector<Candidate> candidates_of(const Compared& compared, const std::vector<bool>& take) {
    std::vector<std::int64_t> of_unit(compared.units.size(), 0);
    std::int64_t all = 0;
    for (std::size_t i = 0; i < compared.ends.size(); ++i)
        if (take[i]) {
            ++of_unit[compared.ends[i].unit];
            ++all;
        }
    std::vector<Candidate> out;
    std::map<Counts, std::size_t> known;
    for (std::size_t f = 0; f < factor_count; ++f) {
        const auto levels = levels_of(compared, take, f);
        for (std::size_t l = 0; l < levels.size(); ++l) {
            const Level& level = levels[l];
            if (level.ends == 0 || level.ends == all) continue;
            const auto [at, fresh] = known.try_emplace(level.counts, out.size());
            if (!fresh) {
                if (static_cast<Factor>(f) != Factor::setup) out[at->second].same.push_back(compared.levels[f][l]);
                continue;
            }
            Candidate candidate;
            candidate.factor = static_cast<Factor>(f);
            candidate.level = static_cast<int>(l);
            candidate.ends = static_cast<double>(level.ends);
            candidate.setups = static_cast<std::int64_t>(level.setups.size());
            candidate.from_ms = level.from_ms;
            candidate.to_ms = level.to_ms;
            for (const auto& [unit, count] : level.counts)
                candidate.share.emplace_back(unit, static_cast<double>(count) / static_cast<double>(of_unit[unit]));
            out.push_back(std::move(candidate));
        }
    }
    return out;
}

}  // namespace crimpgate::audit
