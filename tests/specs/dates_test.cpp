#include "specs/dates.h"

#include <rapidcheck.h>

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

Date date(std::string_view text) {
    return *parse_date(text);
}

}  // namespace

TEST_CASE("A date is written year, month, day, and is a day that the calendar has") {
    CHECK(to_text(date("2016-06-15")) == "2016-06-15");
    CHECK(date("2024-02-29").ok());
    for (const char* text : {"2023-02-29", "2016-13-01", "2016-00-10", "2016-06-31", "2016-06-00", "0216-06-15"}) {
        const auto refused = parse_date(text);
        REQUIRE_FALSE(refused.has_value());
        CHECK(refused.error().code == "date.no_such_day");
        CHECK(refused.error().detail("found") == text);
    }
    for (const char* text : {"", "2016-6-15", "15.06.2016", "06/15/2016", "20160615", "2016-06-15 ", "2016/06/15",
                             "2016-06-1a", "-016-06-15", "2016-06-15T00:00:00Z"})
        CHECK(parse_date(text).error().code == "date.form");
}

TEST_CASE("15 June 2016 marks a hose 2Q16, an assembly 1606 and a Navy assembly A2Q16") {
    // EN 853 and DIN 20066 marking as quoted by public pages; US Navy manuals: A2Q80 is the second quarter of 1980.
    CHECK(HoseQuarter::of(date("2016-06-15")).text() == "2Q16");
    CHECK(assembly_code(date("2016-06-15")) == "1606");
    CHECK(navy_assembly_code(date("2016-06-15")) == "A2Q16");
    CHECK(navy_assembly_code(date("1980-06-01")) == "A2Q80");
    CHECK(assembly_code(date("2000-01-31")) == "0001");
    CHECK(assembly_code(date("2026-12-31")) == "2612");
}

TEST_CASE("Quarters begin in January, April, July and October") {
    CHECK(HoseQuarter::of(date("2026-03-31")).text() == "1Q26");
    CHECK(HoseQuarter::of(date("2026-04-01")).text() == "2Q26");
    CHECK(HoseQuarter::of(date("2026-09-30")).text() == "3Q26");
    CHECK(HoseQuarter::of(date("2026-10-01")).text() == "4Q26");
    const auto q = *HoseQuarter::parse("2Q12");
    CHECK(q.first_day() == date("2012-04-01"));
    CHECK(q.last_day() == date("2012-06-30"));
    CHECK(HoseQuarter::parse("4q07")->last_day() == date("2007-12-31"));
    CHECK(rc::check("every day lies in its own quarter, and the quarter's code reads back", [] {
        const auto day = std::chrono::sys_days{date("1970-01-01")} + std::chrono::days{*rc::gen::inRange(0, 36524)};
        const Date d{day};
        const auto quarter = HoseQuarter::of(d);
        RC_ASSERT(quarter.first_day() <= d && d <= quarter.last_day());
        RC_ASSERT(quarter.last_day().ok());
        RC_ASSERT(*HoseQuarter::parse(quarter.text()) == quarter);
        RC_ASSERT(parse_date(to_text(d)) == d);
    }));
}

TEST_CASE("A hose's year of two digits lies between 1970 and 2069") {
    CHECK(HoseQuarter::parse("1Q70")->year() == 1970);
    CHECK(HoseQuarter::parse("4Q99")->year() == 1999);
    CHECK(HoseQuarter::parse("1Q00")->year() == 2000);
    CHECK(HoseQuarter::parse("4Q69")->year() == 2069);
    for (const char* text : {"", "0Q16", "5Q16", "2Q1", "2Q2016", "Q216", "2-16", "2Q1x", " 2Q16", "2K16"})
        CHECK(HoseQuarter::parse(text).error().code == "date.quarter_form");
}

TEST_CASE("A hose of 2Q12 may be used until 1 April 2016: its age counts from the first day of its quarter") {
    // Limit of 4 years: ISO 8331:1991 and DIN 20066:2002 as summarised by public pages; the day is our own, safe
    // choice.
    const auto made = *HoseQuarter::parse("2Q12");
    CHECK(check_hose_age(made, date("2016-03-31")).has_value());
    CHECK(check_hose_age(made, date("2016-04-01")).has_value());
    const auto june = check_hose_age(made, date("2016-06-15"));
    REQUIRE_FALSE(june.has_value());
    CHECK(june.error().code == "hose.too_old");
    CHECK(june.error().detail("until") == "2016-04-01");
    CHECK_FALSE(check_hose_age(made, date("2016-04-02")).has_value());
    // Ten years for a customer who follows US commercial practice (from memory).
    CHECK(check_hose_age(made, date("2016-06-15"), 10).has_value());
    CHECK(check_hose_age(made, date("2022-04-01"), 10).has_value());
    CHECK_FALSE(check_hose_age(made, date("2022-04-02"), 10).has_value());
}

TEST_CASE("R10: a hose made after the assembly is a mistake in one of the two dates") {
    const auto made = *HoseQuarter::parse("3Q26");
    CHECK(check_hose_age(made, date("2026-07-01")).has_value());
    CHECK(check_hose_age(made, date("2026-06-30")).error().code == "hose.made_later");
}
