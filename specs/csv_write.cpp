#include "specs/csv_write.h"

#include "specs/decimal.h"

namespace crimpgate {

namespace {

bool is_formula(std::string_view text) {
    const auto first = text.find_first_not_of(' ');
    if (first == std::string_view::npos) return false;
    const std::string_view dangerous = "=+-@\t\r\n";
    if (dangerous.find(text[first]) == std::string_view::npos) return false;
    return !parse_decimal(text).has_value();
}

}  // namespace

std::string csv_field(std::string_view text) {
    std::string safe = is_formula(text) ? "'" : "";
    safe += text;
    // The semicolon is quoted as well, for spreadsheets of the countries where it parts the cells.
    if (safe.find_first_of(",;\"\r\n\t") == std::string::npos) return safe;
    std::string quoted = "\"";
    for (const char c : safe) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

std::string csv_row(const std::vector<std::string>& cells) {
    std::string row;
    for (const auto& cell : cells) {
        if (&cell != &cells.front()) row += ',';
        row += csv_field(cell);
    }
    if (row.empty()) row = "\"\"";
    return row + "\r\n";
}

}  // namespace crimpgate
