// What stands out, in words that point to a cause. How it is found: differences.h.
#include "reports/audit/open_points.h"
#include "reports/audit/table.h"

namespace crimpgate::audit {

namespace {

std::string_view response_code(const Difference& d) {
    switch (d.response) {
        case Response::level:
            return "audit.value.level";
        case Response::spread:
            return "audit.value.spread";
        case Response::not_conforming:
            return "audit.value.not_conforming";
        case Response::proof_error:
            return "audit.value.proof_error";
    }
    return {};
}

std::string_view pattern_code(const Difference& d) {
    switch (d.pattern) {
        case Pattern::differs:
            return "audit.value.differs";
        case Pattern::differs_within:
            return "audit.value.differs_within";
        case Pattern::trend:
            return "audit.value.trend";
        case Pattern::jump:
            return "audit.value.jump";
    }
    return {};
}

}  // namespace

Message meaning_of(const Difference& d) {
    if (d.response == Response::proof_error) return message("audit.means.proofs_off").with("gauge", d.level);
    if (d.pattern == Pattern::trend) return message("audit.means.die_wears").with("die_set", d.level);
    if (d.pattern == Pattern::jump) return message("audit.means.setting_bumped");
    if (d.response == Response::spread) return message("audit.means.spread_differs").with("level", d.level);
    if (d.response == Response::not_conforming) return message("audit.means.more_stopped").with("level", d.level);
    switch (d.factor) {
        case Factor::hose_lot:
            return message("audit.means.hose_lot").with("lot", d.level);
        case Factor::fitting_lot:
            return message("audit.means.fitting_lot").with("lot", d.level);
        case Factor::gauge_week:
        case Factor::gauge:
            return message("audit.means.gauge").with("gauge", d.level);
        case Factor::die_set:
            return message("audit.means.die_set").with("die_set", d.level);
        case Factor::person:
            return message("audit.means.person").with("person", d.level);
        case Factor::end:
            return message("audit.means.end");
        case Factor::spec:
            return message("audit.means.spec").with("spec", d.level);
        case Factor::day:
            return message("audit.means.day").with("day", d.level);
        case Factor::week:
            return message("audit.means.week").with("week", d.level);
        case Factor::setup:
            return message("audit.means.setup");
    }
    return {};
}

Sheet stands_out_sheet(const Work& work, const Differences& differences) {
    Table table("audit.sheet.stands_out", work.inches());
    table.column("audit.column.of", Cell::code)
        .column("audit.column.factor", Cell::code)
        .column("audit.column.level", Cell::text)
        .column("audit.column.pattern", Cell::code)
        .column("audit.column.from", Cell::time)
        .column("audit.column.to", Cell::time)
        .column("audit.column.setups", Cell::count)
        .column("audit.column.ends", Cell::count)
        .length("audit.column.difference_mm", "audit.column.difference_in")
        .column("audit.column.difference_pct", Cell::percent)
        .column("audit.column.p_adjusted", Cell::number)
        .column("audit.column.same_as", Cell::text)
        .column("audit.column.seq", Cell::seq)
        .column("audit.column.meaning", Cell::message);
    for (const Difference& d : differences.found) {
        std::string same;
        for (const std::string& other : d.same)
            same += (same.empty() ? "" : "; ") + other;
        const bool share = d.response == Response::not_conforming;
        table.row({short_id(response_code(d)), short_id(value_code(d.factor)), d.level, short_id(pattern_code(d)),
                   time_text(d.from_ms), time_text(d.to_ms), count_text(d.setups), count_text(d.ends),
                   share ? std::string() : work.lengths.mean(d.estimate),
                   share ? percent_text(d.estimate) : std::string(), chance_text(d.p_adjusted), same,
                   d.seq > 0                   ? count_text(d.seq)
                   : d.factor == Factor::setup ? d.level
                                               : std::string(),
                   message_text(meaning_of(d))});
    }
    if (!differences.compared)
        table.note(message("audit.note.too_few_setups")
                       .with("setups", count_text(static_cast<std::int64_t>(differences.units)))
                       .with("needed", count_text(static_cast<std::int64_t>(least_units))));
    if (differences.comparisons > 0)
        table.note(message("audit.note.comparisons")
                       .with("comparisons", count_text(differences.comparisons))
                       .with("share", percent_text(stated_error)));
    return table.done();
}

}  // namespace crimpgate::audit
