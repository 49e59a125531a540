// The columns of an order file and how one row's cells are read; internal to order.cpp and order_application.cpp.
//
// Whatever does not fit adds its own error, so that all of a file's are told together.
#pragma once

#include <algorithm>
#include <array>
#include <utility>

#include "specs/csv.h"
#include "specs/order.h"
#include "specs/shown_text.h"
#include "specs/spec_columns.h"

namespace crimpgate::order_cells {

inline constexpr std::int64_t largest_quantity = 100'000;
inline constexpr std::size_t longest_name = 80;
inline constexpr std::size_t longest_notes = 1000;

struct OrderColumn {
    std::string_view name;
    bool required;
    std::string_view instead_of;  // the same figure in another unit; one of them per file
};

inline constexpr std::array<OrderColumn, 43> order_columns{{
    {"order_id", true, ""},
    {"customer", true, ""},
    {"customer_part", true, ""},
    {"quantity", true, ""},
    {"spec_a", true, ""},
    {"spec_b", true, ""},
    {"overall_length_mm", true, "overall_length_in"},
    {"overall_length_in", true, "overall_length_mm"},
    {"length_rule", true, ""},
    {"orientation_deg", false, ""},
    {"hose_lots", true, ""},
    {"fitting_a_lots", true, ""},
    {"fitting_b_lots", true, ""},
    {"pressure_bar", false, "pressure_mpa"},
    {"pressure_mpa", false, "pressure_bar"},
    {"due", false, ""},
    {"notes", false, ""},
    // what the machine asks (order_application.h)
    {"fluid", false, ""},
    {"tube", false, ""},
    {"fluid_min_c", false, ""},
    {"fluid_max_c", false, ""},
    {"ambient_min_c", false, ""},
    {"ambient_max_c", false, ""},
    {"vacuum_bar", false, ""},
    {"hose_vacuum_bar", false, ""},
    {"bend_radius_mm", false, "bend_radius_in"},
    {"bend_radius_in", false, "bend_radius_mm"},
    {"bend_deg", false, ""},
    {"straight_a_mm", false, "straight_a_in"},
    {"straight_a_in", false, "straight_a_mm"},
    {"straight_b_mm", false, "straight_b_in"},
    {"straight_b_in", false, "straight_b_mm"},
    {"distance_mm", false, "distance_in"},
    {"distance_in", false, "distance_mm"},
    {"slack_mm", false, "slack_in"},
    {"slack_in", false, "slack_mm"},
    {"planes", false, ""},
    {"wanted_orientation_deg", false, ""},
    {"duty", false, ""},
    // the proof test
    {"proof_test", false, ""},
    {"proof_bar", false, ""},
    {"proof_hold_s", false, ""},
    {"proof_medium", false, ""},
}};

class Header {
  public:
    Header(const CsvRow& row, std::vector<TableError>& errors) : line_(row.line) {
        for (const auto& field : row.fields) {
            const std::string name(trimmed(field.text));
            const auto known = std::find_if(order_columns.begin(), order_columns.end(),
                                            [&](const OrderColumn& c) { return c.name == name; });
            if (known == order_columns.end())
                errors.push_back(table_error(field.line, name, name, "", message("order.unknown_column")));
            else if (has(name) || (!known->instead_of.empty() && has(known->instead_of)))
                errors.push_back(
                    table_error(field.line, name, name, name,
                                message("order.column_twice").with("other", has(name) ? name : known->instead_of)));
            names_.push_back(name);
        }
        for (const auto& column : order_columns)
            if (column.required && !has(column.name) && (column.instead_of.empty() || !has(column.instead_of))) {
                if (column.name == "overall_length_in") continue;  // told once, with its mm twin
                const auto expected = column.instead_of.empty()
                                          ? std::string(column.name)
                                          : std::string(column.name) + " or " + std::string(column.instead_of);
                errors.push_back(table_error(line_, expected, "", expected, message("order.missing_column")));
            }
    }

    bool has(std::string_view name) const { return std::find(names_.begin(), names_.end(), name) != names_.end(); }
    std::size_t size() const { return names_.size(); }
    std::string name_of(int ordinal) const {
        const auto i = static_cast<std::size_t>(ordinal);
        return i >= 1 && i <= names_.size() ? names_[i - 1] : std::string();
    }
    std::optional<std::size_t> place(std::string_view name) const {
        const auto at = std::find(names_.begin(), names_.end(), name);
        if (at == names_.end()) return std::nullopt;
        return static_cast<std::size_t>(at - names_.begin());
    }

