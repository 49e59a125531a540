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

TEST_CASE("R4: a value that fails by less than its gauge shows does not read like the limit, nor over by nothing") {
    Finding f;
    f.what = Characteristic::crimp_diameter;
    f.flat = 1;
    f.verdict = Verdict::fails;
    f.side = Side::above;
    // 0.00004 in, 1016 nm, over 25.30 mm, which is 0.996063 in: four places would say 0.9961 of both, and 0.0000.
    f.value = Length::from_nm(25'301'016);
    f.lower = Length::from_nm(25'000'000);
    f.upper = Length::from_nm(25'300'000);
    f.margin = Length::from_nm(-1'016);
    const auto inch = words_of(f, 4, ShownUnit::inch);
    CHECK(inch.detail("value") == "0.99610");
    CHECK(inch.detail("limit") == "0.99606");
    CHECK(inch.detail("distance") == "0.00004");
    CHECK(say(inch) ==
          "Crimp diameter across flat 1 is 0.99610 in, 0.00004 in over the upper limit 0.99606 in: oversize.");
    const auto mm = words_of(f, 2);
    CHECK(mm.detail("value") == "25.301");
    CHECK(mm.detail("limit") == "25.300");
    CHECK(mm.detail("distance") == "0.001");
}

TEST_CASE("R5: what is too close to call never reads as far enough inside") {
    Finding f;
    f.what = Characteristic::crimp_diameter;
    f.flat = 1;
    f.verdict = Verdict::uncertain;
    f.side = Side::below;
    f.lower = Length::from_nm(25'300'000);
    f.upper = Length::from_nm(25'700'000);
    // 0.0497 mm, 0.0019567 in, where 0.0498 mm, 0.0019606 in, are needed: 0.0020 would look enough for 0.00196.
    f.value = Length::from_nm(25'349'700);
    f.margin = Length::from_nm(49'700);
    f.guard = Length::from_nm(49'800);
    const auto inch = words_of(f, 4, ShownUnit::inch);
    CHECK(inch.detail("distance") == "0.00196");
    CHECK(inch.detail("guard") == "0.001961");
    // As it ever was where the figures say it: 0.01 mm inside, 0.0198 mm needed; and on the limit itself.
    f.value = Length::from_nm(25'310'000);
    f.margin = Length::from_nm(10'000);
    f.guard = Length::from_nm(19'800);
    CHECK(words_of(f, 2).detail("distance") == "0.01");
    CHECK(words_of(f, 2).detail("guard") == "0.020");
    f.value = f.lower;
    f.margin = Length{};
    CHECK(words_of(f, 2).detail("value") == "25.30");
    CHECK(words_of(f, 2).detail("distance") == "0.00");
}

TEST_CASE("in a shop that shows inches a proof, an uncertainty and a reference are told in inches too") {
    entries::GaugeProved proved;
    proved.gauge = "G1";
    proved.error = Length::from_nm(30'200);
    proved.limit = Length::from_nm(30'000);
    // 0.001189 in and 0.001181 in: at five places 0.00119 and 0.00118.
    const auto inch = words_of(EntryBody(proved), "OP", ShownUnit::inch);
    CHECK(inch.detail("error") == "0.00119");
    CHECK(inch.detail("limit") == "0.00118");
    CHECK_THAT(say(inch), cqt::contains("0.00119 in off, 0.00118 in allowed"));
    // What fails by two tenths of a micrometre does not read as if it were allowed.
    CHECK(words_of(EntryBody(proved), "OP").detail("error") == "0.0302");
    CHECK(words_of(EntryBody(proved), "OP").detail("limit") == "0.0300");
    entries::GaugeRegistered registered;
    registered.uncertainty = Length::from_nm(12'000);
    CHECK(words_of(EntryBody(registered), "OP", ShownUnit::inch).detail("uncertainty") == "0.000472");
    CHECK(words_of(EntryBody(registered), "OP").detail("uncertainty") == "0.0120");
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
