// From an assembly's record to what its tag says.
#include <set>

#include "specs/assembly.h"
#include "specs/dates.h"
#include "specs/length_tolerance.h"
#include "specs/shown_length.h"
#include "station/daemon/tag_code.h"
#include "station/daemon/tag_outbox.h"

namespace crimpgate {

namespace {

std::string name_of(const BenchState& state, const std::string& person) {
    const auto found = state.people.find(person);
    return found == state.people.end() ? person : found->second.name;
}

TagEnd end_of(const BenchState& state, const AssemblyState& a, End end) {
    const SpecRow& row = a.row(end);
    const EndState& work = a.at(end);
    TagEnd out;
    out.fitting_maker = row.fitting.maker;
    out.fitting_series = row.fitting.series;
    out.end_form = row.fitting.end_form;
    out.end_size = row.fitting.end_size;
    out.fitting_lot = end == End::a ? a.started.fitting_a_lot : a.started.fitting_b_lot;
    out.depth_band = row.depth.band();
    out.diameter_band = row.crimp.band();
    out.spread_limit = row.spread_limit;
    out.rule = row.rule;
    out.recrimps = work.attempt - 1;
    std::set<std::string> gauges;
    for (const auto& r : work.records) {
        if (!r.measured) continue;
        gauges.insert(r.gauge);
        if (const auto gauge = state.gauges.find(r.gauge); gauge != state.gauges.end())
            out.places = std::max(out.places, places_of(gauge->second.registered.resolution, LengthUnit::mm));
    }
    out.gauges.assign(gauges.begin(), gauges.end());
    const auto readings = readings_of(work);
    if (readings.depth) out.depth = readings.depth->value;
    for (const auto& place : readings.crimps)
        out.diameters.push_back({place.flat, place.measured.value});
    const auto judgement = judge_end(row, readings);
    if (judgement.spread) out.spread = *judgement.spread;
    return out;
}

}  // namespace

TagData tag_of(const BenchState& state, const AssemblyState& a, const TagSettings& settings, const std::string& station,
               const std::string& local_date, std::int64_t copy) {
    const auto& started = a.started;
    const SpecRow& row = started.row_a;
    TagData tag;
    tag.shop = settings.shop;
    tag.serial = started.serial;
    tag.order = started.order;
    tag.customer = started.customer;
    tag.customer_part = started.customer_part;
    tag.hose_maker = row.hose.maker;
    tag.hose_type = row.hose.type;
    tag.hose_dash = row.hose.dash;
    tag.hose_standard = row.hose.standard;
    tag.hose_lot = started.hose_lot;
    tag.ends[0] = end_of(state, a, End::a);
    tag.ends[1] = end_of(state, a, End::b);
    const auto rule = started.length_rule == "sae_j517" ? LengthRule::sae_j517 : LengthRule::din20066;
    tag.overall_length = toleranced_length(started.overall_length, rule, row.hose.dash)
                             .value_or(Toleranced{started.overall_length, Length{}, Length{}});
    tag.orientation_degrees = started.orientation_deg;
    tag.working_pressure = working_pressure(started.row_a, started.row_b).rating;
    tag.assembly_date = local_date;
    if (const auto date = parse_date(local_date)) tag.date_code = assembly_code(*date);
    for (const auto& person : a.measured_by) {
        if (!tag.operator_name.empty()) tag.operator_name += ", ";
        tag.operator_name += name_of(state, person);
    }
    tag.station = station;
    if (!a.concession_reference.empty()) tag.concession_reference = a.concession_reference;
    tag.reprint = copy;
    tag.journal_sequence = a.passed_seq;
    if (settings.tag_key != nullptr) sign_tag_code(tag, a, *settings.tag_key, settings.link);
    return tag;
}

}  // namespace crimpgate
