// The shop's own settings: lines, printer, screen, limits, and spec tables, which come into force by two people.
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

BenchRules rules_in_force(const BenchRules& configured, const BenchState& state) {
    BenchRules rules = configured;
    if (!state.limits) return rules;
    const auto& set = *state.limits;
    rules.proof_interval_ms = set.proof_interval_min * 60'000;
    rules.repeats_allowed = set.repeats_allowed;
    rules.prove_after_reconnect = set.prove_after_reconnect;
    rules.own_hold_may_be_settled = set.own_hold_may_be_settled;
    rules.hose_age_years = set.hose_age_years;
    rules.sign_out_after_ms = set.sign_out_after_min * 60'000;
    rules.simple_acceptance_allowed = set.simple_acceptance_allowed;
    rules.scrap_by_operator = set.scrap_by_operator;
    rules.concession_needs_second = set.concession_needs_second;
    rules.shown_unit = set.shown_unit;
    return rules;
}

LimitsSet limits_of(const BenchRules& rules) {
    LimitsSet set;
    set.proof_interval_min = rules.proof_interval_ms / 60'000;
    set.repeats_allowed = rules.repeats_allowed;
    set.prove_after_reconnect = rules.prove_after_reconnect;
    set.own_hold_may_be_settled = rules.own_hold_may_be_settled;
    set.hose_age_years = rules.hose_age_years;
    set.sign_out_after_min = rules.sign_out_after_ms / 60'000;
    set.simple_acceptance_allowed = rules.simple_acceptance_allowed;
    set.scrap_by_operator = rules.scrap_by_operator;
    set.concession_needs_second = rules.concession_needs_second;
    set.shown_unit = rules.shown_unit;
    return set;
}

Result<void> Decider::operator()(const commands::SetGaugeLine& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    for (const auto& [field, text] :
         {std::pair("gauge", &c.line.gauge), std::pair("port", &c.line.port), std::pair("profile", &c.line.profile)})
        if (text->empty()) return refuse(message("bench.field_empty").with("field", field));
    for (const auto& [gauge, line] : s_.lines)
        if (gauge != c.line.gauge && line.port == c.line.port)
            return refuse(message("bench.port_taken").with("port", c.line.port).with("gauge", gauge));
    emit(c.line);
    return {};
}

Result<void> Decider::operator()(const commands::ChoosePrinter& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (c.printer.size != "100x150" && c.printer.size != "100x50" && c.printer.size != "a6")
        return refuse(message("bench.no_tag_size").with("size", c.printer.size));
    if (c.printer.dpi < 150 || c.printer.dpi > 1200)
        return refuse(message("bench.out_of_range").with("field", "dpi").with("least", "150").with("most", "1200"));
    emit(c.printer);
    return {};
}

Result<void> Decider::operator()(const commands::SetScreen& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (c.screen.um_per_pixel < 50 || c.screen.um_per_pixel > 1000)
        return refuse(
            message("bench.out_of_range").with("field", "um_per_pixel").with("least", "50").with("most", "1000"));
    emit(c.screen);
    return {};
}

Result<void> Decider::operator()(const commands::SetLimits& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    struct Range {
        const char* field;
        std::int64_t value, least, most;
    };
    const auto& l = c.limits;
    for (const Range& r :
         {Range{"proof_interval_min", l.proof_interval_min, 5, 1440}, Range{"repeats_allowed", l.repeats_allowed, 0, 5},
          Range{"hose_age_years", l.hose_age_years, 1, 10}, Range{"sign_out_after_min", l.sign_out_after_min, 0, 480}})
        if (r.value < r.least || r.value > r.most)
            return refuse(message("bench.out_of_range")
                              .with("field", r.field)
                              .with("least", std::to_string(r.least))
                              .with("most", std::to_string(r.most)));
    emit(l);
    return {};
}

Result<void> Decider::operator()(const commands::ProposeTable& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (c.rows.empty()) return refuse(message("bench.table_empty").with("table", c.table));
    if (!c.warnings.empty() && !c.warnings_acknowledged)
        return refuse(message("bench.warnings_open").with("count", std::to_string(c.warnings.size())));
    TableProposed proposed;
    proposed.table = c.table;
    proposed.file_sha256 = c.file_sha256;
    proposed.rows = c.rows;
    proposed.warnings = c.warnings;
    emit(std::move(proposed));
    return {};
}

Result<void> Decider::operator()(const commands::AdoptProposal& c) {
    if (auto ok = lead_or_setter(); !ok) return ok;
    const auto proposal = s_.proposals.find(c.proposed_seq);
    if (proposal == s_.proposals.end())
        return refuse(message("bench.no_proposal").with("seq", std::to_string(c.proposed_seq)));
    if (proposal->second.by == who_) return refuse(message("bench.own_proposal"));
    const auto& table = proposal->second.table;
    if (!rules_.simple_acceptance_allowed)
        for (const auto& row : table.rows)
            if (row.rule.kind == RuleKind::simple)
                return refuse(message("bench.simple_acceptance").with("spec", row.spec_id));
    TableAdopted adopted;
    adopted.table = table.table;
    adopted.file_sha256 = table.file_sha256;
    adopted.rows = table.rows;
    adopted.warnings = table.warnings;
    adopted.proposed_seq = c.proposed_seq;
    adopted.proposed_by = proposal->second.by;
    emit(std::move(adopted));
    return {};
}

Result<void> Decider::operator()(const commands::DropProposal& c) {
    if (auto ok = lead_or_setter(); !ok) return ok;
    if (!s_.proposals.contains(c.proposed_seq))
        return refuse(message("bench.no_proposal").with("seq", std::to_string(c.proposed_seq)));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    ProposalDropped dropped;
    dropped.proposed_seq = c.proposed_seq;
    dropped.reason = c.reason;
    emit(dropped);
    return {};
}

}  // namespace crimpgate
