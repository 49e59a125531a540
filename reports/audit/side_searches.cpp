#include "reports/audit/side_searches.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "reports/statistics/distributions.h"
#include "reports/statistics/moments.h"

namespace crimpgate::audit {

namespace {

constexpr int most_found = 20;
constexpr double least_ends_for_spread = 3;  // one end's range says little

Difference named(const Compared& compared, const Candidate& candidate, Response response) {
    Difference d;
    d.response = response;
    d.factor = candidate.factor;
    d.level = compared.levels[static_cast<std::size_t>(candidate.factor)][static_cast<std::size_t>(candidate.level)];
    d.setups = candidate.setups;
    d.ends = static_cast<std::int64_t>(candidate.ends);
    d.from_ms = candidate.from_ms;
    d.to_ms = candidate.to_ms;
    d.same = candidate.same;
    return d;
}

}  // namespace

SpreadSearch::SpreadSearch(const Compared& compared) : compared_(compared) {
    for (const ComparedEnd& end : compared.ends)
        take_.push_back(end.level_known);
    candidates_ = candidates_of(compared, take_);
}

namespace {

// The power of a mean spread that is nearest to normal: 1 - k1 k3 / (3 k2^2) of its cumulants, which takes its skewness
// off to first order (Jensen and Solomon 1972; for chi-square it is Wilson and Hilferty's third root; from memory). The
// ratio is the same for one end's spread and for the mean of many, so it is taken from ends, each by its set-up's mean.
// With logarithms in its place small spreads look more unlikely than they are: of 100 faultless years two were named
// for them at 1 %.
double normal_power(const Compared& compared, const std::vector<bool>& take) {
    double k2 = 0, k3 = 0, groups = 0;
    for (const ComparedSetup& setup : compared.setups) {
        std::vector<double> spreads;
        for (const std::size_t i : setup.ends)
            if (take[i]) spreads.push_back(compared.ends[i].spread);
        const double n = static_cast<double>(spreads.size());
        if (n < 3) continue;
        const double mean = std::accumulate(spreads.begin(), spreads.end(), 0.0) / n;
        if (mean <= 0) continue;
        double squares = 0, cubes = 0;
        for (const double spread : spreads) {
            const double d = spread / mean - 1;
            squares += d * d;
            cubes += d * d * d;
        }
        // Unbiased cumulants (Fisher's k statistics), each set-up by its ends.
        k2 += n * squares / (n - 1);
        k3 += n * n * cubes / ((n - 1) * (n - 2));
        groups += n;
    }
    if (k2 <= 0) return 1;
    return std::clamp(1 - k3 * groups / (3 * k2 * k2), 1.0 / 3, 1.0);
}

}  // namespace

// What makes ends ragged multiplies their spread, and its scatter with it: what was found is divided off before the
// next search, so that its set-ups scatter like the others.
std::vector<Difference> SpreadSearch::run(std::int64_t comparisons, double error) const {
    const double least = std::max(compared_.resolution / std::sqrt(12.0), 1.0);
    const double power = normal_power(compared_, take_);
    std::vector<double> spreads;
    for (const ComparedEnd& end : compared_.ends)
        spreads.push_back(end.spread);
    std::vector<Difference> found;
    std::vector<Sparse> effects;
    for (int round = 0; round < most_found; ++round) {
        std::vector<double> means, weights;
        for (const ComparedUnit& unit : compared_.units) {
            double sum = 0, n = 0;
            for (const std::size_t i : unit.ends)
                if (take_[i]) {
                    sum += spreads[i];
                    ++n;
                }
            means.push_back(n > 0 ? std::pow(std::max(sum / n, least), power) : 0);
            weights.push_back(n < least_ends_for_spread ? 0 : n);
        }
        WeightedFit fit(weights);
        for (const Sparse& effect : effects)
            fit.known(effect);
        fit.response(means);
        const Candidate* best = nullptr;
        Tested tested_best;
        tested_best.p = 2;
        for (const Candidate& candidate : candidates_) {
            const auto tested = fit.test(candidate.share);
            if (!tested || tested->p > tested_best.p ||
                (tested->p == tested_best.p && std::abs(tested->t) <= std::abs(tested_best.t)))
                continue;
            best = &candidate;
            tested_best = *tested;
        }
        const double adjusted = std::min(1.0, tested_best.p * static_cast<double>(comparisons));
        if (best == nullptr || adjusted >= error) break;
        Difference d = named(compared_, *best, Response::spread);
        // As a length: so much more than the mountings without it have in the middle.
        std::vector<double> others;
        std::vector<bool> with(means.size(), false);
        for (const auto& [u, share] : best->share)
            with[u] = true;
        for (std::size_t u = 0; u < means.size(); ++u)
            if (!with[u] && weights[u] > 0) others.push_back(means[u]);
        const double usual = statistics::quantile(others, 0.5).value_or(std::pow(least, power));
        const double usual_spread = std::pow(usual, 1 / power);
        const double its_spread = std::max(std::pow(std::max(usual + tested_best.coefficient, 0.0), 1 / power), least);
        d.estimate = its_spread - usual_spread;
        d.p = tested_best.p;
        d.p_adjusted = adjusted;
        found.push_back(std::move(d));
        effects.push_back(best->share);
        for (std::size_t i = 0; i < spreads.size(); ++i)
            if (compared_.ends[i].level[static_cast<std::size_t>(best->factor)] == best->level)
                spreads[i] *= usual_spread / its_spread;
    }
    return found;
}

ShareSearch::ShareSearch(const Compared& compared) : compared_(compared) {
    comparisons_ =
        static_cast<std::int64_t>(candidates_of(compared, std::vector<bool>(compared.ends.size(), true)).size());
}

std::vector<Difference> ShareSearch::run(std::int64_t comparisons, std::vector<bool> explained, double error) const {
    std::vector<Difference> found;
    std::vector<bool> take(explained.size());
    for (int round = 0; round < most_found; ++round) {
        for (std::size_t i = 0; i < take.size(); ++i)
            take[i] = !explained[i];
        // Of one set-up or of many: squares is the sum of bad^2 / of, from which a chi-square for any share follows.
        struct Counts {
            double bad = 0, of = 0, squares = 0, units = 0;
        };
        std::vector<Counts> units(compared_.units.size());
        Counts all;
        for (std::size_t i = 0; i < take.size(); ++i) {
            if (!take[i]) continue;
            Counts& unit = units[compared_.ends[i].unit];
            ++unit.of;
            ++all.of;
            if (!compared_.ends[i].conforms) {
                ++unit.bad;
                ++all.bad;
            }
        }
        for (const Counts& unit : units)
            if (unit.of > 0) {
                all.squares += unit.bad * unit.bad / unit.of;
                ++all.units;
            }
        const Candidate* best = nullptr;
        Difference difference;
        difference.p = 2;
        const auto candidates = candidates_of(compared_, take);
        for (const Candidate& candidate : candidates) {
            Counts own;          // of the set-ups by their share with the level
            Counts apart = all;  // without those set-ups
            const std::size_t f = static_cast<std::size_t>(candidate.factor);
            for (const auto& [u, share] : candidate.share) {
                for (const std::size_t i : compared_.units[u].ends)
                    if (take[i] && compared_.ends[i].level[f] == candidate.level) {
                        ++own.of;
                        own.bad += compared_.ends[i].conforms ? 0 : 1;
                    }
                apart.bad -= units[u].bad;
                apart.of -= units[u].of;
                apart.squares -= units[u].bad * units[u].bad / units[u].of;
                --apart.units;
            }
            const Counts others{all.bad - own.bad, all.of - own.of};
            if (own.bad == 0 || others.of == 0) continue;
            // Half a bad one more than there were, so that a clean rest is no proof of perfection.
            const double expected = std::min(0.999, (others.bad + 0.5) / (others.of + 1));
            if (own.bad / own.of <= expected) continue;
            // Overdispersion between the other set-ups: Pearson's chi-square by its degrees of freedom.
            const double chi_square = (apart.squares - 2 * expected * apart.bad + expected * expected * apart.of) /
                                      (expected * (1 - expected));
            const double dispersion = apart.units > 1 ? std::max(1.0, chi_square / (apart.units - 1)) : 1;
            const auto bad = static_cast<std::int64_t>(std::floor(own.bad / dispersion));
            const auto of = static_cast<std::int64_t>(std::ceil(own.of / dispersion));
            if (bad < 1) continue;
            const double p = 2 * (1 - statistics::binomial_cdf(bad - 1, of, expected));
            if (p >= difference.p) continue;
            difference = named(compared_, candidate, Response::not_conforming);
            difference.estimate = own.bad / own.of - others.bad / others.of;
            difference.p = p;
            best = &candidate;
        }
        difference.p_adjusted = std::min(1.0, difference.p * static_cast<double>(comparisons));
        if (best == nullptr || difference.p_adjusted >= error) break;
        for (std::size_t i = 0; i < take.size(); ++i)
            if (compared_.ends[i].level[static_cast<std::size_t>(best->factor)] == best->level) explained[i] = true;
        found.push_back(std::move(difference));
    }
    return found;
}

ProofSearch::ProofSearch(const AuditFacts& facts) {
    std::map<std::string, std::map<std::int64_t, Day>> days;  // by the UTC day: a gauge is proved at both ends of it
    constexpr std::int64_t day_ms = 86'400'000;
    for (const ProofFact& proof : facts.proofs) {
        Day& day = days[proof.gauge][proof.ms / day_ms];
        if (day.proofs == 0) {
            day.from_ms = proof.ms;
            day.week = iso_week(time_text(proof.ms).substr(0, 10));
        }
        day.to_ms = proof.ms;
        ++day.proofs;
        day.error += (static_cast<double>(proof.error.nm()) - day.error) / static_cast<double>(day.proofs);
    }
    for (auto& [name, by_day] : days) {
        Gauge gauge;
        gauge.name = name;
        for (const GaugeFact& fact : facts.gauges)
            if (fact.gauge == name) gauge.resolution = static_cast<double>(fact.resolution.nm());
        for (auto& [number, day] : by_day)
            gauge.days.push_back(std::move(day));
        if (gauge.days.size() >= least_units) gauges_.push_back(std::move(gauge));
    }
}

std::int64_t ProofSearch::comparisons() const {
    std::int64_t weeks = 0;
    for (const Gauge& gauge : gauges_) {
        std::map<std::string_view, int> seen;
        for (const Day& day : gauge.days)
            ++seen[day.week];
        weeks += static_cast<std::int64_t>(seen.size());
    }
    return weeks;
}

std::vector<Difference> ProofSearch::run(std::int64_t comparisons, double error) const {
    std::vector<Difference> found;
    for (const Gauge& gauge : gauges_) {
        std::vector<double> errors, weights;
        std::map<std::string_view, Sparse> weeks;
        for (std::size_t i = 0; i < gauge.days.size(); ++i) {
            errors.push_back(gauge.days[i].error);
            weights.push_back(1);
            weeks[gauge.days[i].week].emplace_back(i, 1.0);
        }
        std::vector<std::string_view> taken;
        for (int round = 0; round < most_found; ++round) {
            // A reading is a whole number of steps: between two of them the standard deviation is at most half a step,
            // and a day's proofs may all fall the same way.
            WeightedFit fit(weights, true, gauge.resolution / 2);
            for (const auto week : taken)
                fit.known(weeks[week]);
            fit.response(errors);
            Difference best;
            best.p = 2;
            for (const auto& [week, days] : weeks) {
                const auto tested = fit.test(days);
                if (!tested || tested->p >= best.p) continue;
                best.response = Response::proof_error;
                best.factor = Factor::gauge_week;
                best.level = gauge.name + ", " + std::string(week);
                best.setups = static_cast<std::int64_t>(days.size());
                best.from_ms = gauge.days[days.front().first].from_ms;
                best.to_ms = gauge.days[days.back().first].to_ms;
                best.estimate = tested->coefficient;
                best.p = tested->p;
            }
            best.p_adjusted = std::min(1.0, best.p * static_cast<double>(comparisons));
            if (best.p > 1 || best.p_adjusted >= error) break;
            for (const auto& [week, days] : weeks)
                if (best.level == gauge.name + ", " + std::string(week)) taken.push_back(week);
            found.push_back(std::move(best));
        }
    }
    return found;
}

}  // namespace crimpgate::audit
