#include "specs/dates.h"

#include <array>

namespace crimpgate {

namespace {

constexpr bool digit(char c) {
    return c >= '0' && c <= '9';
}

int digits(std::string_view text) {
    int value = 0;
    for (const char c : text)
        value = value * 10 + (c - '0');
    return value;
}

// With leading zeros.
std::string padded(int value, std::size_t places) {
    auto text = std::to_string(value);
    return text.size() < places ? std::string(places - text.size(), '0') + text : text;
}

int year_of(Date date) {
    return static_cast<int>(date.year());
}
int month_of(Date date) {
    return static_cast<int>(static_cast<unsigned>(date.month()));
}
int day_of(Date date) {
    return static_cast<int>(static_cast<unsigned>(date.day()));
}

Date make(int year, int month, int day) {
    return Date{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                std::chrono::day{static_cast<unsigned>(day)}};
}

}  // namespace

Result<Date> parse_date(std::string_view text) {
    constexpr std::string_view form = "dddd-dd-dd";
    bool fits = text.size() == form.size();
    for (std::size_t i = 0; fits && i < form.size(); ++i)
        fits = form[i] == 'd' ? digit(text[i]) : text[i] == '-';
    if (!fits) return refuse(message("date.form").with("found", text));
    const auto date = make(digits(text.substr(0, 4)), digits(text.substr(5, 2)), digits(text.substr(8, 2)));
    if (!date.ok() || year_of(date) < 1900) return refuse(message("date.no_such_day").with("found", text));
    return date;
}

std::string to_text(Date date) {
    return padded(year_of(date), 4) + "-" + padded(month_of(date), 2) + "-" + padded(day_of(date), 2);
}

std::string assembly_code(Date date) {
    return padded(year_of(date) % 100, 2) + padded(month_of(date), 2);
}

std::string navy_assembly_code(Date date) {
    return "A" + HoseQuarter::of(date).text();
}

HoseQuarter HoseQuarter::of(Date date) {
    return {(month_of(date) + 2) / 3, year_of(date)};
}

Result<HoseQuarter> HoseQuarter::parse(std::string_view text) {
    const bool fits = text.size() == 4 && text[0] >= '1' && text[0] <= '4' && (text[1] == 'Q' || text[1] == 'q') &&
                      digit(text[2]) && digit(text[3]);
    if (!fits) return refuse(message("date.quarter_form").with("found", text));
    const int two = digits(text.substr(2));
    return HoseQuarter(text[0] - '0', two >= 70 ? 1900 + two : 2000 + two);
}

Date HoseQuarter::first_day() const {
    return make(year_, 3 * quarter_ - 2, 1);
}

Date HoseQuarter::last_day() const {
    static constexpr std::array<int, 4> last{31, 30, 30, 31};
    return make(year_, 3 * quarter_, last[static_cast<std::size_t>(quarter_ - 1)]);
}

std::string HoseQuarter::text() const {
    return std::to_string(quarter_) + "Q" + padded(year_ % 100, 2);
}

Result<void> check_hose_age(const HoseQuarter& made, Date assembled, std::int64_t limit_years) {
    if (assembled < made.first_day())
        return refuse(message("hose.made_later").with("made", made.text()).with("assembled", to_text(assembled)));
    const auto last = made.first_day() + std::chrono::years{limit_years};
    if (assembled > last)
        return refuse(message("hose.too_old")
                          .with("made", made.text())
                          .with("assembled", to_text(assembled))
                          .with("limit", std::to_string(limit_years))
                          .with("until", to_text(last)));
    return {};
}

}  // namespace crimpgate
