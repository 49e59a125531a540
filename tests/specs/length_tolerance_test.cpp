#include "specs/length_tolerance.h"

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

Length mm(std::int64_t value) {
    return Length::from_um(value * 1000);
}
Length sixteenths(std::int64_t n) {
    return Length::from_nm(n * Length::nm_per_inch / 16);
}

Band din(Length overall, std::int64_t dash) {
    return toleranced_length(overall, LengthRule::din20066, dash)->band();
}

}  // namespace

TEST_CASE("SAE J517: the tolerance steps at 12, 18 and 36 inches, each limit still in the lower step") {
    struct Line {
        std::int64_t length, tolerance;  // in sixteenths of an inch
    };
    for (const auto& [length, tolerance] :
         {Line{12 * 16, 2}, Line{12 * 16 + 2, 3}, Line{18 * 16, 3}, Line{18 * 16 + 2, 4}, Line{36 * 16, 4},
          // 36.125 in: 1 % is 0.36125 in, nearest eighth 3/8 in = 9.525 mm.
          Line{36 * 16 + 2, 6}, Line{50 * 16, 8}, Line{100 * 16, 16}}) {
        const auto t = toleranced_length(sixteenths(length), LengthRule::sae_j517, 8);
        REQUIRE(t.has_value());
        CHECK(t->plus == sixteenths(tolerance));
        CHECK(t->minus == sixteenths(tolerance));
    }
    CHECK(toleranced_length(sixteenths(12 * 16) + 1_nm, LengthRule::sae_j517, 8)->plus == 4'762'500_nm);
    CHECK(toleranced_length(sixteenths(36 * 16 + 2), LengthRule::sae_j517, 8)->plus == 9'525_um);
}

TEST_CASE("SAE J517: one per cent exactly between two eighths takes the smaller, anything more the larger") {
    // 43.75 in: 0.4375 in lies between 3/8 and 4/8.
    const auto between = sixteenths(43 * 16 + 12);
    CHECK(toleranced_length(between, LengthRule::sae_j517, 8)->plus == sixteenths(6));
    CHECK(toleranced_length(between + 1_nm, LengthRule::sae_j517, 8)->plus == sixteenths(8));
    CHECK(toleranced_length(between - 1_nm, LengthRule::sae_j517, 8)->plus == sixteenths(6));
}

TEST_CASE("DIN 20066: asymmetric, by length and by size") {
    // Vectors: DN 12 600 mm 597..607; DN 32 600 mm 596..612; DN 12 at 630 and 631 mm; DN 12 4000 mm 3980..4060.
    CHECK(din(mm(600), 8) == Band{mm(597), mm(607)});
    CHECK(din(mm(600), 20) == Band{mm(596), mm(612)});
    CHECK(din(mm(630), 8) == Band{mm(627), mm(637)});
    CHECK(din(mm(631), 8) == Band{mm(627), mm(643)});
    CHECK(din(mm(4000), 8) == Band{mm(3980), mm(4060)});
    // Boundaries of the table (the quality sheet's own rows).
    CHECK(din(mm(630) + 1_nm, 8).upper == mm(642) + 1_nm);
    CHECK(din(mm(1250), 8) == Band{mm(1246), mm(1262)});
    CHECK(din(mm(1251), 8) == Band{mm(1245), mm(1271)});
    CHECK(din(mm(2500), 8) == Band{mm(2494), mm(2520)});
    CHECK(din(mm(1250), 32) == Band{mm(1244), mm(1270)});
    CHECK(din(mm(2500), 32) == Band{mm(2494), mm(2525)});
    CHECK(din(mm(2600), 32) == Band{mm(2587), mm(2639)});
    CHECK(din(mm(8000), 8) == Band{mm(7960), mm(8120)});
    CHECK(din(mm(9000), 8) == Band{mm(8910), mm(9270)});
    // -16 is DN 25, the last of the first column; -40 is DN 63.
    CHECK(din(mm(600), 16) == Band{mm(597), mm(607)});
    CHECK(din(mm(600), 40) == Band{mm(594), mm(625)});
    // A share of the length that is no whole nanometre is rounded towards the tighter band.
    const auto odd = toleranced_length(mm(2600) + 1_nm, LengthRule::din20066, 8);
    CHECK(odd->plus == mm(39));
    CHECK(odd->minus == mm(13));
}

TEST_CASE("A length without a tolerance is refused instead of guessed") {
    CHECK(toleranced_length(mm(0), LengthRule::sae_j517, 8).error().code == "length_tolerance.length");
    CHECK(toleranced_length(mm(-5), LengthRule::din20066, 8).error().code == "length_tolerance.length");
    CHECK(toleranced_length(mm(1000), LengthRule::din20066, 40).error().code == "length_tolerance.not_known");
    CHECK(toleranced_length(mm(600), LengthRule::din20066, 36).error().code == "length_tolerance.not_known");
    CHECK(toleranced_length(mm(600), LengthRule::din20066, 2).error().code == "length_tolerance.not_known");
    CHECK(toleranced_length(mm(4000), LengthRule::din20066, 40).has_value());
}
