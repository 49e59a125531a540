#include "reports/audit/level_search.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>

#include "reports/statistics/distributions.h"
#include "reports/statistics/moments.h"

namespace crimpgate::audit {

namespace {

constexpr std::size_t most_found = 40;  // an audit that names more has lost its meaning
constexpr double least_trend_days = 14;
constexpr double wide = 0.05;         // a set-up scatters more than others when chance would do so less often
constexpr double trend_corners = 12;  // as many points in time at which a wear may begin are tried

std::size_t index(Factor factor) {
    return static_cast<std::size_t>(factor);
}

bool better(double p, double t, const Difference& best, double best_t) {
    return p < best.p || (p == best.p && std::abs(t) > best_t);
}

}  // namespace

LevelSearch::LevelSearch(const Compared& compared) : compared_(compared), explained_(compared.ends.size(), false) {
    for (const ComparedEnd& end : compared.ends) {
        values_.push_back(end.value);
        known_.push_back(end.level_known);
    }
    between_ = candidates_of(compared, known_);
    find_within();
    find_trends();
}

void LevelSearch::find_within() {
    for (const Factor factor : {Factor::gauge_week, Factor::gauge, Factor::person, Factor::end}) {
        std::map<int, std::vector<std::size_t>> mixed;
        for (std::size_t s = 0; s < compared_.setups.size(); ++s) {
            std::set<int> seen;
            for (const std::size_t i : compared_.setups[s].ends)
                if (known_[i]) seen.insert(compared_.ends[i].level[index(factor)]);
            if (seen.size() < 2) continue;
            for (const int level : seen)
                if (level >= 0) mixed[level].push_back(s);
        }
        for (auto& [level, setups] : mixed)
            within_.push_back({factor, level, std::move(setups)});
    }
}

void LevelSearch::find_trends() {
    std::map<int, std::vector<std::size_t>> by_die;
    for (std::size_t u = 0; u < compared_.units.size(); ++u)
        if (!compared_.units[u].ends.empty()) {
            const int level = compared_.ends[compared_.units[u].ends.front()].level[index(Factor::die_set)];
            if (level >= 0) by_die[level].push_back(u);
        }
    for (auto& [level, units] : by_die) {
        const double first = compared_.units[units.front()].days, last = compared_.units[units.back()].days;
        for (double corner = 0; corner < trend_corners; ++corner) {
            const double since = first + (last - first) * corner / trend_corners;
            std::size_t after = 0;
            for (const std::size_t u : units)
                after += compared_.units[u].days > since;
            if (after >= least_units && last - since >= least_trend_days) trends_.push_back({level, units, since});
        }
    }
}

std::int64_t LevelSearch::comparisons() const {
    std::size_t jumps = 0;
    for (const ComparedSetup& setup : compared_.setups)
        jumps += setup.ends.size() >= 2 * least_beside_jump;
    return static_cast<std::int64_t>(between_.size() + within_.size() + trends_.size() + jumps);
}

double LevelSearch::sigma_within(const std::vector<std::size_t>& setups) const {
    double squares = 0, freedom = 0;
    for (const std::size_t s : setups) {
        std::vector<double> values;
        for (const std::size_t i : compared_.setups[s].ends)
            if (known_[i]) values.push_back(values_[i]);
        if (values.size() < 2) continue;
        squares += statistics::moments_of(values).squared_deviations;
        freedom += static_cast<double>(values.size() - 1);
    }
    return freedom > 0 ? std::sqrt(squares / freedom) : 0;
}

// What was found to differ in its level, a bad lot, may scatter more too: its ends are held against their own sigma.
void LevelSearch::reckon_sigmas() {
    const double least = compared_.resolution / std::sqrt(12.0) / 2;  // of a mean of about four readings
    std::vector<std::size_t> all(compared_.setups.size());
    std::iota(all.begin(), all.end(), std::size_t{0});
    sigma_ = std::max(sigma_within(all), least);
    freedom_ = 0;
    for (const ComparedSetup& setup : compared_.setups)
        freedom_ += std::max(0.0, static_cast<double>(setup.ends.size()) - 1);
    sigmas_.assign(all.size(), sigma_);
    for (const auto& setups : differ_) {
        const double sigma = sigma_within(setups);
        for (const std::size_t s : setups)
            sigmas_[s] = std::max(sigmas_[s], sigma);
    }
}

std::vector<double> LevelSearch::unit_means() const {
    std::vector<double> means;
    for (const ComparedUnit& unit : compared_.units) {
        double sum = 0, n = 0;
        for (const std::size_t i : unit.ends)
            if (known_[i]) {
                sum += values_[i];
                ++n;
            }
        means.push_back(n > 0 ? sum / n : 0);
    }
    return means;
}

// tau from the median deviation, which a faulty tenth of the set-ups does not spoil. A set-up without a known level
// weighs nothing.
std::vector<double> LevelSearch::weights(const std::vector<double>& means, double sigma) const {
    std::vector<double> sizes, known;
    for (std::size_t u = 0; u < means.size(); ++u) {
        double n = 0;
        for (const std::size_t i : compared_.units[u].ends)
            n += known_[i] ? 1 : 0;
        sizes.push_back(n);
        if (n > 0) known.push_back(means[u]);
    }
    const double middle = statistics::quantile(known, 0.5).value_or(0);
    double within = 0;
    std::vector<double> deviations;
    for (std::size_t u = 0; u < means.size(); ++u)
        if (sizes[u] > 0) {
            deviations.push_back(std::abs(means[u] - middle));
            within += sigma * sigma / sizes[u];
        }
    const double spread = 1.4826 * statistics::quantile(deviations, 0.5).value_or(0);  // of a normal distribution
    const double tau_square =
        deviations.empty() ? 0 : std::max(0.0, spread * spread - within / static_cast<double>(deviations.size()));
    std::vector<double> out;
    for (const double n : sizes)
        out.push_back(n == 0 ? 0 : 1 / std::max(tau_square + sigma * sigma / n, 1.0));
    return out;
}

// Days since the wear began: what was before stays as it is when the trend is taken off.
Sparse LevelSearch::slope_of(const Trend& trend) const {
    Sparse slope;
    for (const std::size_t u : trend.units)
        if (compared_.units[u].days > trend.since) slope.emplace_back(u, compared_.units[u].days - trend.since);
    return slope;
}

void LevelSearch::consider_between(Difference& best) const {
    const auto means = unit_means();
    const auto weight = weights(means, sigma_);
    WeightedFit fit(weight);
    for (const Sparse& effect : effects_)
        fit.known(effect);
    fit.response(means);
    double best_t = 0;
    for (const Trend& trend : trends_) {
        WeightedFit with_mean = fit;  // the die set's own mean apart
        Sparse mean;
        for (const std::size_t u : trend.units)
            mean.emplace_back(u, 1.0);
        with_mean.known(mean);
        with_mean.response(means);
        const auto tested = with_mean.test(slope_of(trend));
        if (!tested) continue;
        Difference d;
        d.pattern = Pattern::trend;
        d.factor = Factor::die_set;
        d.level = compared_.levels[index(Factor::die_set)][static_cast<std::size_t>(trend.level)];
        d.since_days = trend.since;
        const Sparse slope = slope_of(trend);
        d.estimate = tested->coefficient * slope.back().second;
        d.p = tested->p;
        if (better(d.p, tested->t, best, best_t)) {
            best = d;
            best_t = std::abs(tested->t);
        }
    }
    for (const Candidate& candidate : between_) {
        const auto tested = fit.test(candidate.share);
        if (!tested || !better(tested->p, tested->t, best, best_t)) continue;
        best_t = std::abs(tested->t);
        Difference d;
        d.factor = candidate.factor;
        d.level = compared_.levels[index(candidate.factor)][static_cast<std::size_t>(candidate.level)];
        d.estimate = tested->coefficient;
        d.p = tested->p;
        d.same = candidate.same;
        best = d;
    }
}

// A gauge that is off makes every other one of the same set-ups look off the other way, by less. Where set-ups disagree
// a little more than sigma allows, few degrees of freedom make its p larger than theirs: so of all that chance does not
// explain the largest t is named, not the smallest p.
void LevelSearch::consider_within(std::int64_t comparisons, Difference& best) const {
    double best_t = 0, best_off = 0;
    bool sure = false;
    const auto means = unit_means();
    const double middle = statistics::quantile(means, 0.5).value_or(0);
    for (const Within& within : within_) {
        double weight = 0, sum = 0, squares = 0, off = 0;
        for (const std::size_t s : within.setups) {
            double n = 0, own = 0, m = 0, others = 0;
            for (const std::size_t i : compared_.setups[s].ends) {
                if (!known_[i]) continue;
                const bool is = compared_.ends[i].level[index(within.factor)] == within.level;
                (is ? n : m) += 1;
                (is ? own : others) += values_[i];
            }
            if (n == 0 || m == 0) continue;
            const double d = own / n - others / m;
            off += (own / n - middle) / static_cast<double>(within.setups.size());
            const double w = 1 / (sigma_ * sigma_ * (1 / n + 1 / m));
            weight += w;
            sum += w * d;
            squares += w * d * d;
        }
        const double estimate = sum / weight;
        const double k = static_cast<double>(within.setups.size());
        const double disagreement = squares - sum * estimate;
        const double birge = k > 1 ? std::max(1.0, disagreement / (k - 1)) : 1;
        // Only where set-ups disagree more than chance would make them is their own disagreement all that is known.
        const bool disagree = k > 1 && statistics::chi_squared_cdf(std::max(disagreement, 0.0), k - 1) > 1 - wide;
        const double t = estimate * std::sqrt(weight / birge);
        const double p = 2 * statistics::student_upper(std::abs(t), disagree ? k - 1 : freedom_);
        // Of two that share their set-ups each is as far from the other: the one that left the middle is named.
        const bool mirrored = std::abs(std::abs(t) - best_t) < 1e-6 * best_t;
        const bool now_sure = p * static_cast<double>(comparisons) < error_;
        const bool goes_before = now_sure != sure ? now_sure : sure ? std::abs(t) > best_t : better(p, t, best, best_t);
        if (mirrored ? std::abs(off) <= best_off : !goes_before) continue;
        sure = now_sure;
        best_t = std::abs(t);
        best_off = std::abs(off);
        Difference d;
        d.pattern = Pattern::differs_within;
        d.factor = within.factor;
        d.level = compared_.levels[index(within.factor)][static_cast<std::size_t>(within.level)];
        d.estimate = estimate;
        d.p = p;
        best = d;
    }
}

void LevelSearch::consider_jumps(Difference& best) const {
    double best_t = 0;
    for (std::size_t s = 0; s < compared_.setups.size(); ++s) {
        const ComparedSetup& setup = compared_.setups[s];
        const double sigma = sigmas_[s];
        std::vector<std::size_t> ends;
        double all = 0;
        for (const std::size_t i : setup.ends)
            if (known_[i]) {
                ends.push_back(i);
                all += values_[i];
            }
        if (ends.size() < 2 * least_beside_jump) continue;
        double before = 0, largest = 0, estimate = 0;
        std::size_t at = 0;
        for (std::size_t k = 1; k + least_beside_jump <= ends.size(); ++k) {
            before += values_[ends[k - 1]];
            if (k < least_beside_jump) continue;
            const double n = static_cast<double>(k), m = static_cast<double>(ends.size() - k);
            const double d = (all - before) / m - before / n;
            const double t = std::abs(d) / (sigma * std::sqrt(1 / n + 1 / m));
            if (t <= largest) continue;
            largest = t;
            estimate = d;
            at = k;
        }
        if (at == 0) continue;
        // A set-up whose ends scatter more than those of others is held against its own scatter: successive differences
        // (von Neumann), less the one at the jump; n of them have about two thirds of n degrees of freedom.
        double freedom = freedom_, squares = 0;
        for (std::size_t k = 1; k < ends.size(); ++k)
            if (k != at) squares += std::pow(values_[ends[k]] - values_[ends[k - 1]], 2) / 2;
        const double own = squares / static_cast<double>(ends.size() - 2);
        const double own_freedom = 2 * static_cast<double>(ends.size() - 2) / 3;
        if (statistics::chi_squared_cdf(own_freedom * own / (sigma * sigma), own_freedom) > 1 - wide) {
            largest *= sigma / std::sqrt(own);
            freedom = own_freedom;
        }
        const double tried = static_cast<double>(ends.size() - 2 * least_beside_jump + 1);
        const double p = std::min(1.0, tried * 2 * statistics::student_upper(largest, freedom));
        if (!better(p, largest, best, best_t)) continue;
        best_t = largest;
        Difference d;
        d.pattern = Pattern::jump;
        d.factor = Factor::setup;
        d.level = count_text(setup.seq);
        d.seq = compared_.ends[ends[at]].seq;
        d.from_ms = compared_.ends[ends[at]].ms;
        d.to_ms = compared_.ends[ends.back()].ms;
        d.setups = 1;
        d.ends = static_cast<std::int64_t>(ends.size() - at);
        d.estimate = estimate;
        d.p = p;
        best = d;
    }
}

// The effect off the values, so that it neither hides nor feigns another.
void LevelSearch::take_off(const Difference& found) {
    if (found.pattern == Pattern::jump) {
        const std::size_t setup = [&] {
            for (const ComparedEnd& end : compared_.ends)
                if (end.seq == found.seq) return end.setup;
            return compared_.setups.size();
        }();
        for (const std::size_t i : compared_.setups[setup].ends)
            if (compared_.ends[i].seq >= found.seq) {
                values_[i] -= found.estimate;
                explained_[i] = true;
            }
        return;
    }
    const auto& names = compared_.levels[index(found.factor)];
    const int level = static_cast<int>(std::find(names.begin(), names.end(), found.level) - names.begin());
    const auto holds = [&](std::size_t i) { return compared_.ends[i].level[index(found.factor)] == level; };
    if (found.pattern == Pattern::trend) {
        for (const Trend& trend : trends_)
            if (trend.level == level && trend.since == found.since_days) {
                const Sparse slope = slope_of(trend);
                for (const auto& [u, at] : slope)
                    for (const std::size_t i : compared_.units[u].ends)
                        values_[i] -= found.estimate / slope.back().second * at;
                Sparse mean;
                for (const std::size_t u : trend.units)
                    mean.emplace_back(u, 1.0);
                effects_.push_back(slope);
                effects_.push_back(std::move(mean));
            }
    } else {
        for (std::size_t i = 0; i < values_.size(); ++i)
            if (holds(i)) values_[i] -= found.estimate;
        for (const Candidate& candidate : between_)
            if (candidate.factor == found.factor && candidate.level == level) {
                effects_.push_back(candidate.share);
                std::set<std::size_t> setups;
                for (const auto& [u, share] : candidate.share)
                    for (const std::size_t i : compared_.units[u].ends)
                        setups.insert(compared_.ends[i].setup);
                differ_.emplace_back(setups.begin(), setups.end());
            }
    }
    for (std::size_t i = 0; i < values_.size(); ++i) {
        const bool before =
            found.pattern == Pattern::trend && compared_.units[compared_.ends[i].unit].days <= found.since_days;
        if (holds(i) && !before) explained_[i] = true;
    }
}

Difference LevelSearch::next(std::int64_t comparisons) const {
    Difference best, within, jump;
    best.p = within.p = jump.p = 2;
    consider_between(best);
    if (sigma_ > 0 && freedom_ > 0) {
        consider_within(comparisons, within);
        consider_jumps(jump);
    }
    // A die set's own mean includes half of what it wears, and the others' means differ from it: if one wears, that is
    // what is said.
    if (best.pattern == Pattern::differs && (best.factor == Factor::die_set || best.factor == Factor::spec)) {
        LevelSearch only_trends = *this;
        only_trends.between_.clear();
        Difference trend;
        trend.p = 2;
        only_trends.consider_between(trend);
        if (trend.p * static_cast<double>(comparisons) < error_) best = trend;
    }
    if (within.p < best.p) best = within;
    if (jump.p < best.p) best = jump;
    return best;
}

std::vector<Difference> LevelSearch::run(std::int64_t comparisons, double error) {
    error_ = error;
    std::vector<Difference> found;
    for (std::size_t round = 0; round < most_found; ++round) {
        reckon_sigmas();
        Difference best = next(comparisons);
        best.p_adjusted = std::min(1.0, best.p * static_cast<double>(comparisons));
        if (best.p_adjusted >= error_) break;
        take_off(best);
        if (best.pattern != Pattern::jump) {
            const auto& names = compared_.levels[index(best.factor)];
            const int level = static_cast<int>(std::find(names.begin(), names.end(), best.level) - names.begin());
            std::set<std::size_t> setups;
            for (std::size_t i = 0; i < values_.size(); ++i) {
                const ComparedEnd& end = compared_.ends[i];
                if (!known_[i] || end.level[index(best.factor)] != level) continue;
                if (best.pattern == Pattern::trend && compared_.units[end.unit].days <= best.since_days) continue;
                setups.insert(end.setup);
                ++best.ends;
                best.from_ms = best.from_ms == 0 ? end.ms : std::min(best.from_ms, end.ms);
                best.to_ms = std::max(best.to_ms, end.ms);
            }
            best.setups = static_cast<std::int64_t>(setups.size());
        }
        // The same, seen once between and once within set-ups, is one finding.
        const bool again = std::any_of(found.begin(), found.end(), [&](const Difference& d) {
            return d.pattern != Pattern::jump && best.pattern != Pattern::jump && d.factor == best.factor &&
                   d.level == best.level;
        });
        if (!again) found.push_back(best);
    }
    return found;
}

}  // namespace crimpgate::audit
