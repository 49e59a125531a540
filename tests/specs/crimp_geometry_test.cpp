#include "specs/crimp_geometry.h"

#include <rapidcheck.h>

#include "tests/specs/sample_row.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using cqt::Approx;

namespace {

// Worked example A: a constructed 1/2 in two-braid no-skive end (not a maker's figures), digits computed by hand from
// the metal-area relations.
CrimpSizes example_a() {
    return {29.0, 23.5, 12.5, 9.5, 9.3, 12.9, 22.4, 1.0};
}

}  // namespace

TEST_CASE("Worked example A of the crimp relations comes out to all its printed digits") {
    struct Line {
        double crimp, shell_id_after, wall, by_wall, by_area;
    };
    for (const auto& line : {Line{26.0, 19.6787, 3.6650, 22.84, 30.00}, Line{25.7, 19.2806, 3.4659, 27.03, 34.62},
                             Line{25.5, 19.0132, 3.3322, 29.85, 37.67}, Line{25.3, 18.7441, 3.1977, 32.68, 40.70},
                             Line{25.0, 18.3371, 2.9942, 36.96, 45.20}}) {
        const auto w = pressed_wall(example_a(), line.crimp);
        REQUIRE(w.has_value());
        CHECK(w->shell_id_after == Approx(line.shell_id_after).margin(0.00005));
        CHECK(w->pressed_wall == Approx(line.wall).margin(0.00005));
        CHECK(w->compression_by_wall == Approx(line.by_wall).margin(0.005));
        CHECK(w->compression_by_area == Approx(line.by_area).margin(0.005));
        CHECK(w->free_wall == Approx(4.75).margin(1e-12));
        CHECK(w->stem_od_after == Approx(12.3487).margin(0.00005));
    }
    CHECK(pressed_wall(example_a(), 25.5)->percent_per_mm == Approx(-14.12).margin(0.005));
}

TEST_CASE("A shell that stretches and a stem that keeps its bore change example A as printed") {
    auto stretched = example_a();
    stretched.stretch = 1.03;
    CHECK(pressed_wall(stretched, 25.5)->shell_id_after == Approx(19.2330).margin(0.00005));
    CHECK(pressed_wall(stretched, 25.5)->compression_by_wall == Approx(27.53).margin(0.005));
    auto stiff = example_a();
    stiff.stem_bore_after = 9.5;
    CHECK(pressed_wall(stiff, 25.5)->stem_od_after == Approx(12.5).margin(1e-9));
    CHECK(pressed_wall(stiff, 25.5)->compression_by_wall == Approx(31.44).margin(0.005));
}

TEST_CASE("The inverse gives example A's diameters and undoes the relation") {
    for (const auto& [percent, crimp] :
         {std::pair{25.0, 25.8452}, std::pair{30.0, 25.4892}, std::pair{35.0, 25.1372}, std::pair{40.0, 24.7892}})
        CHECK(*crimp_at_compression(example_a(), percent) == Approx(crimp).margin(0.00005));
    CHECK(rc::check("there and back, and the slope is that of the curve", [] {
        auto sizes = example_a();
        sizes.stretch = 1.0 + *rc::gen::inRange(0, 60) / 1000.0;
        const double percent = *rc::gen::inRange(150, 700) / 10.0;
        const auto crimp = crimp_at_compression(sizes, percent);
        RC_ASSERT(crimp.has_value());
        const auto w = pressed_wall(sizes, *crimp);
        RC_ASSERT(std::abs(w->compression_by_wall - percent) < 1e-9);
        const double step = 1e-6;
        const double rise = pressed_wall(sizes, *crimp + step)->compression_by_wall -
                            pressed_wall(sizes, *crimp - step)->compression_by_wall;
        RC_ASSERT(std::abs(rise / (2 * step) - w->percent_per_mm) < 1e-4);
    }));
}

TEST_CASE("Sizes that contradict each other are refused, each by its own reason") {
    const auto why = [](auto change, double crimp = 25.5) {
        auto sizes = example_a();
        change(sizes);
        const auto w = pressed_wall(sizes, crimp);
        if (w) return std::string("accepted");
        CHECK(w.error().code == "geometry.impossible");
        return std::string(w.error().detail("why"));
    };
    const auto nothing = [](CrimpSizes&) {};
    CHECK(why(nothing, 29.0) == "0 < crimp < shell_od");
    CHECK(why(nothing, 16.0) == "crimp^2 > shell_od^2 - shell_id^2");
    CHECK(why(nothing, 20.5) == "shell_id after > stem_od after");
    CHECK(why([](CrimpSizes& s) { s.stem_bore_after = 9.6; }) == "stem_bore_after <= stem_bore");
    CHECK(why([](CrimpSizes& s) { s.stem_bore_after = 0; }) == "stem_bore_after > 0, stretch > 0");
    CHECK(why([](CrimpSizes& s) { s.stem_od = 9.5; }) == "stem_bore < stem_od");
    CHECK(why([](CrimpSizes& s) { s.shell_id = 29.0; }) == "shell_id < shell_od");
    CHECK(why([](CrimpSizes& s) { s.stem_od = 24.0; }) == "stem_od < shell_id");
    CHECK(why([](CrimpSizes& s) { s.hose_od = 12.9; }) == "0 < hose_id < hose_od");
    CHECK_FALSE(crimp_at_compression(example_a(), 100).has_value());
    CHECK_FALSE(crimp_at_compression(example_a(), -50).has_value());
}

TEST_CASE("A spec row is warned of when its crimp presses the wall by an unusual amount, and only then") {
    auto row = test::sample_row();
    CHECK_FALSE(implausible(row).has_value());  // no sizes given, nothing to say
    row.geometry = ShellAndStem{29'000_um, 23'500_um, 12'500_um, 9'500_um, 9'300_um, 12'900_um, 22'400_um};
    CHECK_FALSE(implausible(row).has_value());  // 29.85 %
    row.crimp.nominal = 27'000_um;
    const auto slack = implausible(row);
    REQUIRE(slack.has_value());
    CHECK(slack->code == "geometry.unusual_compression");
    CHECK(slack->detail("percent") == "9.1");
    row.crimp.nominal = 23'500_um;
    REQUIRE(implausible(row).has_value());
    CHECK(implausible(row)->code == "geometry.unusual_compression");
    row.crimp.nominal = 30'000_um;
    REQUIRE(implausible(row).has_value());
    CHECK(implausible(row)->code == "geometry.impossible");
}

TEST_CASE("275 bar over a bore of 12.7 mm pulls with 3484 N, four times that with 13 934 N") {
    CHECK(separating_force_n(Pressure::from_bar(275), 12.7) == Approx(3484).margin(0.5));
    CHECK(separating_force_n(Pressure::from_bar(1100), 12.7) == Approx(13934).margin(0.5));
}