  private:
    int line_;
    std::vector<std::string> names_;
};

inline bool has_control(std::string_view text) {
    while (!text.empty()) {
        const auto size = utf8_character(text);
        if (size == 0 || is_control(text.substr(0, size))) return true;
        text.remove_prefix(size);
    }
    return false;
}

// Reads the cells of one row; every cell that does not fit adds its own error.
class RowReader {
  public:
    RowReader(const Header& header, const CsvRow& row, std::vector<TableError>& errors)
        : header_(header), row_(row), errors_(errors) {}

    void error(std::string_view column, std::string_view expected, Message why) {
        errors_.push_back(table_error(line_of(column), column, cell(column), expected, std::move(why)));
    }

    std::string_view cell(std::string_view column) const {
        const auto at = header_.place(column);
        return at ? trimmed(row_.fields[*at].text) : std::string_view();
    }

    std::string text(std::string_view column, bool required, std::size_t longest = longest_name) {
        const auto found = cell(column);
        if (found.empty() && required && header_.has(column)) error(column, "text", message("order.empty"));
        if (found.size() > longest || has_control(found))
            error(column, "one line of at most " + std::to_string(longest) + " bytes", message("order.text"));
        return std::string(found);
    }

    std::int64_t quantity() {
        if (!header_.has("quantity")) return 0;
        const auto whole = whole_number("quantity");
        if (whole && *whole >= 1 && *whole <= largest_quantity) return *whole;
        error("quantity", "1 to " + std::to_string(largest_quantity), message("order.quantity"));
        return 0;
    }

    Length overall_length() {
        const bool inch = header_.has("overall_length_in");
        const std::string_view column = inch ? "overall_length_in" : "overall_length_mm";
        if (!header_.has(column)) return {};
        auto length = Length::parse(cell(column), inch ? LengthUnit::inch : LengthUnit::mm);
        const std::string expected = std::string("more than 0, in ") + (inch ? "inches" : "mm");
        if (!length)
            error(column, expected, length.error());
        else if (*length <= Length{})
            error(column, expected, message("order.length"));
        else
            return *length;
        return {};
    }

    LengthRule length_rule() {
        const auto found = cell("length_rule");
        for (const auto rule : {LengthRule::din20066, LengthRule::sae_j517})
            if (found == code_of(rule)) return rule;
        if (header_.has("length_rule")) error("length_rule", "din20066 or sae_j517", message("order.length_rule"));
        return {};
    }

    std::optional<Orientation> orientation() {
        if (cell("orientation_deg").empty()) return std::nullopt;
        const auto whole = whole_number("orientation_deg");
        const auto made =
            Orientation::make(whole.value_or(-1), OrientationRule::near_down_counter_clockwise, NearEnd::a);
        if (made) return *made;
        error("orientation_deg", "whole degrees, 0 to 360", message("order.orientation"));
        return std::nullopt;
    }

    std::optional<Pressure> pressure() {
        const bool mpa = header_.has("pressure_mpa");
        const std::string_view column = mpa ? "pressure_mpa" : "pressure_bar";
        if (cell(column).empty()) return std::nullopt;
        const auto rating = Rating::parse(cell(column), mpa ? PressureUnit::mpa : PressureUnit::bar);
        if (rating) return rating->pressure;
        error(column, mpa ? "more than 0, in MPa" : "more than 0, in bar", rating.error());
        return std::nullopt;
    }

    std::optional<Date> due() {
        if (cell("due").empty()) return std::nullopt;
        const auto date = parse_date(cell("due"));
        if (date) return *date;
        error("due", "YYYY-MM-DD", date.error());
        return std::nullopt;
    }

    // A whole number from low to high; nothing for an empty cell.
    std::optional<std::int64_t> whole(std::string_view column, std::int64_t low, std::int64_t high) {
        if (cell(column).empty()) return std::nullopt;
        const auto found = whole_number(column);
        if (found && *found >= low && *found <= high) return found;
        error(column, std::to_string(low) + " to " + std::to_string(high), message("order.number"));
        return std::nullopt;
    }

