// A cell as a person reads it: their decimal sign, their time of day, the catalogue's words for codes. Paper and
// terminal show cells through this one function, so they cannot differ.
//
// Digits are never touched: the figure was rounded once, when the audit was made.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "reports/audit/audit.h"

namespace crimpgate::audit {

// Who reads. What is left out: sentences are codes with details, times stay UTC.
struct Reader {
    std::string language = "en";                          // decides the decimal sign alone: "de" reads 26,10
    std::function<std::string(const Message&)> say;       // a sentence of the catalogue; the code if there is none
    std::function<std::string(std::int64_t)> local_time;  // of UTC milliseconds: "2026-11-25 08:12:03"
    std::map<std::string, std::string> people;            // names by id: "Mara Olsen (MO)"; who has none stays an id
};

std::string shown_cell(const Column& column, std::string_view cell, const Reader& reader);

// The sentence, or the code and its details where the catalogue has none. People in it with their names.
std::string said(const Message& message, const Reader& reader);

// "Mara Olsen (MO)".
std::string named(const std::string& id, const Reader& reader);

// A word of the catalogue; `otherwise` with blanks for underscores where it has none.
std::string word_for(std::string_view code, std::string_view otherwise, const Reader& reader);

// "audit.sheet.ID" and "audit.column.ID"; where the catalogue has none, the id with blanks. Columns that hold lengths,
// durations or percentages without a word of their own say their unit: "mean mm".
std::string sheet_title(const Sheet& sheet, const Reader& reader);
std::string column_title(const Column& column, const Reader& reader);

// With the reader's decimal sign.
std::string shown_number(std::string_view figure, const Reader& reader);

// "2026-11-25T07:12:03.120Z" as UTC milliseconds; nothing for any other text.
std::optional<std::int64_t> utc_ms(std::string_view iso);

// Stands at the right of its column.
bool is_figure(Cell kind);

}  // namespace crimpgate::audit
