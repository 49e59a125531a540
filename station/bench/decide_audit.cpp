// What the QC lead decides about charts, the drift watch and shifts.
#include <algorithm>

#include "reports/statistics/run_rules.h"
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

namespace {

Result<void> not_empty(const char* field, const std::string& text) {
    if (text.empty()) return refuse(message("bench.field_empty").with("field", field));
    return {};
}

Result<void> in_range(const char* field, std::int64_t value, std::int64_t least, std::int64_t most) {
    if (value >= least && value <= most) return {};
    return refuse(message("bench.out_of_range")
                      .with("field", field)
                      .with("least", std::to_string(least))
                      .with("most", std::to_string(most)));
}

}  // namespace

Result<void> Decider::operator()(const commands::FreezeLimits& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    const auto& l = c.limits;
    if (auto ok = not_empty("stream", l.stream); !ok) return ok;
    if (auto ok = not_empty("reason", l.reason); !ok) return ok;
    if (l.sigma <= Length{}) return refuse(message("bench.must_be_positive").with("field", "sigma_nm"));
    if (l.upper <= l.lower) return refuse(message("bench.must_be_positive").with("field", "upper_nm - lower_nm"));
    emit(l);
    return {};
}

Result<void> Decider::operator()(const commands::ReleaseLimits& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (!s_.frozen.contains({c.stream, c.chart}))
        return refuse(message("bench.no_frozen_limits").with("stream", c.stream));
    if (auto ok = not_empty("reason", c.reason); !ok) return ok;
    emit(LimitsReleased{c.stream, c.chart, c.reason});
    return {};
}

Result<void> Decider::operator()(const commands::SetWatch& c) {
    if (auto ok = lead_or_setter(); !ok) return ok;
    const auto& w = c.watch;
    if (auto ok = in_range("points", w.points, 20, static_cast<std::int64_t>(most_running)); !ok) return ok;
    if (auto ok = in_range("weight_permille", w.weight_permille, 50, 1000); !ok) return ok;
    if (auto ok = in_range("share_ppm", w.share_ppm, 100, 500'000); !ok) return ok;
    for (const auto& rule : w.rules)
        if (!statistics::run_rule_of(rule)) return refuse(message("bench.no_run_rule").with("rule", rule));
    emit(w);
    return {};
}

Result<void> Decider::operator()(const commands::SignOffShift& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (auto ok = not_empty("shift", c.shift); !ok) return ok;
    // A shift that still runs, or was left open, is closed first: what is signed must not go on growing.
    if (c.shift == s_.shift) return refuse(message("bench.shift_still_running").with("shift", c.shift));
    if (!s_.known_shifts.contains(c.shift)) return refuse(message("bench.no_such_shift").with("shift", c.shift));
    emit(ShiftSignedOff{c.shift, c.remark, s_.last_seq});
    return {};
}

}  // namespace crimpgate
