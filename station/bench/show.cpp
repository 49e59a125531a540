#include "station/bench/show.h"

#include <algorithm>
#include <boost/json.hpp>

#include "specs/assembly.h"
#include "station/bench/return_steps.h"
#include "station/bench/sample_steps.h"
#include "station/bench/show_parts.h"
#include "station/entries/describe_entries.h"
#include "station/json/reflect.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(Ask, clock, sign_in, quarantine, shift, proof_reading, proof, gauge, order, order_done, lots, die,
                    setup, measure, again, confirm, proof_test, study, sample, returned)

namespace {

namespace json = boost::json;
using reflect::enum_name;

// Of the gauges that may measure now, the least sure one's: which is taken up is known only when it speaks.
Length uncertainty_at_hand(const BenchState& s, const Now& now) {
    Length largest;
    for (const auto& [id, gauge] : s.gauges)
        if (gauge_ready(gauge, now)) largest = std::max(largest, gauge.registered.uncertainty);
    return largest;
}

json::object step_json(const BenchState& s, const NextStep& step, const Now& now) {
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
        case Ask::proof_test:
            out["begins"] = false;
            out["end"] = enum_name(step.end);
            out["asked"] = reflect::write_struct(*s.assemblies.at(step.serial).started.proof_test);
            break;
        case Ask::proof_reading:
            out["gauge"] = step.gauge;
            out["reference"] = s.proof->reference;
            out["size_nm"] = s.references.at(s.proof->reference).size.nm();
            out["limit_nm"] = s.gauges.at(step.gauge).registered.proof_limit.nm();
            break;
        case Ask::study: {
            const auto& study = s.studies.at(s.study);
            out["study"] = s.study;
            out["gauge"] = step.gauge;
            out["turn"] = step.turn;
            out["turns"] = static_cast<std::int64_t>(study.plan.turns.size());
            out["piece"] = step.piece;
            out["person"] = step.person;
            out["person_name"] = s.people.at(step.person).name;
            break;
        }
        case Ask::sample: {
            const auto& sample = s.samples.at(s.sample);
            out["sample"] = s.sample;
            out["measured"] = static_cast<std::int64_t>(sample.measured.size());
            out["places"] = places_of_sample(s, sample);
            out["end"] = enum_name(step.end);
            out["what"] = enum_name(step.what);
            out["flat"] = step.flat;
            break;
        }
        case Ask::returned: {
            const auto& returned = s.record.returns.at(s.record.returned);
            out["return"] = s.record.returned;
            out["places"] = static_cast<std::int64_t>(places_of_return(s, returned).size());
            out["done"] = step.turn == 0;
            if (!returned.measured.empty()) {
                const auto& m = returned.measured.back();
                out["last"] =
                    json::object{{"end", enum_name(m.end)},  {"what", enum_name(m.what)},          {"flat", m.flat},
                                 {"value_nm", m.value.nm()}, {"resolution_nm", m.resolution.nm()}, {"gauge", m.gauge}};
            }
            if (step.turn == 0) break;
            out["measured"] = step.turn - 1;
            out["end"] = enum_name(step.end);
            out["what"] = enum_name(step.what);
            if (step.flat != 0) out["flat"] = step.flat;
            break;
        }
        // The study's own gauge is missing, or has to prove itself.
        case Ask::gauge:
        case Ask::proof:
            if (!step.gauge.empty()) out["gauge"] = step.gauge;
            break;
        default:
            break;
    }
    if (step.band) {
        out["lower_nm"] = step.band->lower.nm();
        out["upper_nm"] = step.band->upper.nm();
        // What came back is not judged, so no guard is shown.
        const SpecRow* row = step.ask == Ask::sample ? &s.assemblies.at(step.serial).row(step.end) : row_in_work(s);
        if (row != nullptr && step.ask != Ask::setup && step.ask != Ask::returned)
            out["guard_nm"] = guard_of(row->rule, uncertainty_at_hand(s, now)).nm();
    }
    return out;
}

json::array gauges_json(const BenchState& s, const Now& now) {
    json::array out;
    for (const auto& [id, gauge] : s.gauges) {
        json::object g{{"gauge", id},
                       {"connected", gauge.connected},
                       {"calibration_due", gauge.registered.calibration_due},
                       {"proved_until_utc_ms", gauge.needs_proof ? 0 : gauge.valid_until_utc_ms},
                       {"resolution_nm", gauge.registered.resolution.nm()},
                       {"uncertainty_nm", gauge.registered.uncertainty.nm()}};
        const auto ready = gauge_ready(gauge, now);
        g["ready"] = ready.has_value();
        if (!ready) g["why"] = reflect::write(ready.error());
        out.push_back(std::move(g));
    }
    return out;
}

json::array lots_json(const std::vector<entries::LotIssued>& lots) {
    json::array out;
    for (const auto& lot : lots)
        out.push_back(json::string(lot.lot));
    return out;
}

json::object order_json(const BenchState& s) {
    const auto& state = s.orders.at(s.order);
    const auto& order = state.order;
    json::object o{{"order", s.order},
                   {"customer", order.customer},
                   {"customer_part", order.customer_part},
                   {"quantity", order.quantity},
                   {"passed", state.passed},
                   {"open", state.open},
                   {"scrapped", state.scrapped},
                   {"overall_length_nm", order.overall_length.nm()},
                   {"due", order.due},
                   {"notes", order.notes},
                   {"lots", json::object{{"hose", lots_json(order.hose_lots)},
                                         {"fitting_a", lots_json(order.fitting_a_lots)},
                                         {"fitting_b", lots_json(order.fitting_b_lots)}}}};
    if (order.orientation_deg) o["orientation_deg"] = *order.orientation_deg;
    if (order.proof_test) o["proof_test"] = reflect::write_struct(*order.proof_test);
    if (s.lots) {
        o["hose_lot"] = s.lots->hose;
        o["fitting_a_lot"] = s.lots->fitting_a;
        o["fitting_b_lot"] = s.lots->fitting_b;
    }
    const auto a = s.rows.find(order.spec_a), b = s.rows.find(order.spec_b);
    if (a != s.rows.end() && b != s.rows.end()) {
        if (const auto cut = cut_length(order.overall_length, a->second.fitting.cut_off, b->second.fitting.cut_off))
            o["cut_length_nm"] = cut->nm();
        if (order.spec_a != order.spec_b) o["spec_b"] = order.spec_b;
        o["spec_a"] = order.spec_a;
    }
    return o;
}

