// From a message to its words.
#include "tests/support/catch.h"

#include "station/words/catalogue.h"
#include "station/words/entry_words.h"
#include "station/words/finding_words.h"

using namespace crimpgate;

TEST_CASE("a message's details stand in the holes of its sentence") {
    const auto said = say(message("bench.wrong_die").with("scanned", "D-16").with("needed", "D-19"));
    CHECK(said == "This is die set D-16; the spec row needs die set D-19. Change it before anything is crimped.");
    // Text that looks like a hole is text.
    CHECK_THAT(say(message("bench.wrong_die").with("scanned", "{needed}").with("needed", "D-19")),
               cqt::contains("die set {needed};"));
    // A detail that is missing leaves a gap, not a hole.
    CHECK(say(message("bench.no_gauge")).find('{') == std::string::npos);
}

TEST_CASE("a code without a sentence says itself, so that nobody stands before an empty screen") {
    CHECK(say(Message{"no.such_code", {{"gauge", "CAL-1"}, {"line", "7"}}}) == "no.such_code gauge=CAL-1 line=7");
    CHECK(sentence("no.such_code").empty());
}

TEST_CASE("in a shop that shows inches a finding's figures are inches, and it says so beside them") {
    Finding f;
    f.what = Characteristic::crimp_diameter;
    f.flat = 1;
    f.verdict = Verdict::fails;
    f.side = Side::below;
    f.value = Length::from_nm(22'310'000);
    f.lower = Length::from_nm(22'370'000);
    f.upper = Length::from_nm(22'770'000);
    f.margin = Length::from_nm(-60'000);
    // 22.31 / 25.4 = 0.878346, 22.37 / 25.4 = 0.880709, 0.06 / 25.4 = 0.002362
    const auto inch = words_of(f, 4, ShownUnit::inch);
    CHECK(inch.detail("value") == "0.8783");
    CHECK(inch.detail("limit") == "0.8807");
    CHECK(inch.detail("distance") == "0.0024");
    CHECK(inch.detail("unit") == "in");
    const auto mm = words_of(f, 2);
    CHECK(mm.detail("value") == "22.31");
    CHECK(mm.detail("unit").empty());
}

TEST_CASE("in a shop that shows inches an assembly's history tells its readings in inches") {
    entries::ReadingTaken taken;
    taken.purpose = Purpose::assembly;
    taken.serial = "K1";
    taken.end = End::a;
    taken.what = Characteristic::crimp_diameter;
    taken.flat = 1;
    taken.value = Length::from_nm(25'400'000);
    taken.verdict = Verdict::conforms;
    const auto inch = words_of(EntryBody(taken), "OP", ShownUnit::inch);
    CHECK(inch.detail("value") == "1.0000");
    CHECK(inch.detail("unit") == "in");
    CHECK(words_of(EntryBody(taken), "OP").detail("value") == "25.40");
}
