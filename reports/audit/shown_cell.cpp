#include "reports/audit/shown_cell.h"

#include <algorithm>
#include <charconv>
#include <chrono>

#include "reports/audit/cell_message.h"

namespace crimpgate::audit {

namespace {

std::optional<int> digits(std::string_view text) {
    int out = 0;
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), out);
    if (ec != std::errc{} || end != text.data() + text.size() || text.empty() || text[0] == '-') return std::nullopt;
    return out;
}

}  // namespace

std::optional<std::int64_t> utc_ms(std::string_view iso) {
    if (iso.size() != 24 || iso[4] != '-' || iso[7] != '-' || iso[10] != 'T' || iso[13] != ':' || iso[16] != ':' ||
        iso[19] != '.' || iso[23] != 'Z')
        return std::nullopt;
    const auto year = digits(iso.substr(0, 4)), month = digits(iso.substr(5, 2)), day = digits(iso.substr(8, 2));
    const auto hour = digits(iso.substr(11, 2)), minute = digits(iso.substr(14, 2)), second = digits(iso.substr(17, 2));
    const auto ms = digits(iso.substr(20, 3));
    if (!year || !month || !day || !hour || !minute || !second || !ms) return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                                           std::chrono::day(static_cast<unsigned>(*day))};
    if (!date.ok() || *hour > 23 || *minute > 59 || *second > 59) return std::nullopt;
    const std::int64_t days = std::chrono::sys_days(date).time_since_epoch().count();
    return ((days * 24 + *hour) * 60 + *minute) * 60'000 + *second * 1'000 + *ms;
}

std::string shown_number(std::string_view figure, const Reader& reader) {
    std::string out(figure);
    if (reader.language == "de") std::replace(out.begin(), out.end(), '.', ',');
    return out;
}

std::string named(const std::string& id, const Reader& reader) {
    const auto found = reader.people.find(id);
    // Somebody whose name is their id is not called twice.
    return found == reader.people.end() || found->second == id ? id : found->second + " (" + id + ")";
}

std::string said(const Message& coded, const Reader& reader) {
    Message message = coded;
    for (Detail& detail : message.details)
        if (names_person(detail)) detail.text = named(detail.text, reader);
    if (reader.say) {
        auto sentence = reader.say(message);
        if (!sentence.empty() && !sentence.starts_with(message.code)) return sentence;
    }
    return code_and_details(message);
}

std::string word_for(std::string_view code, std::string_view otherwise, const Reader& reader) {
    if (reader.say) {
        auto word = reader.say(Message{std::string(code), {}});
        if (!word.empty() && word != code) return word;
    }
    std::string out(otherwise);
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
}

std::string sheet_title(const Sheet& sheet, const Reader& reader) {
    return word_for("audit.sheet." + sheet.id, sheet.id, reader);
}

std::string column_title(const Column& column, const Reader& reader) {
    return word_for("audit.column." + column.id, column.id, reader);
}

bool is_figure(Cell kind) {
    switch (kind) {
        case Cell::count:
        case Cell::number:
        case Cell::percent:
        case Cell::length:
        case Cell::seconds:
        case Cell::seq:
            return true;
        default:
            return false;
    }
}

std::string shown_cell(const Column& column, std::string_view cell, const Reader& reader) {
    if (cell.empty()) return {};
    switch (column.kind) {
        case Cell::number:
        case Cell::percent:
        case Cell::length:
        case Cell::seconds:
            return shown_number(cell, reader);
        case Cell::code:
            return word_for("audit.value." + std::string(cell), cell, reader);
        case Cell::person:
            return named(std::string(cell), reader);
        case Cell::message:
            return said(message_in(cell), reader);
        case Cell::time:
            if (const auto ms = utc_ms(cell); ms && reader.local_time) return reader.local_time(*ms);
            return std::string(cell);
        default:
            return std::string(cell);
    }
}

}  // namespace crimpgate::audit
