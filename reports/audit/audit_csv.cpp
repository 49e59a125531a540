#include "reports/audit/audit_csv.h"

#include <algorithm>
#include <array>

#include "reports/audit/cell_message.h"
#include "specs/csv_write.h"
#include "specs/decimal.h"
#include "specs/shown_text.h"

namespace crimpgate::audit {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
constexpr std::string_view unreadable = "\xEF\xBF\xBD";

// What spreadsheets pass over before they look for a formula: blanks of every kind, and what cannot be seen.
bool is_passed_over(std::string_view character) {
    static constexpr std::array<std::string_view, 4> blanks{" ", "\xC2\xA0", "\xE2\x80\xAF", "\xE3\x80\x80"};
    return std::find(blanks.begin(), blanks.end(), character) != blanks.end() || is_invisible(character);
}

bool begins_formula(std::string_view character) {
    static constexpr std::array<std::string_view, 13> dangerous{"=",  "+",  "-",  "@",  "|",  "%", "\t",
                                                                "\r", "\n", "＝", "＋", "－", "＠"};
    return std::find(dangerous.begin(), dangerous.end(), character) != dangerous.end();
}

}  // namespace

std::string spreadsheet_safe(std::string_view text) {
    std::string out;
    bool looking = true, formula = false;
    for (auto rest = text; !rest.empty();) {
        const std::size_t size = utf8_character(rest);
        std::string_view one = rest.substr(0, size == 0 ? 1 : size);
        rest.remove_prefix(one.size());
        if (size == 0 || one[0] == '\0') one = unreadable;
        if (looking && !is_passed_over(one)) {
            looking = false;
            formula = begins_formula(one);
        }
        out += one;
    }
    if (formula && !parse_decimal(out).has_value()) out.insert(0, 1, '\'');
    return out;
}

std::string sheet_csv(const Sheet& sheet) {
    std::vector<std::string> cells;
    for (const auto& column : sheet.columns)
        cells.push_back(spreadsheet_safe(column.id));
    std::string out(byte_order_mark);
    out += csv_row(cells);
    for (const auto& row : sheet.rows) {
        cells.clear();
        for (std::size_t i = 0; i < row.size(); ++i) {
            const bool is_message = i < sheet.columns.size() && sheet.columns[i].kind == Cell::message;
            cells.push_back(
                spreadsheet_safe(is_message && !row[i].empty() ? code_and_details(message_in(row[i])) : row[i]));
        }
        out += csv_row(cells);
    }
    return out;
}

}  // namespace crimpgate::audit
