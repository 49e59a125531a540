#include "station/bench/show_parts.h"

#include <boost/json.hpp>

#include "station/bench/holds.h"
#include "station/entries/describe_entries.h"
#include "station/json/reflect.h"

namespace crimpgate {

BOOST_DESCRIBE_ENUM(Stage, in_work, on_hold, to_be_taken_up, passed, scrapped)
BOOST_DESCRIBE_ENUM(TagState, none, printing, printed, failed, in_doubt)

namespace {

namespace json = boost::json;
using reflect::enum_name;

void put(json::object& out, const char* name, const std::optional<Length>& length) {
    if (length) out[name] = length->nm();
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
        if (r.measured) {
            record["value_nm"] = r.measured->value.nm();
            if (const auto finding = judge_length(a.row(end), r.what, r.flat, *r.measured)) {
                put(record, "lower_nm", finding->lower);
                put(record, "upper_nm", finding->upper);
                put(record, "guard_nm", finding->guard);
            }
        }
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

}  // namespace

json::array choices_json(const AssemblyState& a) {
    json::array out;
    for (const auto how : {Settlement::recrimp, Settlement::remeasure, Settlement::concession, Settlement::scrap}) {
        const auto possible = may_be_settled(a, how);
        json::object choice{{"how", enum_name(how)}, {"possible", possible.has_value()}};
        if (!possible) choice["why"] = reflect::write(possible.error());
        out.push_back(std::move(choice));
    }
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
        if (a.stage == Stage::on_hold) out["may"] = choices_json(a);
    }
    if (a.started.proof_test) out["proof_test_asked"] = reflect::write_struct(*a.started.proof_test);
    if (a.proof_test) out["proof_test"] = reflect::write_struct(*a.proof_test);
    if (!a.concession_reference.empty()) out["concession_reference"] = a.concession_reference;
    return out;
}

json::object last_json(const LastSaid& last) {
    json::object out{{"seq", last.seq}, {"utc_ms", last.utc_ms}, {"kind", last.taken ? "taken" : "refused"}};
    if (last.refused) {
        out["gauge"] = last.refused->gauge;
        out["why"] = reflect::write(last.refused->why);
        return out;
    }
    const auto& t = *last.taken;
    out["gauge"] = t.gauge;
    out["purpose"] = enum_name(t.purpose);
    out["value_nm"] = t.value.nm();
    out["unit"] = enum_name(t.unit);
    out["resolution_nm"] = t.resolution.nm();
    if (!t.serial.empty()) out["serial"] = t.serial;
    if (t.end) out["end"] = enum_name(*t.end);
    if (t.what) out["what"] = enum_name(*t.what);
    if (t.flat != 0) out["flat"] = t.flat;
    put(out, "lower_nm", t.lower);
    put(out, "upper_nm", t.upper);
    put(out, "guard_nm", t.guard);
    if (t.verdict) out["verdict"] = enum_name(*t.verdict);
    if (t.side) out["side"] = enum_name(*t.side);
    return out;
}

}  // namespace crimpgate
