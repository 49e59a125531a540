// What happened beside the work: overrides, devices and clocks, refused readings, set-up pieces.
#include <algorithm>
#include <map>

#include "reports/audit/sheets.h"
#include "reports/audit/table.h"

namespace crimpgate::audit {

namespace {

// Somebody decided something that the rules alone would not have done, or changed what they are.
std::string_view override_code(const HappeningFact& fact) {
    const std::string_view type = fact.type;
    if (type == "reading.voided" || type == "study.turn_voided") return "audit.value.void";
    if (type == "hold.settled") return "audit.value.settlement";
    if (type == "tag.printing") return "audit.value.reprint";
    if (type == "tag.doubt_settled") return "audit.value.tag_doubt";
    if (type == "clock.accepted") return "audit.value.clock";
    if (type == "gauge.withdrawn" || type == "gauge.registered" || type == "reference.registered" ||
        type == "gauge.uncertainty_set" || type == "gauge.line_set")
        return "audit.value.gauges_changed";
    if (type == "limits.set" || type == "watch.set" || type.starts_with("chart.")) return "audit.value.limits_changed";
    if (type.starts_with("person.") && type != "person.signed_in" && type != "person.signed_out" &&
        type != "person.sign_in_refused" && type != "person.language_chosen")
        return "audit.value.people_changed";
    if (type.starts_with("table.")) return "audit.value.table_changed";
    if (type == "screen.set" || type == "printer.chosen") return "audit.value.settings_changed";
    return {};
}

std::string_view device_code(const HappeningFact& fact) {
    const std::string_view type = fact.type;
    if (type == "station.started") return "audit.value.station_started";
    if (type == "station.stopped") return "audit.value.station_stopped";
    if (type == "clock.stepped") return "audit.value.clock";
    if (type == "gauge.lost") return "audit.value.gauge_lost";
    if (type == "gauge.back") return "audit.value.gauge_back";
    if (type == "tag.failed") return "audit.value.tag_failed";
    if (type == "tag.in_doubt") return "audit.value.tag_doubt";
    return {};
}

Sheet happenings_sheet(const Work& work, std::string_view sheet, std::string_view (*code_of)(const HappeningFact&)) {
    Table table(sheet, work.inches());
    table.column("audit.column.seq", Cell::seq)
        .column("audit.column.at", Cell::time)
        .column("audit.column.kind", Cell::code)
        .column("audit.column.person", Cell::text)
        .column("audit.column.serial", Cell::serial)
        .column("audit.column.what", Cell::message);
    for (const HappeningFact& fact : work.facts->happenings)
        if (const auto code = code_of(fact); !code.empty())
            table.row({count_text(fact.seq), time_text(fact.ms), short_id(code), fact.person, fact.serial,
                       message_text(fact.told)});
    return table.done();
}

}  // namespace

Sheet overrides_sheet(const Work& work) {
    return happenings_sheet(work, "audit.sheet.overrides", override_code);
}

Sheet devices_sheet(const Work& work) {
    return happenings_sheet(work, "audit.sheet.devices", device_code);
}

Sheet refusals_sheet(const Work& work) {
    Table table("audit.sheet.refusals", work.inches());
    table.column("audit.column.gauge", Cell::gauge)
        .column("audit.column.count", Cell::count)
        .column("audit.column.first", Cell::time)
        .column("audit.column.last", Cell::time)
        .column("audit.column.first_why", Cell::message);
    std::map<std::pair<std::string, std::string>, std::vector<const RefusalFact*>> groups;
    for (const RefusalFact& refusal : work.facts->refusals)
        groups[{refusal.gauge, refusal.why.code}].push_back(&refusal);
    std::vector<const std::vector<const RefusalFact*>*> ranked;
    for (const auto& [key, group] : groups)
        ranked.push_back(&group);
    std::stable_sort(ranked.begin(), ranked.end(), [](const auto* a, const auto* b) { return a->size() > b->size(); });
    for (const auto* group : ranked)
        table.row({group->front()->gauge, count_text(static_cast<std::int64_t>(group->size())),
                   time_text(group->front()->ms), time_text(group->back()->ms), message_text(group->front()->why)});
    return table.done();
}

Sheet refusals_all_sheet(const Work& work) {
    Table table("audit.sheet.refusals_all", work.inches());
    table.column("audit.column.seq", Cell::seq)
        .column("audit.column.at", Cell::time)
        .column("audit.column.gauge", Cell::gauge)
        .column("audit.column.person", Cell::text)
        .column("audit.column.serial", Cell::serial)
        .column("audit.column.why", Cell::message);
    for (const RefusalFact& refusal : work.facts->refusals)
        table.row({count_text(refusal.seq), time_text(refusal.ms), refusal.gauge, refusal.person, refusal.serial,
                   message_text(refusal.why)});
    return table.done();
}

Sheet setups_sheet(const Work& work) {
    Table table("audit.sheet.setups", work.inches());
    table.column("audit.column.seq", Cell::seq)
        .column("audit.column.at", Cell::time)
        .column("audit.column.person", Cell::text)
        .column("audit.column.spec", Cell::text)
        .column("audit.column.revision", Cell::text)
        .column("audit.column.crimper", Cell::text)
        .column("audit.column.die_set", Cell::text)
        .column("audit.column.hose_lot", Cell::text)
        .length("audit.column.mean_mm", "audit.column.mean_in")
        .length("audit.column.correction_mm", "audit.column.correction_in")
        .column("audit.column.sits_well", Cell::code);
    for (const SetupFact& s : work.facts->setups)
        table.row({count_text(s.seq), time_text(s.ms), s.person, s.spec, s.revision, s.crimper, s.die_set, s.hose_lot,
                   work.lengths.mean(static_cast<double>(s.mean.nm())),
                   work.lengths.mean(static_cast<double>(s.correction.nm())),
                   short_id(s.passed ? "audit.value.yes" : "audit.value.no")});
    return table.done();
}

}  // namespace crimpgate::audit
