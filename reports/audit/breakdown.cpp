// The same question by whatever may have made the difference: end, place, person, die set, lots, spec, gauge.
//
// Verdicts count every judgement, a re-crimped end's both. Level and spread are of the ends that are points of the
// charts (last judgement of its attempt, every place measured), each as its distance from the middle of its own band,
// so that different specs stand side by side.
#include <functional>
#include <map>

#include "reports/audit/sheets.h"
#include "reports/audit/table.h"
#include "reports/statistics/moments.h"

namespace crimpgate::audit {

namespace {

struct Group {
    std::int64_t conforms = 0, fails = 0, uncertain = 0;
    std::vector<double> off_middle;

    std::int64_t judged() const { return conforms + fails + uncertain; }
    void count(std::string_view verdict) {
        conforms += verdict == "conforms";
        fails += verdict == "fails";
        uncertain += verdict == "uncertain";
    }
};

using Groups = std::map<std::string, Group, std::less<>>;
using Keys = std::function<std::vector<std::string_view>(const EndView&)>;

Groups groups_of(const Work& work, const Keys& keys) {
    Groups groups;
    for (const EndView& view : work.ends)
        for (const auto key : keys(view)) {
            if (key.empty()) continue;
            Group& group = groups[std::string(key)];
            group.count(view.end->verdict);
            if (view.point) group.off_middle.push_back(view.off_middle);
        }
    return groups;
}

void columns(Table& table, std::string_view of_code) {
    table.column(of_code, Cell::count)
        .column("audit.column.conforms", Cell::count)
        .column("audit.column.fails", Cell::count)
        .column("audit.column.uncertain", Cell::count)
        .column("audit.column.conforms_pct", Cell::percent)
        .length("audit.column.off_middle_mm", "audit.column.off_middle_in")
        .length("audit.column.sd_mm", "audit.column.sd_in");
}

void row(Table& table, const Work& work, const std::string& key, const Group& group) {
    const auto moments = statistics::moments_of(group.off_middle);
    table.row({key, count_text(group.judged()), count_text(group.conforms), count_text(group.fails),
               count_text(group.uncertain), percent_text(group.conforms, group.judged()),
               moments.n > 0 ? work.lengths.mean(moments.mean) : std::string(), work.lengths.sd(moments.sd())});
}

Sheet sheet_of(const Work& work, std::string_view sheet, std::string_view key, Cell kind, const Keys& keys) {
    Table table(sheet, work.inches());
    table.column(key, kind);
    columns(table, "audit.column.ends");
    for (const auto& [name, group] : groups_of(work, keys))
        row(table, work, name, group);
    return table.done();
}

// By flat: single readings, since a place has no verdict of its own beside theirs.
Sheet by_place(const Work& work) {
    Table table("audit.sheet.by_place", work.inches());
    table.column("audit.column.place", Cell::count);
    columns(table, "audit.column.readings");
    std::map<std::int64_t, Group> groups;
    for (const EndView& view : work.ends)
        for (const ReadingFact* reading : view.readings) {
            Group& group = groups[reading->flat];
            group.count(reading->verdict);
            if (view.point)
                group.off_middle.push_back(static_cast<double>(reading->value.nm()) -
                                           static_cast<double>(view.stream->lower.nm() + view.stream->upper.nm()) / 2);
        }
    for (const auto& [flat, group] : groups)
        row(table, work, count_text(flat), group);
    return table.done();
}

}  // namespace

std::vector<Sheet> breakdown_sheets(const Work& work) {
    const auto one = [](std::string_view key) { return std::vector<std::string_view>{key}; };
    return {
        sheet_of(work, "audit.sheet.by_end", "audit.column.end", Cell::code,
                 [&](const EndView& v) { return one(v.end->end); }),
        by_place(work),
        sheet_of(work, "audit.sheet.by_person", "audit.column.person", Cell::text,
                 [&](const EndView& v) { return one(v.end->person); }),
        sheet_of(work, "audit.sheet.by_die_set", "audit.column.die_set", Cell::text,
                 [&](const EndView& v) { return one(v.die_set()); }),
        sheet_of(work, "audit.sheet.by_hose_lot", "audit.column.hose_lot", Cell::text,
                 [&](const EndView& v) { return one(v.assembly->hose_lot); }),
        sheet_of(work, "audit.sheet.by_fitting_lot", "audit.column.fitting_lot", Cell::text,
                 [&](const EndView& v) { return one(v.fitting_lot()); }),
        sheet_of(work, "audit.sheet.by_spec", "audit.column.spec", Cell::text,
                 [&](const EndView& v) { return one(v.spec()); }),
        sheet_of(work, "audit.sheet.by_gauge", "audit.column.gauge", Cell::gauge,
                 [](const EndView& v) { return v.gauges; }),
    };
}

}  // namespace crimpgate::audit
