#include "specs/length.h"

#include <rapidcheck.h>

#include <string>

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

std::string refusal_mm(std::string_view text) {
    const auto read = Length::parse_mm(text);
    return read ? "read as " + std::to_string(read->nm()) : read.error().code;
}

}  // namespace

// Source of the factor: international yard and pound agreement of 1959, NIST SP 811 appendix B.8 (1 in = 25.4 mm
// exactly).
TEST_CASE("R4: 25.4 mm is 1 in, exactly") {
    CHECK(Length::parse_mm("25.4") == Length::parse_inch("1"));
    CHECK(Length::parse_inch("1")->nm() == 25'400'000);
    CHECK(Length::parse_inch("0.0005")->nm() == 12'700);  // a caliper's finest step in inch
    CHECK(Length::parse_inch("0.00001")->nm() == 254);
    CHECK(Length::parse_inch("0.0000001").error().code == "length.too_fine");  // 2.54 nm
    CHECK(Length::parse_inch("0.0000005").error().code == "length.too_fine");  // 12.7 nm
    CHECK(Length::parse_inch("0.000005")->nm() == 127);
}

TEST_CASE("R4: every inch reading from 0.0001 to 10.0000 is exact and prints as it was sent") {
    for (int step = 1; step <= 100'000; ++step) {
        const std::string fraction = std::to_string(10'000 + step % 10'000).substr(1);
        const std::string text = std::to_string(step / 10'000) + "." + fraction;
        const auto read = Length::parse_inch(text);
        if (!read || read->nm() != step * 2540LL || read->to_inch_text(4) != text) FAIL("inch reading " << text);
    }
    SUCCEED("100 000 readings");
}

// Crimp 25.9 +/-0.2 with a reading of 26.10, on the limit and so inside it. IEEE 754 doubles make the upper limit
// 26.099999999999998 (measured here) and would refuse the part.
TEST_CASE("R4: 25.9 + 0.2 is 26.1, where binary floating point would refuse a part on its limit") {
    CHECK(*Length::parse_mm("25.9") + *Length::parse_mm("0.2") == *Length::parse_mm("26.10"));
    CHECK(*Length::parse_mm("25.5") + *Length::parse_mm("0.2") == *Length::parse_mm("25.7"));
    CHECK(*Length::parse_mm("25.7") - *Length::parse_mm("25.5") == *Length::parse_mm("0.2"));

    volatile double nominal = 25.9, tolerance = 0.2, reading = 26.10;  // volatile: added at run time
    CHECK_FALSE(reading <= nominal + tolerance);
}

TEST_CASE("R8: a length finer than a nanometre, or beyond 9 000 000 km, is refused with the text and its unit") {
    CHECK(Length::parse_mm("0.000001")->nm() == 1);
    CHECK(refusal_mm("0.0000001") == "length.too_fine");
    CHECK(refusal_mm("0.0000010") == "read as 1");
    CHECK(Length::parse_mm("9000000000000")->nm() == 9'000'000'000'000'000'000);
    CHECK(Length::parse_mm("-9000000000000")->nm() == -9'000'000'000'000'000'000);
    CHECK(refusal_mm("9000000000000.000001") == "length.too_large");
    CHECK(refusal_mm("-9000000000001") == "length.too_large");
    CHECK(refusal_mm("9223372036854775807") == "length.too_large");
    CHECK(Length::parse_inch("9223372036854775807").error().code == "length.too_large");
    CHECK(Length::parse_inch("0.0000001").error().detail("unit") == "in");
    CHECK(Length::parse_mm("0.0000001").error().detail("text") == "0.0000001");
}

TEST_CASE("R8: what is no decimal is no length") {
    CHECK(refusal_mm("") == "decimal.empty");
    CHECK(refusal_mm("25,4") == "decimal.wrong_mark");
    CHECK(refusal_mm("2.54e1") == "decimal.exponent");
    CHECK(refusal_mm("25.4mm") == "decimal.strange_character");
    CHECK(Length::parse_mm("25,4", DecimalMark::comma) == 25400_um);
}

TEST_CASE("A length is shown rounded half to even, in either unit") {
    CHECK((25405_um).to_mm_text(2) == "25.40");  // a tie goes to the even neighbour
    CHECK((25415_um).to_mm_text(2) == "25.42");
    CHECK((25405_um + 1_nm).to_mm_text(2) == "25.41");
    CHECK((-(25405_um)).to_mm_text(2) == "-25.40");
    CHECK((25400_um).to_inch_text(4) == "1.0000");
    CHECK((25700_um).to_inch_text(4) == "1.0118");  // 1.01181...
    CHECK((200_um).to_mm_text(2, DecimalMark::comma) == "0,20");
}

TEST_CASE("R4: a length printed to the nanometre is read back as the same length") {
    CHECK(rc::check([] {
        const auto length =
            Length::from_nm(*rc::gen::inRange<std::int64_t>(-9'000'000'000'000'000'000, 9'000'000'000'000'000'000));
        RC_ASSERT(*Length::parse_mm(length.to_mm_text(6)) == length);
        RC_ASSERT(*Length::parse_mm(length.to_mm_text(6, DecimalMark::comma), DecimalMark::comma) == length);
    }));
    CHECK(rc::check([] {  // a multiple of 254 nm is a whole number of hundred-thousandths of an inch
        const auto length = Length::from_nm(*rc::gen::inRange<std::int64_t>(-1'000'000'000, 1'000'000'000) * 254);
        RC_ASSERT(*Length::parse_inch(length.to_inch_text(5)) == length);
    }));
}