// What may be begun at the bench beside the work: how far it is, and nothing that was read.
void put_waiting(json::object& out, const BenchState& s) {
    json::array studies, samples;
    for (const auto& [id, study] : s.studies)
        if (!study.dropped && !study.complete())
            studies.push_back(json::object{{"study", id},
                                           {"gauge", study.plan.gauge},
                                           {"measured", static_cast<std::int64_t>(study.measured.size())},
                                           {"turns", static_cast<std::int64_t>(study.plan.turns.size())}});
    for (const auto& [id, sample] : s.samples)
        if (!sample.judged)
            samples.push_back(json::object{{"sample", id},
                                           {"shift", sample.drawn.shift},
                                           {"measured", static_cast<std::int64_t>(sample.measured.size())},
                                           {"places", places_of_sample(s, sample)}});
    json::array returns;
    for (const auto& [number, returned] : s.record.returns)
        if (!returned.concluded)
            returns.push_back(json::object{{"return", number},
                                           {"serial", returned.opened.serial},
                                           {"customer", returned.opened.customer},
                                           {"measured", static_cast<std::int64_t>(returned.measured.size())},
                                           {"hurt", returned.opened.someone_hurt}});
    if (!returns.empty()) out["open_returns"] = std::move(returns);
    if (!studies.empty()) out["open_studies"] = std::move(studies);
    if (!samples.empty()) out["open_samples"] = std::move(samples);
}

json::array references_json(const BenchState& s) {
    json::array out;
    for (const auto& [id, reference] : s.references)
        out.push_back(json::object{{"reference", id}, {"kind", reference.kind}, {"size_nm", reference.size.nm()}});
    return out;
}

}  // namespace

json::object show(const BenchState& s, const BenchRules& configured, const Now& now) {
    const auto rules = rules_in_force(configured, s);
    const auto step = next_step(s, rules, now);
    json::object out{{"seq", s.last_seq},
                     {"now_utc_ms", now.utc_ms},
                     {"station", rules.station},
                     {"step", step_json(s, step, now)},
                     {"gauges", gauges_json(s, now)},
                     {"references", references_json(s)},
                     {"limits", reflect::write_struct(limits_of(rules))},
                     {"screen", reflect::write_struct(s.screen)}};
    if (!s.person.empty()) {
        const auto& person = s.people.at(s.person);
        out["person"] = s.person;
        out["person_name"] = person.name;
        out["person_role"] = enum_name(person.role);
        out["language"] = person.language;
    }
    if (!s.shift.empty()) out["shift"] = s.shift;
    if (!s.order.empty()) out["order"] = order_json(s);
    put_waiting(out, s);
    if (!s.study.empty()) out["study"] = s.study;
    if (!s.sample.empty()) out["sample"] = s.sample;
    if (!s.record.returned.empty()) {
        out["returned"] = s.record.returned;
        if (const auto* assembly = assembly_of(s, s.record.returns.at(s.record.returned)))
            out["row"] = reflect::write_struct(assembly->row(step.end));
    } else if (step.ask == Ask::sample) {
        out["row"] = reflect::write_struct(s.assemblies.at(step.serial).row(step.end));
    } else if (const SpecRow* row = row_in_work(s, step)) {
        out["row"] = reflect::write_struct(*row);
        out["setup_key"] = setup_key(*row, hose_lot_in_work(s));
        if (auto watch = watch_json(s, *row, hose_lot_in_work(s)); !watch.empty()) out["watch"] = std::move(watch);
    }
    if (!s.current.empty()) out["assembly"] = assembly_json(s.assemblies.at(s.current));
    if (!s.stopped.empty()) out["stopped"] = assembly_json(s.assemblies.at(s.stopped));
    if (s.last) out["last"] = last_json(*s.last);
    if (s.setup && !s.setup->records.empty()) {
        json::array readings;
        for (const auto& r : s.setup->records)
            readings.push_back(json::object{
                {"seq", r.seq}, {"flat", r.flat}, {"value_nm", r.measured->value.nm()}, {"side", enum_name(r.side)}});
        out["setup"] = std::move(readings);
    }
    if (s.last_setup) out["last_setup"] = reflect::write_struct(*s.last_setup);
    json::array waiting, tags_in_doubt, tags_failed;
    std::int64_t holds = 0, suspects = 0;
    for (const auto& [serial, a] : s.assemblies) {
        if (a.stage == Stage::on_hold) ++(a.hold->cause == HoldCause::suspect ? suspects : holds);
        if (a.stage == Stage::to_be_taken_up) waiting.push_back(json::string(serial));
        if (a.tag == TagState::in_doubt) tags_in_doubt.push_back(json::string(serial));
        if (a.tag == TagState::failed) tags_failed.push_back(json::string(serial));
    }
    out["holds_open"] = holds + suspects;
    out["suspects"] = suspects;
    out["to_be_taken_up"] = std::move(waiting);
    out["tags_in_doubt"] = std::move(tags_in_doubt);
    out["tags_failed"] = std::move(tags_failed);
    return out;
}

}  // namespace crimpgate
