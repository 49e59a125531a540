#include "reports/audit/sample_sheets.h"

#include <algorithm>

#include "reports/audit/figures.h"
#include "reports/audit/table.h"
#include "reports/statistics/agreement.h"
#include "reports/statistics/operating_characteristic.h"

namespace crimpgate::audit {

namespace {

// Named whole, so that the catalogue's test finds each.
std::string plan_word(const std::string& word) {
    for (const char* code : {"audit.value.mil_std_105e", "audit.value.zero_acceptance", "audit.value.normal",
                             "audit.value.tightened", "audit.value.reduced"})
        if (short_id(code) == word) return word;
    return {};
}

Sheet plan_sheet(const SampleFacts& f) {
    Table table("audit.sheet.sample_plan", f.inches);
    table.column("audit.column.shift", Cell::shift)
        .column("audit.column.plan", Cell::code)
        .column("audit.column.level", Cell::text)
        .column("audit.column.severity", Cell::code)
        .column("audit.column.quality_pct", Cell::number)
        .column("audit.column.confidence_pct", Cell::percent)
        .column("audit.column.lot", Cell::count)
        .column("audit.column.sample_size", Cell::count)
        .column("audit.column.accept", Cell::count)
        .column("audit.column.reject", Cell::count)
        .column("audit.column.seed", Cell::text)
        .column("audit.column.drawn_by", Cell::text)
        .column("audit.column.drawn_at", Cell::time)
        .column("audit.column.seq", Cell::seq);
    table.row({f.shift, plan_word(f.plan), f.level, plan_word(f.severity),
               number_text(static_cast<double>(f.quality_ppm) / 10'000, 3),
               f.confidence_permille == 0 ? std::string() : percent_text(f.confidence_permille, 1000),
               count_text(f.lot_size), count_text(f.size), count_text(f.accept), count_text(f.reject), f.seed,
               f.drawn_by, time_text(f.drawn_ms), count_text(f.drawn_seq)});
    table.note(message("sample.drawn_again"));
    return table.done();
}

// Out of this very lot: with so many bad ones among them, how often would the sample let it through?
Sheet chances_sheet(const SampleFacts& f) {
    Table table("audit.sheet.sample_chances", f.inches);
    table.column("audit.column.bad", Cell::count)
        .column("audit.column.bad_pct", Cell::percent)
        .column("audit.column.accepted_pct", Cell::percent);
    std::int64_t shown = -1;
    for (const std::int64_t share_permille : {0, 10, 25, 50, 100, 150, 200, 300, 500}) {
        const std::int64_t bad = (f.lot_size * share_permille + 999) / 1000;
        if (bad == shown || bad > f.lot_size) continue;
        shown = bad;
        table.row({count_text(bad), percent_text(bad, f.lot_size),
                   percent_text(statistics::acceptance_from_lot(f.size, f.accept, bad, f.lot_size))});
    }
    return table.done();
}

Sheet result_sheet(const SampleFacts& f) {
    Table table("audit.sheet.sample_result", f.inches);
    table.column("audit.column.compared", Cell::count)
        .column("audit.column.serials_overturned", Cell::count)
        .column("audit.column.accept", Cell::count)
        .column("audit.column.accepted", Cell::code);
    table.row({count_text(static_cast<std::int64_t>(f.pairs.size())),
               count_text(static_cast<std::int64_t>(f.overturned.size())), count_text(f.accept),
               short_id(f.accepted ? "audit.value.yes" : "audit.value.no")});
    table.note(f.accepted ? message("sample.accepted") : message("sample.rejected"));
    return table.done();
}

void agreement_row(Table& table, const LengthText& text, const char* what, double value,
                   const statistics::Interval& interval) {
    table.row({short_id(what), text.mean(value), text.mean(interval.lower), text.mean(interval.upper)});
}

void add_agreement(std::vector<Sheet>& out, const SampleFacts& f, const LengthText& text) {
    std::vector<statistics::MeasuredTwice> twice;
    for (const auto& p : f.pairs)
        twice.push_back({static_cast<double>(p.first.nm()), static_cast<double>(p.again.nm())});
    const auto a = statistics::agreement_of(twice);
    if (!a) return;
    Table table("audit.sheet.sample_agreement", f.inches);
    table.column("audit.column.figure", Cell::code)
        .length("audit.column.value_mm", "audit.column.value_in")
        .length("audit.column.from_mm", "audit.column.from_in")
        .length("audit.column.to_mm", "audit.column.to_in");
    agreement_row(table, text, "audit.value.mean_difference", a->mean_difference, a->mean_interval);
    agreement_row(table, text, "audit.value.lower_agreement", a->lower_limit, a->lower_limit_interval);
    agreement_row(table, text, "audit.value.upper_agreement", a->upper_limit, a->upper_limit_interval);
    table.row({short_id("audit.value.sd_of_differences"), text.sd(a->sd_of_differences), "", ""});
    table.note(message("sample.agreement")
                   .with("outside", count_text(static_cast<std::int64_t>(a->outside_limits)))
                   .with("pairs", count_text(static_cast<std::int64_t>(a->pairs))));
    // 5 %: the usual level (common practice).
    if (a->trend_p && *a->trend_p < 0.05) table.note(message("sample.trend").with("p", chance_text(*a->trend_p)));
    out.push_back(table.done());
}

Table pairs_table(std::string_view code, bool inches) {
    Table table(code, inches);
    table.column("audit.column.serial", Cell::serial)
        .column("audit.column.end", Cell::code)
        .column("audit.column.place", Cell::count)
        .column("audit.column.first_gauge", Cell::gauge)
        .length("audit.column.first_mm", "audit.column.first_in")
        .column("audit.column.first_verdict", Cell::code)
        .column("audit.column.gauge", Cell::gauge)
        .length("audit.column.again_mm", "audit.column.again_in")
        .column("audit.column.verdict", Cell::code)
        .length("audit.column.difference_mm", "audit.column.difference_in")
        .column("audit.column.first_entry", Cell::seq);
    return table;
}

void pair_row(Table& table, const LengthText& text, const SamplePair& p) {
    table.row({p.serial, p.end, count_text(p.place), p.first_gauge, text.exact(p.first), p.first_verdict, p.gauge,
               text.exact(p.again), p.verdict, text.exact(p.again - p.first), count_text(p.first_seq)});
}

}  // namespace

std::vector<Sheet> sample_sheets(const SampleFacts& f) {
    const LengthText text(f.inches);
    std::vector<Sheet> out;
    if (f.judged) {
        out.push_back(result_sheet(f));
        if (!f.overturned.empty()) {
            Table table = pairs_table("audit.sheet.sample_overturned", f.inches);
            for (const auto& p : f.pairs)
                if (p.verdict == "fails" && p.first_verdict == "conforms") pair_row(table, text, p);
            table.note(message("sample.overturned"));
            out.push_back(table.done());
        }
        add_agreement(out, f, text);
    }
    out.push_back(plan_sheet(f));
    out.push_back(chances_sheet(f));
    if (f.judged) {
        Table table = pairs_table("audit.sheet.sample_pairs", f.inches);
        for (const auto& p : f.pairs)
            pair_row(table, text, p);
        out.push_back(table.done());
    }
    return out;
}

}  // namespace crimpgate::audit
