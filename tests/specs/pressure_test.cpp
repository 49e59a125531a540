#include "specs/pressure.h"

#include <rapidcheck.h>

#include <string>

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

std::string refusal(std::string_view text, PressureUnit unit) {
    const auto read = Rating::parse(text, unit);
    return read ? "read as " + std::to_string(read->pressure.kpa()) : read.error().code;
}

std::int64_t kpa(std::string_view text, PressureUnit unit) {
    return Rating::parse(text, unit).value().pressure.kpa();
}

}  // namespace

TEST_CASE("R4: bar, MPa and kPa are exact") {
    CHECK(kpa("275", PressureUnit::bar) == 27'500);
    CHECK(kpa("27.5", PressureUnit::mpa) == 27'500);
    CHECK(kpa("27500", PressureUnit::kpa) == 27'500);
    CHECK(kpa("0.01", PressureUnit::bar) == 1);
    CHECK(refusal("0.001", PressureUnit::bar) == "pressure.too_fine");
    CHECK(refusal("27.5001", PressureUnit::mpa) == "pressure.too_fine");
    CHECK(refusal("0.5", PressureUnit::kpa) == "pressure.too_fine");
}

// 1 psi = 6.894 757 293 168 361 kPa: NIST SP 811 appendix B.8 gives 6.894 757 E+03 Pa; the further digits follow from
// 0.453 592 37 kg, 9.806 65 m/s2 and 25.4 mm. Figures below by hand: 4000 x 6.894757293168361 = 27579.029...
TEST_CASE("A rating in psi is rounded down to a whole kPa, never up, and keeps its text") {
    CHECK(kpa("1", PressureUnit::psi) == 6);
    CHECK(kpa("4000", PressureUnit::psi) == 27'579);
    CHECK(kpa("5000", PressureUnit::psi) == 34'473);                      // 34473.786...
    CHECK(kpa("6000", PressureUnit::psi) == 41'368);                      // 41368.543...
    CHECK(kpa("1000000000000", PressureUnit::psi) == 6'894'757'293'168);  // thirteen digits of the factor at once
    CHECK(kpa("1000000000000000", PressureUnit::psi) == 6'894'757'293'168'361);
    CHECK(kpa("3250.5", PressureUnit::psi) == 22'411);  // 22411.408...
    CHECK(Rating::parse("4000", PressureUnit::psi)->as_given == "4000 psi");
    CHECK(Rating::parse("27.50", PressureUnit::mpa)->as_given == "27.50 MPa");
    CHECK(Rating::parse("275", PressureUnit::bar)->as_given == "275 bar");
    CHECK(Rating::parse("27500", PressureUnit::kpa)->as_given == "27500 kPa");
}

TEST_CASE("A rating of nothing or less is none, and one beyond 64 bits is refused") {
    CHECK(refusal("0", PressureUnit::bar) == "pressure.not_positive");
    CHECK(refusal("-275", PressureUnit::bar) == "pressure.not_positive");
    CHECK(refusal("0.1", PressureUnit::psi) == "pressure.not_positive");  // rounds down to nothing
    CHECK(refusal("9223372036854775807", PressureUnit::psi) == "pressure.too_large");
    CHECK(refusal("9223372036854775807", PressureUnit::mpa) == "pressure.too_large");
    CHECK(refusal("9223372036854775807", PressureUnit::kpa) == "read as 9223372036854775807");
    CHECK(refusal("275,0", PressureUnit::bar) == "decimal.wrong_mark");
    CHECK(refusal("", PressureUnit::bar) == "decimal.empty");
}

// Source: EN 853 type 2SN, size -8, as reprinted on two public pages: 275 bar = 27.5 MPa = 3989 psi (rounded there;
// ours rounds down).
TEST_CASE("A working pressure is shown in bar, MPa and psi, and psi never higher than it is") {
    const auto two_braid = Pressure::from_bar(275);
    CHECK(two_braid.to_bar_text(0) == "275");
    CHECK(two_braid.to_mpa_text(1) == "27.5");
    CHECK(two_braid.to_psi_text() == "3988");  // 3988.54
    CHECK(Pressure::from_kpa(88'00).to_bar_text(1) == "88.0");
    CHECK(Pressure::from_kpa(27'500).to_mpa_text(1, DecimalMark::comma) == "27,5");
    CHECK(Pressure::from_kpa(7).to_psi_text() == "1");
    CHECK(Pressure::from_kpa(6).to_psi_text() == "0");
    CHECK(Pressure::from_kpa(-7).to_psi_text() == "-2");
}

TEST_CASE("Going from psi to kPa and back never gains") {
    CHECK(rc::check([] {
        const auto psi = *rc::gen::inRange<std::int64_t>(1, 1'000'000'000);
        const auto rating = *Rating::parse(std::to_string(psi), PressureUnit::psi);
        const auto back = rating.pressure.to_psi_text();
        RC_ASSERT(back == std::to_string(psi) || back == std::to_string(psi - 1));
        const auto again = *Rating::parse(std::to_string(rating.pressure.kpa()), PressureUnit::kpa);
        RC_ASSERT(again.pressure == rating.pressure);
    }));
}
