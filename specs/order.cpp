#include "specs/order.h"

#include <algorithm>
#include <array>
#include <set>
#include <utility>

#include "specs/csv.h"
#include "specs/shown_text.h"
#include "specs/spec_columns.h"

namespace crimpgate {

namespace {

constexpr std::int64_t largest_quantity = 100'000;
constexpr std::size_t longest_name = 80;
constexpr std::size_t longest_notes = 1000;

struct OrderColumn {
    std::string_view name;
    bool required;
    std::string_view instead_of;  // the same figure in another unit; one of them per file
};

constexpr std::array<OrderColumn, 17> order_columns{{
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

bool has_control(std::string_view text) {
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

Order read_order(RowReader& read) {
    Order order;
    order.order_id = read.text("order_id", true);
    order.customer = read.text("customer", true);
    order.customer_part = read.text("customer_part", true);
    order.quantity = read.quantity();
    order.spec_a = read.text("spec_a", true);
    order.spec_b = read.text("spec_b", true);
    order.overall_length = read.overall_length();
    order.length_rule = read.length_rule();
    order.orientation = read.orientation();
    order.hose_lots = read.lots("hose_lots", true);
    order.fitting_a_lots = read.lots("fitting_a_lots", false);
    order.fitting_b_lots = read.lots("fitting_b_lots", false);
    order.needed_pressure = read.pressure();
    order.due = read.due();
    order.notes = read.text("notes", false, longest_notes);
    return order;
}

bool same_hose(const HoseSpec& a, const HoseSpec& b) {
    return a.maker == b.maker && a.type == b.type && a.dash == b.dash;
}

}  // namespace

std::string_view code_of(LengthRule rule) {
    return rule == LengthRule::din20066 ? "din20066" : "sae_j517";
}

tl::expected<std::vector<Order>, std::vector<TableError>> parse_orders(std::string_view csv) {
    const auto file = read_csv(csv);
    std::vector<TableError> errors;
    std::vector<Order> orders;
    if (file.rows.size() < 2)
        errors.push_back(table_error(1, "", "", "a header and one row an order", message("order.no_rows")));
    if (!file.rows.empty()) {
        const Header header(file.rows.front(), errors);
        for (const auto& e : file.errors)
            errors.push_back(table_error(e.line, header.name_of(e.ordinal), "", "", e.why));
        std::set<std::string, std::less<>> ids;
        for (std::size_t i = 1; i < file.rows.size(); ++i) {
            const auto& row = file.rows[i];
            if (row.fields.size() != header.size()) continue;  // told by the reader
            RowReader read(header, row, errors);
            auto order = read_order(read);
            if (!order.order_id.empty() && !ids.insert(order.order_id).second)
                read.error("order_id", "each order once", message("order.twice"));
            orders.push_back(std::move(order));
        }
    } else {
        for (const auto& e : file.errors)
            errors.push_back(table_error(e.line, "", "", "", e.why));
    }
    std::stable_sort(errors.begin(), errors.end(),
                     [](const TableError& a, const TableError& b) { return a.line < b.line; });
    if (!errors.empty()) return tl::unexpected(std::move(errors));
    return orders;
}

tl::expected<OrderPlan, std::vector<Message>> check_order(const Order& order, const std::vector<SpecRow>& rows,
                                                          Date assembled, std::int64_t hose_age_limit_years) {
    std::vector<Message> problems;
    const auto row_of = [&](const std::string& id) {
        return std::find_if(rows.begin(), rows.end(), [&](const SpecRow& row) { return row.spec_id == id; });
    };
    const auto row_a = row_of(order.spec_a);
    const auto row_b = row_of(order.spec_b);
    if (row_a == rows.end()) problems.push_back(message("order.no_spec").with("spec", order.spec_a));
    if (row_b == rows.end() && order.spec_b != order.spec_a)
        problems.push_back(message("order.no_spec").with("spec", order.spec_b));

    OrderPlan plan;
    for (const auto& lot : order.hose_lots) {
        if (!lot.made)
            plan.undated_hose_lots.push_back(lot.number);
        else if (const auto young = check_hose_age(*lot.made, assembled, hose_age_limit_years); !young)
            problems.push_back(Message(young.error()).with("lot", lot.number));
    }
    if (row_a == rows.end() || row_b == rows.end()) return tl::unexpected(std::move(problems));

    plan.row_a = *row_a;
    plan.row_b = *row_b;
    if (!same_hose(row_a->hose, row_b->hose))
        problems.push_back(message("order.hoses_differ").with("spec_a", order.spec_a).with("spec_b", order.spec_b));

    if (const auto cut = cut_length(order.overall_length, row_a->fitting.cut_off, row_b->fitting.cut_off); !cut) {
        problems.push_back(cut.error());
    } else {
        plan.cut_length = *cut;
        const auto depths = row_a->depth.nominal + row_b->depth.nominal;
        if (*cut < depths)
            problems.push_back(
                message("order.no_room").with("cut_length", cut->to_mm_text(3)).with("depths", depths.to_mm_text(3)));
    }
    if (const auto overall = toleranced_length(order.overall_length, order.length_rule, row_a->hose.dash))
        plan.overall = *overall;
    else
        problems.push_back(overall.error());

    plan.rating = working_pressure(*row_a, *row_b);
    if (order.needed_pressure && *order.needed_pressure > plan.rating.rating.pressure)
        problems.push_back(message("order.pressure_too_low")
                               .with("needed", order.needed_pressure->to_bar_text(2))
                               .with("rating", plan.rating.rating.pressure.to_bar_text(2)));
    if (!problems.empty()) return tl::unexpected(std::move(problems));
    return plan;
}

}  // namespace crimpgate
