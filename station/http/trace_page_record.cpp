#include "station/http/trace_page_record.h"

#include <boost/json.hpp>

#include "station/http/page_words.h"
#include "station/json/describe_specs.h"
#include "station/json/reflect.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

void put(json::object& out, const char* name, const std::optional<Length>& value) {
    if (value) out[name] = value->nm();
}
void put(json::object& out, const char* name, const std::string& value) {
    if (!value.empty()) out[name] = value;
}

json::object row_object(const SpecRow& row) {
    json::object out{{"spec", row.spec_id},
                     {"revision", row.revision},
                     {"source", row.source},
                     {"die_set", row.die_set},
                     {"crimper", row.crimper},
                     {"rule", reflect::enum_name(row.rule.kind)},
                     {"guard_factor_thousandths", row.rule.guard_factor_thousandths},
                     {"hose", json::object{{"maker", row.hose.maker},
                                           {"type", row.hose.type},
                                           {"dash", row.hose.dash},
                                           {"standard", row.hose.standard},
                                           {"bend_radius_nm", row.hose.bend_radius.nm()},
                                           {"temperature_min_c", row.hose.temperature_min_c},
                                           {"temperature_max_c", row.hose.temperature_max_c}}},
                     {"fitting", json::object{{"maker", row.fitting.maker},
                                              {"series", row.fitting.series},
                                              {"family", row.fitting.end_family},
                                              {"form", row.fitting.end_form},
                                              {"size", row.fitting.end_size}}}};
    return out;
}

json::object reading_object(const CertificateReading& r) {
    json::object out{{"what", std::string(code_of(r.what))}, {"verdict", reflect::enum_name(r.verdict)}};
    if (r.flat > 0) out["flat"] = r.flat;
    put(out, "value_nm", r.value);
    put(out, "lower_nm", r.lower);
    put(out, "upper_nm", r.upper);
    put(out, "guard_nm", r.guard);
    put(out, "uncertainty_nm", r.uncertainty);
    put(out, "margin_nm", r.margin);
    if (r.value) out["resolution_nm"] = r.resolution.nm();
    if (r.seen) out["seen"] = reflect::enum_name(*r.seen);
    if (r.yes) out["yes"] = *r.yes;
    if (r.conceded) out["conceded"] = true;
    put(out, "gauge", r.gauge);
    put(out, "by", r.person);
    if (r.at_ms > 0) out["at"] = utc_text(r.at_ms);
    if (r.seq > 0) out["entry"] = r.seq;
    return out;
}

json::array ends_array(const CertificateAssembly& a) {
    json::array out;
    for (std::size_t i = 0; i < 2; ++i) {
        const auto& end = a.ends[i];
        json::array readings;
        for (const auto& r : end.readings)
            readings.push_back(reading_object(r));
        json::object one{{"end", i == 0 ? "a" : "b"},
                         {"fitting_lot", end.fitting_lot},
                         {"attempt", end.attempt},
                         {"readings", std::move(readings)}};
        put(one, "mean_nm", end.mean);
        out.push_back(std::move(one));
    }
    return out;
}

json::array tests_array(const CertificateAssembly& a) {
    json::array out;
    for (const auto& t : a.proof_tests)
        out.push_back(json::object{{"asked_kpa", t.asked.kpa()},
                                   {"asked_s", t.asked_s},
                                   {"reached_kpa", t.reached.kpa()},
                                   {"held_s", t.held_s},
                                   {"medium", t.medium},
                                   {"seen", t.seen},
                                   {"manometer", t.manometer},
                                   {"passed", t.passed},
                                   {"by", t.by},
                                   {"at", utc_text(t.at_ms)}});
    return out;
}

json::object findings_object(const CertificateApplication& application) {
    json::array findings;
    for (const auto& f : application.findings)
        findings.push_back(
            json::object{{"severity", f.severity},
                         {"source", f.source},
                         {"words", json::object{{"en", say_in("en", f.what)}, {"de", say_in("de", f.what)}}}});
    json::object out{{"findings", std::move(findings)}};
    put(out, "overridden_by", application.overridden_by);
    put(out, "override_reason", application.override_reason);
    return out;
}

}  // namespace

json::object trace_record(const CertificateData& data) {
    const auto& a = data.assemblies.front();
    const auto& item = data.items.at(a.item);
    json::object out{{"serial", a.serial},
                     {"order", item.order},
                     {"customer_part", item.customer_part},
                     {"hose_lot", item.hose_lot},
                     {"working_pressure_kpa", item.working_pressure.kpa()},
                     {"overall_length_nm", item.overall_length.nm()},
                     {"cut_length_nm", item.cut_length.nm()},
                     {"length_rule", item.length_rule},
                     {"rows", json::array{row_object(item.row_a), row_object(item.row_b)}},
                     {"ends", ends_array(a)},
                     {"passed", utc_text(a.passed_ms)},
                     {"passed_by", a.passed_by},
                     {"passed_entry", a.passed_seq},
                     {"clock_unsynced", a.clock_unsynced},
                     {"proof_tests", tests_array(a)}};
    put(out, "hose_made", item.hose_made);
    put(out, "concession_reference", a.concession_reference);
    if (item.orientation_deg) out["orientation_deg"] = *item.orientation_deg;
    if (item.needed_pressure) out["needed_pressure_kpa"] = item.needed_pressure->kpa();
    if (item.length_band) {
        out["length_plus_nm"] = item.length_band->plus.nm();
        out["length_minus_nm"] = item.length_band->minus.nm();
    }
    if (const auto worst = worst_margin(a)) {
        out["worst"] = reading_object(*worst->reading);
        out["worst"].as_object()["end"] = worst->end == 0 ? "a" : "b";
    }
    json::array concessions, recrimps, gauges, applications;
    for (const auto& c : a.concessions)
        concessions.push_back(json::object{{"reason", c.reason},
                                           {"reference", c.reference},
                                           {"by", c.by},
                                           {"second", c.second},
                                           {"at", utc_text(c.at_ms)}});
    for (const auto& r : a.recrimps)
        recrimps.push_back(json::object{{"by", r.by}, {"at", utc_text(r.at_ms)}});
    for (const auto& g : data.gauges)
        gauges.push_back(json::object{{"gauge", g.gauge},
                                      {"calibrated", g.calibrated},
                                      {"due", g.due},
                                      {"certificate", g.certificate},
                                      {"resolution_nm", g.resolution.nm()}});
    for (const auto& one : data.applications)
        applications.push_back(findings_object(one));
    out["concessions"] = std::move(concessions);
    out["recrimps"] = std::move(recrimps);
    out["gauges"] = std::move(gauges);
    out["application"] = std::move(applications);
    return out;
}

}  // namespace crimpgate
