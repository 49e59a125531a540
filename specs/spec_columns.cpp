#include "specs/spec_columns.h"

#include <algorithm>
#include <array>

#include "specs/shown_text.h"

namespace crimpgate {

namespace {

constexpr auto plain = ColumnKind::plain;
constexpr auto length = ColumnKind::length;
constexpr auto pressure = ColumnKind::pressure;

// In the order of FORMAT.md.
constexpr ColumnName columns[] = {
    {"spec_id", plain},
    {"revision", plain},
    {"hose_maker", plain},
    {"hose_type", plain},
    {"hose_dash", plain},
    {"hose_standard", plain, false},
    {"hose_wp", pressure},
    {"bend_radius", length},
    {"temperature_min_c", plain},
    {"temperature_max_c", plain},
    {"fitting_maker", plain},
    {"fitting_series", plain},
    {"end_family", plain},
    {"end_form", plain},
    {"fitting_dash", plain},
    {"end_size", plain},
    {"fitting_wp", pressure},
    {"cut_off", length},
    {"pairing_approval", plain, false},
    {"die_set", plain},
    {"crimper", plain},
    {"setting", plain},
    {"die_segments", plain},
    {"flats", plain},
    {"crimp", length},
    {"crimp_minus", length},
    {"crimp_plus", length},
    {"spread", length},
    {"depth", length},
    {"depth_minus", length},
    {"depth_plus", length},
    {"mark_edge", length},
    {"mark_check", plain},
    {"skive", plain},
    {"skive_outer", length, false},
    {"skive_outer_minus", length, false},
    {"skive_outer_plus", length, false},
    {"skive_inner", length, false},
    {"skive_inner_minus", length, false},
    {"skive_inner_plus", length, false},
    {"lubricant", plain},
    {"bore_pin", length, false},
    {"recrimps", plain},
    {"rule", plain},
    {"guard_factor", plain, false},
    {"shell_od", length, false},
    {"shell_id", length, false},
    {"stem_od", length, false},
    {"stem_bore", length, false},
    {"stem_bore_after", length, false},
    {"hose_id", length, false},
    {"hose_od", length, false},
    {"source", plain},
};

struct Unit {
    std::string_view ending;
    LengthUnit length_unit;
    PressureUnit pressure_unit;
};

constexpr Unit length_units[] = {{"_mm", LengthUnit::mm, {}}, {"_in", LengthUnit::inch, {}}};
constexpr Unit pressure_units[] = {{"_bar", {}, PressureUnit::bar},
                                   {"_mpa", {}, PressureUnit::mpa},
                                   {"_kpa", {}, PressureUnit::kpa},
                                   {"_psi", {}, PressureUnit::psi}};

std::span<const Unit> units_of(ColumnKind kind) {
    if (kind == length) return length_units;
    if (kind == pressure) return pressure_units;
    return {};
}

// "crimp_mm or crimp_in"
std::string names_of(const ColumnName& column) {
    if (column.kind == plain) return std::string(column.stem);
    std::string all;
    for (const auto& unit : units_of(column.kind)) {
        if (!all.empty()) all += " or ";
        all += std::string(column.stem) + std::string(unit.ending);
    }
    return all;
}

struct Known {
    const ColumnName* column = nullptr;
    Unit unit{};
};

std::optional<Known> known_column(std::string_view name) {
    for (const auto& column : columns) {
        if (column.kind == plain && name == column.stem) return Known{&column, {}};
        for (const auto& unit : units_of(column.kind))
            if (name.starts_with(column.stem) && name.substr(column.stem.size()) == unit.ending)
                return Known{&column, unit};
    }
    return std::nullopt;
}

// Letters to add, take away or change to make one name of the other (Levenshtein's distance).
std::size_t letters_apart(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j < row.size(); ++j)
        row[j] = j;
    for (std::size_t i = 0; i < a.size(); ++i) {
        std::size_t corner = row[0]++;
        for (std::size_t j = 0; j < b.size(); ++j) {
            const std::size_t change = corner + (a[i] == b[j] ? 0 : 1);
            corner = row[j + 1];
            row[j + 1] = std::min({change, row[j] + 1, corner + 1});
        }
    }
    return row.back();
}

// The name that an unknown one was most likely meant to be; empty when none is near.
std::string nearest_name(std::string_view unknown) {
    std::string best;
    std::size_t distance = 4;
    if (unknown.size() > 40) return best;
    for (const auto& column : columns) {
        std::vector<std::string> names;
        if (column.kind == plain) names.emplace_back(column.stem);
        for (const auto& unit : units_of(column.kind))
            names.push_back(std::string(column.stem) + std::string(unit.ending));
        for (const auto& name : names)
            if (const auto apart = letters_apart(unknown, name); apart < distance) {
                distance = apart;
                best = name;
            }
    }
    return best;
}

// A file is in millimetres or in inches: the first length column of the second unit is the error, named with the first.
void check_one_unit(const SpecHeader& header, int line, std::vector<TableError>& errors) {
    const ColumnPlace* first = nullptr;
    const ColumnPlace* other = nullptr;
    for (const auto& column : columns) {
        const auto* place = column.kind == length ? header.find(column.stem) : nullptr;
        if (place == nullptr) continue;
        if (first == nullptr)
            first = place;
        else if (other == nullptr && place->length_unit != first->length_unit)
            other = place;
    }
    if (other == nullptr) return;
    errors.push_back(table_error(line, other->name, other->name, first->length_unit == LengthUnit::mm ? "_mm" : "_in",
                                 message("table.units_mixed").with("other", first->name)));
}

}  // namespace

std::span<const ColumnName> spec_columns() {
    return columns;
}

const ColumnPlace* SpecHeader::find(std::string_view stem) const {
    const auto at = places.find(stem);
    return at == places.end() ? nullptr : &at->second;
}

SpecHeader read_spec_header(const CsvRow& row, std::vector<TableError>& errors) {
    SpecHeader header;
    for (const auto& field : row.fields)
        header.names.emplace_back(trimmed(field.text));
    if (header.names.size() == 1 && header.names[0].find_first_of(";\t") != std::string::npos) {
        errors.push_back(
            table_error(row.line, "", header.names[0].substr(0, 40), ",", message("table.not_parted_by_commas")));
        return header;
    }
    for (std::size_t i = 0; i < header.names.size(); ++i) {
        const auto& name = header.names[i];
        const int line = row.fields[i].line;
        const auto known = known_column(name);
        if (!known) {
            errors.push_back(table_error(line, name.empty() ? "field " + std::to_string(i + 1) : name, name,
                                         nearest_name(name), message("table.unknown_column")));
            continue;
        }
        const auto [at, is_new] = header.places.emplace(
            known->column->stem, ColumnPlace{i, name, known->unit.length_unit, known->unit.pressure_unit});
        if (!is_new)
            errors.push_back(table_error(line, name, name, names_of(*known->column),
                                         message("table.column_twice").with("other", at->second.name)));
    }
    for (const auto& column : columns)
        if (column.required && header.find(column.stem) == nullptr)
            errors.push_back(
                table_error(row.line, names_of(column), "", names_of(column), message("table.missing_column")));
    check_one_unit(header, row.line, errors);
    return header;
}

TableError table_error(int line, std::string_view column, std::string_view found, std::string_view expected,
                       Message why) {
    TableError error{line, shown_text(column, 80), shown_text(found, 80), std::string(expected), std::move(why)};
    error.why.with("line", std::to_string(line))
        .with("column", error.column)
        .with("found", error.found)
        .with("expected", error.expected);
    return error;
}

std::string_view trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(' ');
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

}  // namespace crimpgate
