// What was made. "Passed first time": passed without a re-crimp, a hold or a concession; a reading that was taken again
// because it was too close to call does not count against it, since the part was not touched (common practice: first
// pass yield counts units that needed no rework and no decision). Yields are of what is decided or stopped: what is
// still in work counts for neither side.
#include "reports/audit/sheets.h"
#include "reports/audit/table.h"

namespace crimpgate::audit {

namespace {

struct Counts {
    std::int64_t started = 0, passed = 0, first_time = 0, recrimped = 0, scrapped = 0, on_concession = 0, on_hold = 0,
                 suspect = 0, in_work = 0;
};

Counts counts_of(const Work& work) {
    Counts c;
    for (const AssemblyFact& assembly : work.facts->assemblies) {
        const auto holds = work.holds.find(assembly.serial);
        const bool held = holds != work.holds.end();
        bool suspect = false;
        if (held)
            for (const HoldFact* hold : holds->second)
                suspect = suspect || (hold->cause == "suspect" && hold->settled_seq == 0);
        ++c.started;
        c.recrimped += assembly.recrimps > 0;
        c.on_concession += !assembly.concession_reference.empty();
        c.scrapped += assembly.stage == "scrapped";
        c.on_hold += assembly.stage == "on_hold";
        c.suspect += suspect;
        c.in_work += assembly.stage == "in_work" || assembly.stage == "to_be_taken_up";
        if (assembly.stage != "passed") continue;
        ++c.passed;
        c.first_time += assembly.recrimps == 0 && !held && assembly.concession_reference.empty();
    }
    return c;
}

}  // namespace

Sheet made_sheet(const Work& work) {
    Table table("audit.sheet.made", work.inches());
    table.column("audit.column.started", Cell::count)
        .column("audit.column.passed", Cell::count)
        .column("audit.column.passed_first_time", Cell::count)
        .column("audit.column.recrimped", Cell::count)
        .column("audit.column.scrapped", Cell::count)
        .column("audit.column.on_concession", Cell::count)
        .column("audit.column.on_hold", Cell::count)
        .column("audit.column.suspect", Cell::count)
        .column("audit.column.in_work", Cell::count)
        .column("audit.column.yield_pct", Cell::percent)
        .column("audit.column.first_pass_yield_pct", Cell::percent);
    const Counts c = counts_of(work);
    const std::int64_t decided = c.started - c.in_work;
    table.row({count_text(c.started), count_text(c.passed), count_text(c.first_time), count_text(c.recrimped),
               count_text(c.scrapped), count_text(c.on_concession), count_text(c.on_hold), count_text(c.suspect),
               count_text(c.in_work), percent_text(c.passed, decided), percent_text(c.first_time, decided)});
    return table.done();
}

}  // namespace crimpgate::audit
