// The generated year: a sound journal, the same from the same seed, with a shop's troubles in it; and, on request, that
// the audit of a whole year names what is planted and nothing else (tools/year-check).
#include "tests/year/audited_year.h"

#include <cstdlib>

#include "tests/support/catch.h"

using namespace crimpgate;
using namespace year_test;

TEST_CASE("R2, R3: a generated year is a sound journal, with every assembly started and settled, tags and troubles") {
    const Folder folder;
    year::YearChoice choice;
    choice.assemblies = 600;
    const auto made = make(folder / "year.sqlite", choice);
    REQUIRE(made.made.assemblies == 600);
    REQUIRE(made.made.days.size() == 4);
    const auto verified = made.journal.verify();
    REQUIRE(verified);
    CHECK(verified->sound());
    CHECK(verified->entries == made.made.entries);

    const auto counts = count_by_type(made.journal);
    CHECK(counts.at("assembly.started") == 600);
    CHECK(counts.at("shift.started") == 8);
    CHECK(counts.at("shift.ended") == 8);
    CHECK(counts.at("setup.judged") == made.made.setups);
    CHECK(counts.at("drift.warned") == made.made.warnings);
    CHECK(counts.at("assembly.held") == made.made.holds);
    CHECK(counts.at("assembly.passed") > 570);
    CHECK(counts.at("tag.printed") >= counts.at("assembly.passed"));
    // A set-up piece has three readings, an end at least three and its depth; a proof one.
    CHECK(counts.at("reading.taken") > 600 * 2 * 4);
    CHECK(counts.at("reading.voided") > 0);
    CHECK(counts.at("reading.refused") > 0);
}

TEST_CASE("the same seed makes the same entries, byte for byte, and another seed other ones") {
    const Folder folder;
    year::YearChoice choice;
    choice.assemblies = 60;
    choice.per_day = 20;
    const auto first = bytes_of(make(folder / "a.sqlite", choice).journal);
    CHECK(first == bytes_of(make(folder / "b.sqlite", choice).journal));
    choice.seed = 2;
    CHECK(first != bytes_of(make(folder / "c.sqlite", choice).journal));
}

TEST_CASE("the days of a year are work days up to the last one, and the faults lie within them") {
    // 2026-11-24 is a Tuesday (ISO 8601 week 2026-W48 begins on Monday the 23rd).
    year::YearChoice choice;
    const auto days = year::work_days(choice);
    REQUIRE(days.size() == 250);
    CHECK(to_text(days.back()) == "2026-11-24");
    CHECK(to_text(days[247]) == "2026-11-20");
    const auto story = year::story_of(choice, days);
    CHECK(to_text(days[story.wear_from]) == "2026-06-24");
    CHECK(story.caliper_to - story.caliper_from == 4);
    CHECK(story.caliper_to < story.bump_day);
    CHECK(story.lot_wanted < story.caliper_from);
    CHECK(story.bump_day < story.wear_from);
}

namespace {

std::int64_t from_environment(const char* name, std::int64_t otherwise) {
    const char* text = std::getenv(name);
    return text == nullptr ? otherwise : std::strtoll(text, nullptr, 10);
}

}  // namespace

// Hidden: minutes of work. CRIMPGATE_YEAR_ASSEMBLIES, CRIMPGATE_YEAR_PER_DAY and CRIMPGATE_SEED choose the year.
TEST_CASE("of a generated year the audit names the four planted faults and nothing else", "[.][year]") {
    const Folder folder;
    year::YearChoice choice;
    choice.assemblies = from_environment("CRIMPGATE_YEAR_ASSEMBLIES", 8'000);
    choice.per_day = from_environment("CRIMPGATE_YEAR_PER_DAY", 32);
    choice.seed = static_cast<std::uint64_t>(from_environment("CRIMPGATE_SEED", 1));
    const auto year = make(folder / "year.sqlite", choice);
    const auto found = differences_in(year.journal);
    WARN(listed(found));
    const Named named = compare(year.made, found);
    CHECK(named.wear);
    CHECK(named.bump);
    CHECK(named.caliper);
    CHECK(named.lot);
    INFO(named.others);
    CHECK(named.others.empty());
}

TEST_CASE("of a generated year without faults the audit names nothing", "[.][year]") {
    const Folder folder;
    year::YearChoice choice;
    choice.assemblies = from_environment("CRIMPGATE_YEAR_ASSEMBLIES", 8'000);
    choice.per_day = from_environment("CRIMPGATE_YEAR_PER_DAY", 32);
    choice.faults = false;
    choice.seed = static_cast<std::uint64_t>(from_environment("CRIMPGATE_SEED", 1));
    const auto year = make(folder / "year.sqlite", choice);
    const auto found = differences_in(year.journal);
    INFO(listed(found));
    CHECK(found.empty());
}
