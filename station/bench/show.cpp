#include "station/bench/show.h"

#include <boost/json.hpp>

#include "station/entries/describe_entries.h"
#include "station/json/reflect.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(Ask, clock, sign_in, quarantine, shift, proof_reading, proof, gauge, order, order_done, lots, die,
                    setup, measure, again, confirm)
BOOST_DESCRIBE_ENUM(Stage, in_work, on_hold, to_be_taken_up, passed, scrapped)
BOOST_DESCRIBE_ENUM(TagState, none, printing, printed, failed, in_doubt)

namespace {

namespace json = boost::json;
using reflect::enum_name;

json::object step_json(const BenchState& s, const NextStep& step) {
    json::object out{{"ask", enum_name(step.ask)}};
    if (!step.serial.empty()) out["serial"] = step.serial;
    switch (step.ask) {
        case Ask::setup:
        case Ask::measure:
        case Ask::again:
        case Ask::confirm:
            out["begins"] = step.begins;
            out["end"] = enum_name(step.end);
            out["what"] = enum_name(step.what);
            if (step.flat != 0) out["flat"] = step.flat;
            break;
        case Ask::die:
            out["end"] = enum_name(step.end);
            break;
        case Ask::proof_reading:
            out["gauge"] = step.gauge;
            out["reference"] = s.proof->reference;
            out["size_nm"] = s.references.at(s.proof->reference).size.nm();
            break;
        default:
            break;
    }
    if (step.band) {
        out["lower_nm"] = step.band->lower.nm();
        out["upper_nm"] = step.band->upper.nm();
    }
    return out;
}

json::object end_json(const AssemblyState& a, End end) {
    const auto& e = a.at(end);
    json::array records;
    for (const auto& r : e.records) {
        json::object record{{"seq", r.seq},
                            {"what", enum_name(r.what)},
                            {"verdict", enum_name(r.verdict)},
                            {"side", enum_name(r.side)}};
        if (r.flat != 0) record["flat"] = r.flat;
        if (r.measured) record["value_nm"] = r.measured->value.nm();
        if (r.seen) record["seen"] = enum_name(*r.seen);
        if (r.yes) record["yes"] = *r.yes;
        records.push_back(std::move(record));
    }
    return {{"attempt", e.attempt}, {"done", e.done}, {"readings", std::move(records)}};
}

json::object hold_json(const HoldState& hold) {
    json::object out{{"seq", hold.seq}, {"cause", enum_name(hold.cause)}, {"recrimp_possible", hold.recrimp_possible}};
    if (hold.end) out["end"] = enum_name(*hold.end);
    if (!hold.gauge.empty()) {
        out["gauge"] = hold.gauge;
        out["gauge_error_nm"] = hold.gauge_error.nm();
    }
    if (!hold.reason.empty()) out["reason"] = hold.reason;
    return out;
}

json::object assembly_json(const AssemblyState& a) {
    json::object out{{"serial", a.started.serial},  {"order", a.started.order}, {"number", a.number},
                     {"stage", enum_name(a.stage)}, {"recrimps", a.recrimps},   {"a", end_json(a, End::a)},
                     {"b", end_json(a, End::b)},    {"tag", enum_name(a.tag)}};
    if (a.hold) {
        out["hold"] = hold_json(*a.hold);
        json::array findings;
        if (a.hold->end)
            for (const auto& f : a.at(*a.hold->end).last_findings)
                if (f.verdict != Verdict::conforms) findings.push_back(reflect::write_struct(f));
        out["findings"] = std::move(findings);
    }
    if (!a.concession_reference.empty()) out["concession_reference"] = a.concession_reference;
    return out;
}

json::array gauges_json(const BenchState& s, const Now& now) {
    json::array out;
    for (const auto& [id, gauge] : s.gauges) {
        json::object g{{"gauge", id},
                       {"connected", gauge.connected},
                       {"calibration_due", gauge.registered.calibration_due},
                       {"proved_until_utc_ms", gauge.needs_proof ? 0 : gauge.valid_until_utc_ms}};
        const auto ready = gauge_ready(gauge, now);
        g["ready"] = ready.has_value();
        if (!ready) g["why"] = reflect::write(ready.error());
        out.push_back(std::move(g));
    }
    return out;
}

}  // namespace

json::object show(const BenchState& s, const BenchRules& rules, const Now& now) {
    const auto step = next_step(s, rules, now);
    json::object out{
        {"seq", s.last_seq}, {"station", rules.station}, {"step", step_json(s, step)}, {"gauges", gauges_json(s, now)}};
    if (!s.person.empty()) {
        const auto person = s.people.find(s.person);
        out["person"] = s.person;
        out["person_name"] = person == s.people.end() ? s.person : person->second.name;
    }
    if (!s.shift.empty()) out["shift"] = s.shift;
    if (!s.order.empty()) {
        const auto& order = s.orders.at(s.order);
        json::object o{{"order", s.order},
                       {"customer", order.order.customer},
                       {"customer_part", order.order.customer_part},
                       {"quantity", order.order.quantity},
                       {"passed", order.passed},
                       {"open", order.open},
                       {"scrapped", order.scrapped}};
        if (s.lots) {
            o["hose_lot"] = s.lots->hose;
            o["fitting_a_lot"] = s.lots->fitting_a;
            o["fitting_b_lot"] = s.lots->fitting_b;
        }
        out["order"] = std::move(o);
        if (const SpecRow* row = row_in_work(s, step)) out["row"] = reflect::write_struct(*row);
    }
    if (!s.current.empty()) out["assembly"] = assembly_json(s.assemblies.at(s.current));
    if (!s.stopped.empty()) out["stopped"] = assembly_json(s.assemblies.at(s.stopped));
    if (s.setup && !s.setup->records.empty()) {
        json::array readings;
        for (const auto& r : s.setup->records)
            readings.push_back(json::object{
                {"seq", r.seq}, {"flat", r.flat}, {"value_nm", r.measured->value.nm()}, {"side", enum_name(r.side)}});
        out["setup"] = std::move(readings);
    }
    if (s.last_setup) out["last_setup"] = reflect::write_struct(*s.last_setup);
    json::array waiting;
    json::array tags_in_doubt;
    std::int64_t holds = 0;
    for (const auto& [serial, a] : s.assemblies) {
        if (a.stage == Stage::on_hold) ++holds;
        if (a.stage == Stage::to_be_taken_up) waiting.push_back(json::string(serial));
        if (a.tag == TagState::in_doubt) tags_in_doubt.push_back(json::string(serial));
    }
    out["holds_open"] = holds;
    out["to_be_taken_up"] = std::move(waiting);
    out["tags_in_doubt"] = std::move(tags_in_doubt);
    return out;
}

}  // namespace crimpgate
