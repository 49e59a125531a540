// Calendar dates of the trade: days as people write them, the quarter code on a hose, the codes on an assembly.
//
// The full date is what is stored; codes are derived from it. Days are the shop's own calendar days, without a clock.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate {

using Date = std::chrono::year_month_day;

// "2026-11-25" and nothing else (ISO 8601 extended); a day that the calendar has, years 1900 to 9999. "date.form" or
// "date.no_such_day".
Result<Date> parse_date(std::string_view text);
std::string to_text(Date date);

// "1606": two digits of the year, then the month (DIN 20066 and DGUV Regel 113-020 as quoted; not month first, no
// week).
std::string assembly_code(Date date);
// "A2Q16": assembled in the second quarter of 2016 (US Navy training manuals).
std::string navy_assembly_code(Date date);

// When a hose was made, as its print says: "2Q16" is April to June 2016 (EN 853 to 857 marking).
class HoseQuarter {
  public:
    static HoseQuarter of(Date date);  // quarter = (month + 2) / 3
    // One digit 1 to 4, Q or q, two digits of the year: 70 to 99 are 1970 to 1999, 00 to 69 are 2000 to 2069 (our
    // window: hoses older than 1970 are not made into assemblies). "date.quarter_form".
    static Result<HoseQuarter> parse(std::string_view text);

    int quarter() const { return quarter_; }
    int year() const { return year_; }
    Date first_day() const;
    Date last_day() const;
    std::string text() const;
    bool operator==(const HoseQuarter&) const = default;

  private:
    HoseQuarter(int quarter, int year) : quarter_(quarter), year_(year) {}
    int quarter_;
    int year_;
};

inline constexpr std::int64_t usual_hose_age_limit_years = 4;

// May a hose of that quarter go into an assembly on that day? The code does not say which day of the quarter it was
// made on, so its age counts from the FIRST day: no hose over the limit passes, at the price of stopping some up to
// three months early (a shop whose customer allows that sets a longer limit). A hose is in until its first day's
// anniversary, that day included. Default 4 years after ISO 8331:1991 and DIN 20066:2002 as summarised; others hold 10
// or 12, so it is a setting per customer. "hose.too_old", and "hose.made_later" for a quarter that had not begun.
Result<void> check_hose_age(const HoseQuarter& made, Date assembled,
                            std::int64_t limit_years = usual_hose_age_limit_years);

}  // namespace crimpgate
