#include "station/bench/application_steps.h"

#include <algorithm>

#include "specs/length_tolerance.h"
#include "specs/order.h"

namespace crimpgate {

using namespace entries;

namespace {

// What the length tolerance lets through at the least; the nominal length where the rule has none.
Length shortest(const OrderOpened& order, std::int64_t dash) {
    for (const auto rule : {LengthRule::din20066, LengthRule::sae_j517})
        if (order.length_rule == code_of(rule))
            if (const auto allowed = toleranced_length(order.overall_length, rule, dash)) return allowed->band().lower;
    return order.overall_length;
}

}  // namespace

std::vector<ApplicationFinding> application_findings(const OrderOpened& order, const SpecRow& row_a,
                                                     const SpecRow& row_b, const BenchRules& rules, const Now& now) {
    AssemblyFacts facts;
    facts.row_a = row_a;
    facts.row_b = row_b;
    facts.rating = working_pressure(row_a, row_b);
    facts.overall = order.overall_length;
    facts.shortest = shortest(order, row_a.hose.dash);
    // An order that would leave no hose is refused before this is asked.
    facts.cut = cut_length(order.overall_length, row_a.fitting.cut_off, row_b.fitting.cut_off).value_or(Length{});
    facts.orientation_deg = order.orientation_deg;
    facts.hose_age_limit_years = rules.hose_age_years;
    const auto day = parse_date(now.local_date);
    if (day) facts.day = *day;
    for (const auto& lot : order.hose_lots) {
        const auto made = HoseQuarter::parse(lot.made);
        facts.hose_lots.push_back({lot.lot, day && made ? std::optional(*made) : std::nullopt});
    }
    Application wanted = order.application.value_or(Application{});
    if (order.needed_pressure) wanted.highest_pressure = order.needed_pressure;
    return check_application(wanted, facts);
}

std::set<std::string> open_stops(const BenchState& s, const OrderOpened& order, const BenchRules& rules,
                                 const Now& now) {
    std::set<std::string> out;
    if (!order.application_findings) return out;
    const auto gather = [&](const std::vector<ApplicationFinding>& findings, bool with_age) {
        for (const auto& f : findings)
            if (f.severity == FindingSeverity::stop && (with_age || f.what.code != "application.hose_age_beyond"))
                out.insert(f.what.code);
    };
    gather(*order.application_findings, true);
    const auto a = s.rows.find(order.spec_a), b = s.rows.find(order.spec_b);
    if (a != s.rows.end() && b != s.rows.end())
        gather(application_findings(order, a->second, b->second, rules, now), false);
    if (const auto answered = s.record.overridden.find(order.order); answered != s.record.overridden.end())
        for (const auto& code : answered->second)
            out.erase(code);
    return out;
}

bool is_test_liquid(std::string_view medium) {
    return medium == "oil" || medium == "water" || medium == "emulsion";
}

Result<void> proof_test_fits(const ProofTestAsked& asked, Pressure rating) {
    if (asked.pressure < rating || asked.pressure.kpa() > 2 * rating.kpa())
        return refuse(message("bench.proof_test_pressure")
                          .with("asked", asked.pressure.to_bar_text(0))
                          .with("low", rating.to_bar_text(0))
                          .with("high", Pressure::from_kpa(2 * rating.kpa()).to_bar_text(0)));
    if (asked.hold_s < 30 || asked.hold_s > 600)
        return refuse(message("bench.proof_test_hold").with("seconds", std::to_string(asked.hold_s)));
    if (!is_test_liquid(asked.medium)) return refuse(message("bench.proof_test_medium").with("medium", asked.medium));
    return {};
}

bool proof_test_due(const AssemblyState& a) {
    return a.started.proof_test && !(a.proof_test && a.proof_test->passed);
}

}  // namespace crimpgate