    // stem + "_mm" or "_in", 0 to 100 m; nothing for an empty cell.
    std::optional<Length> length(std::string_view stem) {
        const bool inch = header_.has(std::string(stem) + "_in");
        const auto column = std::string(stem) + (inch ? "_in" : "_mm");
        if (cell(column).empty()) return std::nullopt;
        const auto found = Length::parse(cell(column), inch ? LengthUnit::inch : LengthUnit::mm);
        constexpr auto longest = Length::from_nm(100'000 * Length::nm_per_mm);
        if (found && *found >= Length{} && *found <= longest) return *found;
        error(column, inch ? "0 to 3937" : "0 to 100000", found ? message("order.number") : found.error());
        return std::nullopt;
    }

    // In bar; 0 counts. Nothing for an empty cell.
    std::optional<Pressure> bar(std::string_view column) {
        if (cell(column).empty()) return std::nullopt;
        const auto decimal = parse_decimal(cell(column));
        const auto kpa = decimal ? scale_exactly(*decimal, 100) : Result<std::int64_t>(refuse(decimal.error()));
        if (kpa && *kpa >= 0 && *kpa <= 1'000'000) return Pressure::from_kpa(*kpa);
        error(column, "0 to 10000", kpa ? message("order.number") : kpa.error());
        return std::nullopt;
    }

    // One of `words`, as its place among them; nothing for an empty cell.
    template <std::size_t N>
    std::optional<std::size_t> word(std::string_view column, const std::array<std::string_view, N>& words) {
        if (cell(column).empty()) return std::nullopt;
        std::string all;
        for (std::size_t i = 0; i < N; ++i) {
            if (cell(column) == words[i]) return i;
            all += (i == 0 ? "" : ", ") + std::string(words[i]);
        }
        error(column, all, message("order.word"));
        return std::nullopt;
    }

    // "R118@2Q26;R119": parted by semicolons, each with the quarter of its making where `dated`.
    std::vector<Lot> lots(std::string_view column, bool dated) {
        std::vector<Lot> all;
        if (!header_.has(column)) return all;
        const std::string_view expected = dated ? "LOT or LOT@2Q26, more after ;" : "LOT, more after ;";
        std::string_view rest = text(column, true, longest_notes).empty() ? std::string_view() : cell(column);
        while (!rest.empty()) {
            const auto end = rest.find(';');
            const auto part = trimmed(rest.substr(0, end));
            rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + 1);
            if (end != std::string_view::npos && rest.empty()) {
                error(column, expected, message("order.lot"));  // a semicolon with nothing behind it
                break;
            }
            if (auto lot = read_lot(column, part, dated, expected)) {
                const bool twice =
                    std::any_of(all.begin(), all.end(), [&](const Lot& l) { return l.number == lot->number; });
                if (twice) error(column, expected, message("order.lot_twice").with("lot", lot->number));
                all.push_back(std::move(*lot));
            }
        }
        return all;
    }

  private:
    int line_of(std::string_view column) const {
        const auto at = header_.place(column);
        return at ? row_.fields[*at].line : row_.line;
    }

    std::optional<std::int64_t> whole_number(std::string_view column) const {
        const auto decimal = parse_decimal(cell(column));
        if (!decimal || decimal->places != 0) return std::nullopt;
        return decimal->digits;
    }

    std::optional<Lot> read_lot(std::string_view column, std::string_view part, bool dated, std::string_view expected) {
        const auto at = part.find('@');
        const auto number = trimmed(part.substr(0, at));
        if (number.empty() || number.size() > longest_name || (at != std::string_view::npos && !dated)) {
            error(column, expected, message("order.lot"));
            return std::nullopt;
        }
        Lot lot{std::string(number), std::nullopt};
        if (at == std::string_view::npos) return lot;
        const auto made = HoseQuarter::parse(trimmed(part.substr(at + 1)));
        if (!made) {
            error(column, expected, message("order.lot_date").with("lot", lot.number));
            return std::nullopt;
        }
        lot.made = *made;
        return lot;
    }

    const Header& header_;
    const CsvRow& row_;
    std::vector<TableError>& errors_;
};

}  // namespace crimpgate::order_cells
