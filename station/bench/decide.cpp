#include "station/bench/decide.h"

#include "station/bench/decider.h"

namespace crimpgate {

Outcome decide(BenchState& state, const BenchRules& rules, const Command& command, const std::string& who,
               const Now& now) {
    Decider decider(state, rules, who, now);
    decider.watch_clock();
    Outcome outcome;
    if (auto result = std::visit([&](const auto& c) { return decider(c); }, command); !result)
        outcome.refusal = std::move(result.error());
    outcome.entries = decider.take();
    return outcome;
}

void Decider::watch_clock() {
    if (s_.last_utc_ms == 0 || s_.clock_doubted) return;
    if (now_.utc_ms >= s_.last_utc_ms - rules_.clock_tolerance_ms) return;
    entries::ClockStepped stepped;
    stepped.expected_utc_ms = s_.last_utc_ms;
    stepped.found_utc_ms = now_.utc_ms;
    stepped.stops_line = true;
    emit_as({}, stepped);
}

Result<void> Decider::must_be(Role role) const {
    const auto person = s_.people.find(who_);
    if (person == s_.people.end() || person->second.retired) return refuse(message("bench.nobody"));
    const Role has = person->second.role;
    if (has == role || (role == Role::operator_ && has == Role::lead)) return {};
    switch (role) {
        case Role::operator_:
            return refuse(message("bench.not_an_operator").with("person", person->second.name));
        case Role::lead:
            return refuse(message("bench.not_a_lead").with("person", person->second.name));
        case Role::setter:
            return refuse(message("bench.not_a_setter").with("person", person->second.name));
        case Role::auditor:
            break;
    }
    return refuse(message("bench.not_allowed").with("person", person->second.name));
}

Result<void> Decider::lead_or_setter() const {
    if (must_be(Role::setter) || must_be(Role::lead)) return {};
    return refuse(message("bench.not_a_lead_or_setter"));
}

Result<void> Decider::may_work() const {
    if (auto ok = must_be(Role::operator_); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    if (s_.person != who_) return refuse(message("bench.not_signed_in"));
    return {};
}

std::vector<std::string> tags_due(const BenchState& state) {
    std::vector<std::string> due;
    for (const auto& [serial, a] : state.assemblies)
        if (a.stage == Stage::passed && (a.tag == TagState::none || tag_outdated(a))) due.push_back(serial);
    return due;
}

bool tag_outdated(const AssemblyState& a) {
    return a.stage == Stage::passed && a.tag == TagState::printed && !quiet(a);
}

}  // namespace crimpgate
