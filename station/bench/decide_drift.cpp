// The drift watch (reports/statistics/drift.h) at the bench: asked after every end. It can only ask for more care.
#include <algorithm>
#include <cmath>

#include "reports/statistics/drift.h"
#include "station/bench/decider.h"
#include "station/bench/drift_watch.h"

namespace crimpgate {

using namespace entries;

namespace {

Length to_length(double nm) {
    return Length::from_nm(std::llround(nm));
}

statistics::DriftChoice choice_of(const WatchSet& watch) {
    statistics::DriftChoice choice;
    choice.rules = {};
    for (const auto& code : watch.rules)
        if (const auto rule = statistics::run_rule_of(code)) choice.rules.set(*rule);
    choice.weight = static_cast<double>(watch.weight_permille) / 1000;
    choice.share_limit = static_cast<double>(watch.share_ppm) / 1e6;
    return choice;
}

}  // namespace

std::optional<DriftSeen> drift_seen(const BenchState& s, const SpecRow& row, const std::string& hose_lot) {
    const WatchSet watch = s.watch.value_or(WatchSet{});
    const auto found = s.running.find(setup_key(row, hose_lot));
    if (found == s.running.end() || found->second.empty()) return std::nullopt;
    const auto& all = found->second;
    const auto shown = std::min(all.size(), static_cast<std::size_t>(watch.points));

    statistics::Running running;
    running.places = static_cast<int>(row.flats.size());
    const Band band = row.crimp.band();
    Length guard;
    Length resolution;
    for (const auto& [id, gauge] : s.gauges) {
        // The widest guard that may apply here: the watch had better warn too early.
        guard = std::max(guard, guard_of(row.rule, gauge.registered.uncertainty));
        resolution = std::max(resolution, gauge.registered.resolution);
    }
    if (band.lower + guard >= band.upper - guard) guard = Length{};
    running.accept_lower = static_cast<double>((band.lower + guard).nm());
    running.accept_upper = static_cast<double>((band.upper - guard).nm());
    running.middle = static_cast<double>(band.middle().nm());
    running.resolution = static_cast<double>(resolution.nm());
    if (const auto frozen = s.frozen.find({stream_of(row), ChartOf::means}); frozen != s.frozen.end()) {
        const auto& f = frozen->second;
        running.frozen = statistics::Limits{static_cast<double>(f.centre.nm()), static_cast<double>(f.lower.nm()),
                                            static_cast<double>(f.upper.nm()), static_cast<double>(f.sigma.nm())};
    }
    DriftSeen seen;
    seen.points.assign(all.end() - static_cast<std::ptrdiff_t>(shown), all.end());
    for (const auto& point : all) {
        running.means.push_back(static_cast<double>(point.mean.nm()));
        running.spreads.push_back(static_cast<double>(point.spread.nm()));
    }
    const auto state = statistics::drift_state(running, choice_of(watch));
    seen.level = to_length(state->level);
    seen.sigma = to_length(state->sigma);
    seen.correction = to_length(state->correction);
    seen.share_ppm = std::llround(state->share * 1e6);
    seen.warns = watch.on && state->warns;
    if (state->limits) {
        seen.centre = to_length(state->limits->centre);
        seen.lower = to_length(state->limits->lower);
        seen.upper = to_length(state->limits->upper);
    }
    for (const auto& signal : state->signals) {
        DriftSignal told{std::string(statistics::code_of(signal.rule)), {}};
        for (const auto index : signal.points)
            told.seqs.push_back(all[index].seq);
        seen.signals.push_back(std::move(told));
    }
    return seen;
}

void Decider::watch_drift(const std::string& serial, End end) {
    const auto& a = s_.assemblies.at(serial);
    const SpecRow& row = a.row(end);
    const std::string key = setup_key(row, a.started.hose_lot);
    if (s_.drifted.contains(key)) return;
    const auto seen = drift_seen(s_, row, a.started.hose_lot);
    // Only the end that was just judged can have made it drift: an incomplete one is no point.
    if (!seen || !seen->warns || seen->points.back().seq != s_.last_seq) return;
    DriftWarned warned;
    warned.key = key;
    warned.spec_id = row.spec_id;
    warned.revision = row.revision;
    warned.crimper = row.crimper;
    warned.die_set = row.die_set;
    warned.hose_lot = a.started.hose_lot;
    warned.signals = seen->signals;
    warned.points = static_cast<std::int64_t>(s_.running.at(key).size());
    warned.level = seen->level;
    warned.sigma = seen->sigma;
    warned.correction = seen->correction;
    warned.share_ppm = seen->share_ppm;
    warned.share_limit_ppm = s_.watch.value_or(WatchSet{}).share_ppm;
    emit_as({}, std::move(warned));
}

}  // namespace crimpgate
