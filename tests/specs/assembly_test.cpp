#include "specs/assembly.h"

#include "tests/specs/sample_row.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

SpecRow rated(std::int64_t hose_bar, std::int64_t fitting_bar) {
    auto row = test::sample_row();
    row.hose.working_pressure = {Pressure::from_bar(hose_bar), std::to_string(hose_bar) + " bar"};
    row.fitting.working_pressure = {Pressure::from_bar(fitting_bar), std::to_string(fitting_bar) + " bar"};
    return row;
}

}  // namespace

TEST_CASE("R13: an assembly is rated for no more than the weakest of hose and fittings") {
    // 2SN -12 (215) with a 25S cone (400) and a Code 61 flange of 1 in (345): the hose governs.
    const auto hose = working_pressure(rated(215, 400), rated(215, 345));
    CHECK(hose.rating.pressure == Pressure::from_bar(215));
    CHECK(hose.rating.as_given == "215 bar");
    CHECK(hose.governs == Component::hose);
    // 4SH -16 (380) with a 28L cone (100) at one end: that fitting governs, whichever end it is on.
    CHECK(working_pressure(rated(380, 100), rated(380, 400)) ==
          AssemblyRating{{Pressure::from_bar(100), "100 bar"}, Component::fitting_a});
    CHECK(working_pressure(rated(380, 400), rated(380, 100)) ==
          AssemblyRating{{Pressure::from_bar(100), "100 bar"}, Component::fitting_b});
    CHECK(working_pressure(rated(215, 215), rated(215, 215)).governs == Component::hose);
    // Rows that disagree about the hose: the lower rating holds.
    CHECK(working_pressure(rated(275, 400), rated(215, 400)).rating.pressure == Pressure::from_bar(215));
}

TEST_CASE("The hose is cut to the overall length less both cut-offs") {
    CHECK(cut_length(750'000_um, 31'000_um, 42'500_um) == 676'500_um);
    CHECK(cut_length(73'500'001_nm, 31'000_um, 42'500_um) == 1_nm);
    for (const auto overall : {73'500_um, 60'000_um}) {
        const auto cut = cut_length(overall, 31'000_um, 42'500_um);
        REQUIRE_FALSE(cut.has_value());
        CHECK(cut.error().code == "assembly.too_short");
        CHECK(cut.error().detail("cut_off_b") == "42.500");
    }
}

TEST_CASE("An orientation keeps its rule and its near end, and 360 degrees is 0") {
    const auto full = Orientation::make(360, OrientationRule::near_down_counter_clockwise, NearEnd::a);
    REQUIRE(full.has_value());
    CHECK(full->degrees() == 0);
    CHECK(*full == *Orientation::make(0, OrientationRule::near_down_counter_clockwise, NearEnd::a));
    const auto ninety = Orientation::make(90, OrientationRule::near_down_counter_clockwise, NearEnd::a);
    CHECK(ninety->degrees() == 90);
    CHECK_FALSE(*ninety == *Orientation::make(90, OrientationRule::far_up, NearEnd::a));
    CHECK_FALSE(*ninety == *Orientation::make(90, OrientationRule::near_down_counter_clockwise, NearEnd::b));
    CHECK(Orientation::make(359, OrientationRule::far_to_near_clockwise, NearEnd::b)->degrees() == 359);
    CHECK_FALSE(Orientation::make(-1, OrientationRule::far_up, NearEnd::a).has_value());
    CHECK(Orientation::make(361, OrientationRule::far_up, NearEnd::a).error().code == "assembly.orientation");
}

TEST_CASE("Elbows may be off by 3 degrees up to 24 inches and by 5 above") {
    CHECK(orientation_tolerance_degrees(609'600_um) == 3);
    CHECK(orientation_tolerance_degrees(609'600'001_nm) == 5);
}
