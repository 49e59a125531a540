#include <algorithm>
#include <map>

#include "reports/audit/alike.h"
#include "reports/audit/sheets.h"
#include "reports/audit/table.h"
#include "reports/statistics/distributions.h"

namespace crimpgate::audit {

namespace {

struct Tally {
    std::int64_t count = 0, of = 0;
    void add(bool is) {
        ++of;
        count += is;
    }
};
using ByPerson = std::map<std::string, Tally>;

std::string_view value_code(Alike what) {
    switch (what) {
        case Alike::equal_places:
            return "audit.value.equal_places";
        case Alike::too_fast:
            return "audit.value.too_fast";
        case Alike::confirmed_fast:
            return "audit.value.confirmed_fast";
        case Alike::voids:
            return "audit.value.voids";
    }
    return {};
}

void tally_ends(const Work& work, ByPerson& equal, ByPerson& fast) {
    for (const EndView& view : work.ends) {
        if (!view.last) continue;
        auto readings = view.readings;
        if (static_cast<std::int64_t>(readings.size()) >= least_places_alike)
            equal[view.end->person].add(std::all_of(readings.begin(), readings.end(), [&](const ReadingFact* r) {
                return r->value == readings.front()->value;
            }));
        std::sort(readings.begin(), readings.end(), [](const auto* a, const auto* b) { return a->seq < b->seq; });
        for (std::size_t i = 1; i < readings.size(); ++i)
            fast[readings[i]->person].add(readings[i]->ms - readings[i - 1]->ms < faster_than_a_hand_ms);
    }
}

// Voided ones too: whoever takes it back had said it.
ByPerson quick_confirmations(const AuditFacts& facts) {
    ByPerson fast;
    std::map<std::string_view, std::int64_t> last;
    for (const ConfirmationFact& confirmation : facts.confirmations) {
        const auto [at, first] = last.try_emplace(confirmation.person, confirmation.ms);
        if (!first) fast[confirmation.person].add(confirmation.ms - at->second < faster_than_a_look_ms);
        at->second = confirmation.ms;
    }
    return fast;
}

// One-sided: at least so many, if this person did it as often as all the others together. Half a case is added to the
// others, so that a person is not accused because nobody else ever did it once.
double chance_of(const AlikeRow& row) {
    if (row.count == 0) return 1;
    const double share =
        std::min(0.999, (static_cast<double>(row.others_count) + 0.5) / (static_cast<double>(row.others_of) + 1));
    return std::max(0.0, 1 - statistics::binomial_cdf(row.count - 1, row.of, share));
}

void rows_of(Alike what, const ByPerson& people, std::vector<AlikeRow>& out) {
    Tally all;
    for (const auto& [person, tally] : people) {
        all.count += tally.count;
        all.of += tally.of;
    }
    for (const auto& [person, tally] : people)
        out.push_back({what, person, tally.count, tally.of, all.count - tally.count, all.of - tally.of});
}

}  // namespace

std::vector<AlikeRow> alike_rows(const Work& work) {
    ByPerson equal, fast, voids;
    tally_ends(work, equal, fast);
    for (const ReadingFact& reading : work.facts->readings) {
        if (reading.purpose != "assembly") continue;
        voids[reading.person].of += 1;
        if (reading.voided_seq > 0) voids[reading.voided_by].count += 1;
    }
    // Whoever voids without measuring (a lead) has nothing that their voids could be a share of.
    std::erase_if(voids, [](const auto& entry) { return entry.second.of < entry.second.count; });
    std::vector<AlikeRow> rows;
    rows_of(Alike::equal_places, equal, rows);
    rows_of(Alike::too_fast, fast, rows);
    rows_of(Alike::confirmed_fast, quick_confirmations(*work.facts), rows);
    rows_of(Alike::voids, voids, rows);
    const auto compared = [](const AlikeRow& row) { return row.others_of > 0; };
    const auto comparisons = static_cast<double>(std::count_if(rows.begin(), rows.end(), compared));
    for (AlikeRow& row : rows)
        if (compared(row)) {
            row.p_adjusted = std::min(1.0, chance_of(row) * comparisons);
            row.stands_out = row.p_adjusted < alike_error;
        }
    return rows;
}

Sheet too_alike_sheet(const Work& work, const std::vector<AlikeRow>& rows) {
    Table table("audit.sheet.too_alike", work.inches());
    table.column("audit.column.kind", Cell::code)
        .column("audit.column.person", Cell::text)
        .column("audit.column.count", Cell::count)
        .column("audit.column.of_count", Cell::count)
        .column("audit.column.share_pct", Cell::percent)
        .column("audit.column.others_pct", Cell::percent)
        .column("audit.column.p_adjusted", Cell::number)
        .column("audit.column.conspicuous", Cell::code);
    for (const AlikeRow& row : rows)
        table.row({short_id(value_code(row.what)), row.person, count_text(row.count), count_text(row.of),
                   percent_text(row.count, row.of), percent_text(row.others_count, row.others_of),
                   row.others_of > 0 ? chance_text(row.p_adjusted) : std::string(),
                   short_id(row.stands_out ? "audit.value.yes" : "audit.value.no")});
    if (!rows.empty()) table.note(message("audit.note.too_alike"));
    return table.done();
}

}  // namespace crimpgate::audit
