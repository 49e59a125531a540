#include "specs/row_differences.h"

#include <optional>
#include <set>

#include "specs/spec_columns.h"
#include "specs/spec_table.h"

namespace crimpgate {

namespace {

// One cell's value before it is text.
struct Value {
    std::string text;                // plain columns
    std::optional<Length> length;    // length columns; nullopt: empty
    const Rating* rating = nullptr;  // pressure columns
};

std::string without_idle_zeros(std::string text) {
    const auto mark = text.find('.');
    if (mark == std::string::npos) return text;
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

// 1 nm is 1/25 400 000 in, and 25 400 000 = 2^6 * 5^5 * 127: a decimal inch ends exactly when 127 divides the
// nanometres, and then after nine places at most.
bool exact_in_inches(const std::optional<Length>& length) {
    return !length || length->nm() % 127 == 0;
}

std::string length_text(const std::optional<Length>& length, bool inches) {
    if (!length) return {};
    return without_idle_zeros(inches ? length->to_inch_text(9) : length->to_mm_text(6));
}

std::string guard_factor_text(const DecisionRule& rule) {
    if (rule.kind == RuleKind::simple) return {};
    return without_idle_zeros(to_decimal_text(rule.guard_factor_thousandths, 1000, 3));
}

std::string flats_text(const std::vector<std::int64_t>& flats) {
    std::string text;
    for (const auto flat : flats)
        text += (text.empty() ? "" : ";") + std::to_string(flat);
    return text;
}

std::string_view skive_word(Skive skive) {
    switch (skive) {
        case Skive::none:
            return "none";
        case Skive::outer:
            return "outer";
        case Skive::inner_and_outer:
            return "inner+outer";
    }
    return {};
}

using Values = std::map<std::string_view, Value>;

void add_toleranced(Values& values, std::string_view nominal, std::string_view minus, std::string_view plus,
                    const std::optional<Toleranced>& size) {
    values[nominal].length = size ? std::optional(size->nominal) : std::nullopt;
    values[minus].length = size ? std::optional(size->minus) : std::nullopt;
    values[plus].length = size ? std::optional(size->plus) : std::nullopt;
}

Values values_of(const SpecRow& row) {
    Values v;
    const auto text = [&](std::string_view stem, std::string_view value) { v[stem].text = value; };
    const auto whole = [&](std::string_view stem, std::int64_t value) { v[stem].text = std::to_string(value); };
    const auto length = [&](std::string_view stem, std::optional<Length> value) { v[stem].length = value; };
    text("spec_id", row.spec_id);
    text("revision", row.revision);
    text("hose_maker", row.hose.maker);
    text("hose_type", row.hose.type);
    whole("hose_dash", row.hose.dash);
    text("hose_standard", row.hose.standard);
    v["hose_wp"].rating = &row.hose.working_pressure;
    length("bend_radius", row.hose.bend_radius);
    whole("temperature_min_c", row.hose.temperature_min_c);
    whole("temperature_max_c", row.hose.temperature_max_c);
    text("fitting_maker", row.fitting.maker);
    text("fitting_series", row.fitting.series);
    text("end_family", row.fitting.end_family);
    text("end_form", row.fitting.end_form);
    whole("fitting_dash", row.fitting.dash);
    text("end_size", row.fitting.end_size);
    v["fitting_wp"].rating = &row.fitting.working_pressure;
    length("cut_off", row.fitting.cut_off);
    text("pairing_approval", row.pairing_approval);
    text("die_set", row.die_set);
    text("crimper", row.crimper);
    text("setting", row.setting);
    whole("die_segments", row.die_segments);
    text("flats", flats_text(row.flats));
    add_toleranced(v, "crimp", "crimp_minus", "crimp_plus", row.crimp);
    length("spread", row.spread_limit);
    add_toleranced(v, "depth", "depth_minus", "depth_plus", row.depth);
    length("mark_edge", row.mark_edge_limit);
    text("mark_check", row.mark_check == MarkCheck::measured ? "measured" : "sight");
    text("skive", skive_word(row.skive));
    add_toleranced(v, "skive_outer", "skive_outer_minus", "skive_outer_plus", row.skive_outer);
    add_toleranced(v, "skive_inner", "skive_inner_minus", "skive_inner_plus", row.skive_inner);
    text("lubricant", row.lubricant);
    length("bore_pin", row.bore_pin);
    whole("recrimps", row.recrimps_allowed);
    text("rule", row.rule.kind == RuleKind::simple ? "simple" : "guarded");
    text("guard_factor", guard_factor_text(row.rule));
    const auto geometry = [&](std::string_view stem, Length ShellAndStem::*size) {
        length(stem, row.geometry ? std::optional((*row.geometry).*size) : std::nullopt);
    };
    geometry("shell_od", &ShellAndStem::shell_od);
    geometry("shell_id", &ShellAndStem::shell_id);
    geometry("stem_od", &ShellAndStem::stem_od);
    geometry("stem_bore", &ShellAndStem::stem_bore);
    geometry("stem_bore_after", &ShellAndStem::stem_bore_after);
    geometry("hose_id", &ShellAndStem::hose_id);
    geometry("hose_od", &ShellAndStem::hose_od);
    text("source", row.source);
    return v;
}

struct GivenRating {
    std::string number;
    std::string unit;  // as a column's name ends: "bar"
};

// "4000 psi" as it was given; a row made by a program and not from a file may have no such text.
GivenRating given(const Rating& rating) {
    const auto blank = rating.as_given.find(' ');
    if (blank == std::string::npos) return {std::to_string(rating.pressure.kpa()), "kpa"};
    std::string unit = rating.as_given.substr(blank + 1);
    for (char& c : unit)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c + 32);
    return {rating.as_given.substr(0, blank), std::move(unit)};
}

std::string full_name(std::string_view stem, std::string_view unit) {
    return std::string(stem) + '_' + std::string(unit);
}

CellDifference rating_difference(std::string_view stem, const Rating* before, const Rating* after) {
    const auto now = given(*after);
    CellDifference cell{full_name(stem, now.unit), {}, now.number};
    if (before == nullptr) return cell;
    const auto was = given(*before);
    const bool one_unit = was.unit == now.unit;
    cell.before = one_unit ? was.number : before->as_given;
    if (!one_unit) cell.after = after->as_given;
    return cell;
}

// What both sides say in one column; `before` is null for an added row.
CellDifference cell_of(const ColumnName& column, const Value* before, const Value& after, LengthUnit unit) {
    if (column.kind == ColumnKind::pressure)
        return rating_difference(column.stem, before == nullptr ? nullptr : before->rating, after.rating);
    if (column.kind == ColumnKind::plain)
        return {std::string(column.stem), before == nullptr ? std::string() : before->text, after.text};
    const auto was = before == nullptr ? std::nullopt : before->length;
    const bool inches = unit == LengthUnit::inch && exact_in_inches(was) && exact_in_inches(after.length);
    return {full_name(column.stem, inches ? "in" : "mm"), length_text(was, inches), length_text(after.length, inches)};
}

bool same(const ColumnName& column, const Value& a, const Value& b) {
    return column.kind == ColumnKind::pressure ? *a.rating == *b.rating : a.text == b.text && a.length == b.length;
}

}  // namespace

std::vector<RowDifference> row_differences(const std::map<std::string, SpecRow>& in_force,
                                           const std::vector<SpecRow>& proposed, LengthUnit unit) {
    std::set<std::string> named;
    for (const auto& row : proposed)
        named.insert(row.spec_id);
    std::map<std::string, std::string> others;  // of the rows that the new table leaves alone: what they are for -> id
    for (const auto& [id, row] : in_force)
        if (!named.contains(id)) others.emplace(row_key(row), id);

    std::vector<RowDifference> out;
    for (const auto& row : proposed) {
        RowDifference difference{row.spec_id, RowChange::added, {}, {}};
        if (const auto twin = others.find(row_key(row)); twin != others.end()) difference.twin = twin->second;
        const auto known = in_force.find(row.spec_id);
        const Values after = values_of(row);
        Values before;
        if (known != in_force.end()) {
            before = values_of(known->second);
            difference.change = known->second == row ? RowChange::same : RowChange::changed;
        }
        for (const auto& column : spec_columns()) {
            const auto& value = after.at(column.stem);
            if (known != in_force.end()) {
                if (!same(column, before.at(column.stem), value))
                    difference.cells.push_back(cell_of(column, &before.at(column.stem), value, unit));
            } else if (auto cell = cell_of(column, nullptr, value, unit); !cell.after.empty()) {
                difference.cells.push_back(std::move(cell));
            }
        }
        out.push_back(std::move(difference));
    }
    for (const auto& [id, row] : in_force)
        if (!named.contains(id)) out.push_back({id, RowChange::kept, {}, {}});
    return out;
}

std::vector<WrittenCell> written_cells(const SpecRow& row, LengthUnit unit) {
    const Values values = values_of(row);
    std::vector<WrittenCell> out;
    for (const auto& column : spec_columns()) {
        auto cell = cell_of(column, nullptr, values.at(column.stem), unit);
        out.push_back({column.stem, std::move(cell.column), std::move(cell.after)});
    }
    return out;
}

}  // namespace crimpgate
