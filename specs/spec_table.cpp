#include "specs/spec_table.h"

#include <algorithm>
#include <map>

#include "specs/shown_text.h"
#include "specs/spec_cells.h"
#include "specs/spec_checks.h"

namespace crimpgate {

namespace {

using Errors = std::vector<TableError>;

// "1;2;3;4": each flat once. They are measured across, so an eight-segment die set has the diameters 1 to 4.
std::vector<std::int64_t> read_flats(SpecCells& cells, std::int64_t die_segments) {
    const std::string text = cells.text("flats");
    if (text.empty()) return {};
    const std::int64_t most = die_segments / 2;
    const std::string range = "1.." + (cells.good({"die_segments"}) ? std::to_string(most) : std::string("..."));
    std::vector<std::int64_t> flats;
    std::string_view rest = text;
    for (bool more = true; more;) {
        const auto end = rest.find(';');
        more = end != std::string_view::npos;
        const auto number = parse_decimal(trimmed(rest.substr(0, end)));
        rest.remove_prefix(more ? end + 1 : rest.size());
        Message why;
        if (!number || number->places > 0)
            why = message("table.flats_not_a_list");
        else if (number->digits < 1 || (cells.good({"die_segments"}) && number->digits > most))
            why = message("table.flat_out_of_range");
        else if (std::find(flats.begin(), flats.end(), number->digits) != flats.end())
            why = message("table.flat_twice");
        if (!why.code.empty()) {
            cells.error("flats", range, std::move(why));
            return {};
        }
        flats.push_back(number->digits);
    }
    return flats;
}

std::int64_t read_segments(SpecCells& cells) {
    const auto segments = cells.whole("die_segments", 4, 24);
    if (segments % 2 != 0) cells.error("die_segments", "4, 6, 8 .. 24", message("table.segments_odd"));
    return segments;
}

// The length of one skive, wanted or not as the column "skive" says.
std::optional<Toleranced> read_skive(SpecCells& cells, const std::string& stem, bool wanted) {
    const std::string minus = stem + "_minus", plus = stem + "_plus";
    if (!cells.good({"skive"})) return std::nullopt;
    if (!wanted) {
        for (const auto& column : {stem, minus, plus})
            if (cells.filled(column)) cells.error(column, "empty", message("table.skive_not_asked_for"));
        return std::nullopt;
    }
    // An optional column that this row cannot do without is named here, since the header could not know.
    bool all = true;
    for (const auto& column : {stem, minus, plus})
        if (!cells.good({column})) {
            cells.error(column, "not empty", message("table.skive_length_missing"));
            all = false;
        }
    if (!all) return std::nullopt;
    return cells.toleranced(stem);
}

DecisionRule read_rule(SpecCells& cells) {
    DecisionRule rule;
    const bool simple = cells.choice("rule", {"guarded", "simple"}) == 1;
    if (simple) rule = {RuleKind::simple, 0};
    if (!cells.filled("guard_factor") || !cells.good({"rule"})) return rule;
    if (simple) {
        cells.error("guard_factor", "empty", message("table.factor_without_guard"));
        return rule;
    }
    const auto number = parse_decimal(cells.cell("guard_factor"));
    if (!number) {
        cells.error("guard_factor", "0.001..10", number.error());
        return rule;
    }
    const auto thousandths = scale_exactly(*number, 1000);
    if (!thousandths && thousandths.error().code == "decimal.not_whole")
        cells.error("guard_factor", "0.001..10", message("table.guard_factor_too_fine"));
    else if (!thousandths || *thousandths < 1 || *thousandths > 10'000)
        cells.error("guard_factor", "0.001..10", message("table.out_of_range"));
    else
        rule.guard_factor_thousandths = *thousandths;
    return rule;
}

// All seven sizes or none.
std::optional<ShellAndStem> read_geometry(SpecCells& cells) {
    constexpr std::string_view stems[] = {"shell_od",        "shell_id", "stem_od", "stem_bore",
                                          "stem_bore_after", "hose_id",  "hose_od"};
    if (std::none_of(std::begin(stems), std::end(stems), [&](auto stem) { return cells.filled(stem); }))
        return std::nullopt;
    Length sizes[std::size(stems)];
    for (std::size_t i = 0; i < std::size(stems); ++i) {
        if (cells.filled(stems[i]))
            sizes[i] = cells.length(stems[i]).value_or(Length());
        else
            cells.error(stems[i], "not empty", message("table.geometry_incomplete"));
    }
    return ShellAndStem{sizes[0], sizes[1], sizes[2], sizes[3], sizes[4], sizes[5], sizes[6]};
}

HoseSpec read_hose(SpecCells& cells) {
    HoseSpec hose;
    hose.maker = cells.text("hose_maker");
    hose.type = cells.text("hose_type");
    hose.dash = cells.dash("hose_dash");
    hose.standard = cells.text("hose_standard", Cell::may_be_empty);
    hose.working_pressure = cells.rating("hose_wp");
    hose.bend_radius = cells.length("bend_radius").value_or(Length());
    hose.temperature_min_c = cells.whole("temperature_min_c", -100, 400);
    hose.temperature_max_c = cells.whole("temperature_max_c", -100, 400);
    return hose;
}

FittingSpec read_fitting(SpecCells& cells) {
    FittingSpec fitting;
    fitting.maker = cells.text("fitting_maker");
    fitting.series = cells.text("fitting_series");
    cells.choice("end_family",
                 {"ISO 12151-1", "ISO 12151-2", "ISO 12151-3", "ISO 12151-4", "ISO 12151-5", "ISO 12151-6"});
    fitting.end_family = cells.cell("end_family");
    fitting.end_form = cells.text("end_form");
    fitting.dash = cells.dash("fitting_dash");
    fitting.end_size = cells.text("end_size");
    fitting.working_pressure = cells.rating("fitting_wp");
    fitting.cut_off = cells.length("cut_off").value_or(Length());
    return fitting;
}

SpecRow read_row(SpecCells& cells) {
    SpecRow row;
    row.spec_id = cells.text("spec_id", Cell::mandatory, 40);
    row.revision = cells.text("revision", Cell::mandatory, 40);
    row.hose = read_hose(cells);
    row.fitting = read_fitting(cells);
    row.pairing_approval = cells.text("pairing_approval", Cell::may_be_empty);
    row.die_set = cells.text("die_set");
    row.crimper = cells.text("crimper");
    row.setting = cells.text("setting");
    row.die_segments = read_segments(cells);
    row.crimp = cells.toleranced("crimp");
    row.flats = read_flats(cells, row.die_segments);
    row.spread_limit = cells.length("spread").value_or(Length());
    row.depth = cells.toleranced("depth");
    row.mark_edge_limit = cells.length("mark_edge").value_or(Length());
    row.mark_check = cells.choice("mark_check", {"sight", "measured"}) == 1 ? MarkCheck::measured : MarkCheck::by_sight;
    constexpr Skive skives[] = {Skive::none, Skive::outer, Skive::inner_and_outer};
    row.skive = skives[cells.choice("skive", {"none", "outer", "inner+outer"})];
    row.skive_outer = read_skive(cells, "skive_outer", row.skive != Skive::none);
    row.skive_inner = read_skive(cells, "skive_inner", row.skive == Skive::inner_and_outer);
    row.lubricant = cells.text("lubricant", Cell::may_be_empty);
    row.bore_pin = cells.length("bore_pin", Cell::may_be_empty);
    row.recrimps_allowed = cells.whole("recrimps", 0, 2);
    row.rule = read_rule(cells);
    row.geometry = read_geometry(cells);
    row.source = cells.text("source", Cell::mandatory, 300);
    check_row(row, cells);
    return row;
}

// Refuses a second row of the same id, or for the same hose, fitting and crimper.
class OnlyOnes {
  public:
    void check(const SpecRow& row, int line, SpecCells& cells) {
        if (cells.good({"spec_id"})) {
            const auto [at, is_new] = ids_.emplace(row.spec_id, line);
            if (!is_new)
                cells.error("spec_id", "unique",
                            message("table.spec_id_twice").with("first_line", std::to_string(at->second)));
        }
        if (!cells.good({"hose_maker", "hose_type", "hose_dash", "fitting_maker", "fitting_series", "end_family",
                         "end_form", "end_size", "crimper"}))
            return;
        const auto [at, is_new] = keys_.emplace(row_key(row), line);
        if (!is_new)
            cells.error(
                "hose_type", "unique",
                message("table.row_twice").with("first_line", std::to_string(at->second)).with("row", shown_key(row)));
    }

  private:
    static std::string shown_key(const SpecRow& row) {
        const auto& f = row.fitting;
        return row.hose.maker + " " + row.hose.type + " -" + std::to_string(row.hose.dash) + " / " + f.maker + " " +
               f.series + " " + f.end_family + " " + f.end_form + " " + f.end_size + " / " + row.crimper;
    }

    std::map<std::string, int> ids_;
    std::map<std::string, int> keys_;
};

// A file's CSV faults in the table's own form.
void take_over(const CsvFile& file, const SpecHeader& header, Errors& errors) {
    for (const auto& e : file.errors) {
        const auto index = static_cast<std::size_t>(e.ordinal) - 1;  // wraps for 0, which no header has
        std::string column;
        if (index < header.names.size())
            column = shown_text(header.names[index]);
        else if (e.ordinal > 0)
            column = "field " + std::to_string(e.ordinal);
        TableError error{e.line, column, std::string(e.why.detail("found")), std::string(e.why.detail("expected")),
                         e.why};
        error.why.with("line", std::to_string(e.line)).with("column", column);
        errors.push_back(std::move(error));
    }
}

bool is_empty(const CsvRow& row) {
    return std::all_of(row.fields.begin(), row.fields.end(), [](const auto& f) { return trimmed(f.text).empty(); });
}

}  // namespace

tl::expected<SpecTable, std::vector<TableError>> parse_spec_table(std::string_view csv) {
    const CsvFile file = read_csv(csv);
    Errors errors;
    SpecHeader header;
    SpecTable table;
    if (!file.rows.empty()) header = read_spec_header(file.rows.front(), errors);
    if (!errors.empty() && errors.front().why.code == "table.not_parted_by_commas")
        return tl::unexpected<Errors>(std::move(errors));  // all else would be noise
    take_over(file, header, errors);
    OnlyOnes only;
    for (std::size_t i = 1; i < file.rows.size() && !header.places.empty(); ++i) {
        const auto& row = file.rows[i];
        if (!row.sound || is_empty(row)) continue;  // a spreadsheet's empty row is no row
        SpecCells cells(header, row, errors);
        SpecRow spec = read_row(cells);
        only.check(spec, row.line, cells);
        if (cells.clean()) table.rows.push_back(std::move(spec));
    }
    if (errors.empty() && table.rows.empty())
        errors.push_back(table_error(1, "", "", "a header and at least one row", message("table.no_rows")));
    if (errors.empty()) return table;
    std::stable_sort(errors.begin(), errors.end(), [](const auto& a, const auto& b) { return a.line < b.line; });
    return tl::unexpected<Errors>(std::move(errors));
}

std::string row_key(const SpecRow& row) {
    std::string key;
    for (const auto& part :
         {row.hose.maker, row.hose.type, std::to_string(row.hose.dash), row.fitting.maker, row.fitting.series,
          row.fitting.end_family, row.fitting.end_form, row.fitting.end_size, row.crimper}) {
        key += part;
        key += '\x1F';
    }
    return key;
}

}  // namespace crimpgate
