#include "tools/cli/audit_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "reports/audit_pdf_words.h"
#include "specs/shown_text.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

// Nothing is cut short here: a cell is evidence.
std::string safe(const std::string& text) {
    return shown_text(text, text.size() + 1);
}

std::size_t width(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

}  // namespace

std::string sheet_text(const audit::Sheet& sheet, const audit::Reader& reader, std::size_t longest_sheet) {
    std::string out = safe(audit::sheet_title(sheet, reader)) + " (" + sheet.id + ")\n";
    for (const auto& note : sheet.notes)
        out += "    " + safe(audit::said(note, reader)) + "\n";
    if (sheet.rows.empty()) return out + "    " + audit::said(message("audit.paper.nothing"), reader) + "\n";
    const auto shown = std::min(longest_sheet, sheet.rows.size());
    std::vector<std::vector<std::string>> rows(1);
    for (const auto& column : sheet.columns)
        rows[0].push_back(safe(audit::column_title(column, reader)));
    for (std::size_t r = 0; r < shown; ++r) {
        rows.emplace_back();
        for (std::size_t c = 0; c < sheet.columns.size(); ++c)
            rows.back().push_back(safe(audit::shown_cell(sheet.columns[c], sheet.rows[r][c], reader)));
    }
    for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
        if (!audit::is_figure(sheet.columns[c].kind)) continue;
        std::size_t widest = 0;
        for (const auto& row : rows)
            widest = std::max(widest, width(row[c]));
        for (auto& row : rows)
            row[c].insert(0, widest - width(row[c]), ' ');
    }
    TextTable table(rows[0]);
    for (std::size_t r = 1; r < rows.size(); ++r)
        table.add(rows[r]);
    out += table.text(4);
    if (shown < sheet.rows.size())
        out += "    " +
               audit::said(message("cli.audit_rows")
                               .with("shown", std::to_string(shown))
                               .with("rows", std::to_string(sheet.rows.size()))
                               .with("sheet", sheet.id),
                           reader) +
               "\n";
    return out;
}

std::string audit_text(const audit::Audit& audit, const audit::Reader& reader, std::size_t longest_sheet) {
    std::string out = safe(audit_words::title(audit, reader)) + "\n";
    AuditPaper head;
    head.reader = reader;
    for (const auto& line : audit_words::head(audit, head))
        out += fmt::format("    {}: {}\n", line.label, safe(line.value));
    for (const auto& note : audit.notes)
        out += "    " + safe(audit::said(note, reader)) + "\n";
    for (const auto& sheet : audit.sheets)
        out += "\n" + sheet_text(sheet, reader, longest_sheet);
    return out;
}

}  // namespace crimpgate::cli
