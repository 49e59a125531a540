#include "specs/decimal.h"

#include <rapidcheck.h>

#include <cstdint>
#include <limits>
#include <string>

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

constexpr std::int64_t largest = std::numeric_limits<std::int64_t>::max();
constexpr std::int64_t smallest = std::numeric_limits<std::int64_t>::min();

std::string refusal(std::string_view text, DecimalMark mark = DecimalMark::dot) {
    const auto read = parse_decimal(text, mark);
    return read ? "read as " + std::to_string(read->digits) : read.error().code;
}

std::int64_t power_of_ten(int places) {
    std::int64_t power = 1;
    for (int i = 0; i < places; ++i)
        power *= 10;
    return power;
}

}  // namespace

TEST_CASE("R4: a decimal is kept exactly as written, its places included") {
    CHECK(parse_decimal("12.50") == Decimal{1250, 2});
    CHECK(parse_decimal("+0.0005") == Decimal{5, 4});
    CHECK(parse_decimal("-0.00") == Decimal{0, 2});
    CHECK(parse_decimal("00025.40") == Decimal{2540, 2});
    CHECK(parse_decimal("7") == Decimal{7, 0});
    CHECK(parse_decimal("12,50", DecimalMark::comma) == Decimal{1250, 2});
    CHECK(parse_decimal("9223372036854775807") == Decimal{largest, 0});
    CHECK(parse_decimal("-9223372036854775808") == Decimal{smallest, 0});
    CHECK(parse_decimal("0.000000000000000001") == Decimal{1, 18});
}

TEST_CASE("R8: text that is no plain decimal is refused, each kind by its own name") {
    CHECK(refusal("") == "decimal.empty");
    CHECK(refusal("-") == "decimal.no_digits");
    CHECK(refusal("+") == "decimal.no_digits");
    CHECK(refusal(".") == "decimal.no_digit_before_mark");
    CHECK(refusal(".5") == "decimal.no_digit_before_mark");
    CHECK(refusal("5.") == "decimal.no_digit_after_mark");
    CHECK(refusal("--5") == "decimal.two_signs");
    CHECK(refusal("+-5") == "decimal.two_signs");
    CHECK(refusal("5-") == "decimal.sign_inside");
    CHECK(refusal("1.2.3") == "decimal.two_marks");
    CHECK(refusal("1e3") == "decimal.exponent");
    CHECK(refusal("2.5E-1") == "decimal.exponent");
    CHECK(refusal(" 25.4") == "decimal.strange_character");
    CHECK(refusal("25.4 ") == "decimal.strange_character");
    CHECK(refusal("25 400") == "decimal.strange_character");
    CHECK(refusal("0x19") == "decimal.strange_character");
    CHECK(refusal("inf") == "decimal.strange_character");
    CHECK(refusal("nan") == "decimal.strange_character");
    CHECK(refusal("\xE2\x88\x92"
                  "5") == "decimal.strange_character");         // U+2212, the typographer's minus
    CHECK(refusal("\xD9\xA5") == "decimal.strange_character");  // U+0665, a digit elsewhere, not here
    CHECK(refusal(std::string_view("5\0"
                                   "0",
                                   3)) == "decimal.strange_character");
}

TEST_CASE("R8: the other decimal mark is refused, so 1,234 is never 1.234 and never 1234") {
    CHECK(refusal("1,234") == "decimal.wrong_mark");
    CHECK(refusal("1.234", DecimalMark::comma) == "decimal.wrong_mark");
    CHECK(refusal("1,234.5") == "decimal.wrong_mark");
    CHECK(refusal("1.234,5", DecimalMark::comma) == "decimal.wrong_mark");
    CHECK(parse_decimal("1,234").error().detail("expected") == ".");
}

TEST_CASE("Digits beyond 64 bits are refused at the first one too many") {
    CHECK(refusal("9223372036854775808") == "decimal.too_many_digits");
    CHECK(refusal("-9223372036854775809") == "decimal.too_many_digits");
    CHECK(refusal("99999999999999999999") == "decimal.too_many_digits");
    CHECK(refusal("0.0000000000000000000") == "decimal.too_many_digits");  // 19 places
    CHECK(refusal(std::string(100'000, '7')) == "decimal.too_many_digits");
    CHECK(parse_decimal(std::string(100'000, '0') + "7") == Decimal{7, 0});  // leading zeros carry nothing
}

TEST_CASE("A refusal quotes the text so that it can be shown: short, printable, valid UTF-8") {
    const auto bad = parse_decimal("25\x07\xFF");
    REQUIRE_FALSE(bad);
    CHECK(bad.error().detail("text") == "25\\x07\\xff");
    CHECK(bad.error().detail("character") == "\\x07");
    const auto longer = parse_decimal(std::string(5000, 'x'));
    REQUIRE_FALSE(longer);
    CHECK(longer.error().detail("text").size() == 51);
}

TEST_CASE("R4: scaling is exact or refused") {
    CHECK(scale_exactly({254, 1}, 1'000'000) == 25'400'000);
    CHECK(scale_exactly({5, 4}, 25'400'000) == 12'700);
    CHECK(scale_exactly({-5, 1}, 10) == -5);
    CHECK(scale_exactly({1, 7}, 1'000'000).error().code == "decimal.not_whole");
    CHECK(scale_exactly({largest, 0}, 1) == largest);
    CHECK(scale_exactly({smallest, 0}, 1) == smallest);
    CHECK(scale_exactly({largest, 0}, 2).error().code == "decimal.too_large");
    CHECK(scale_exactly({largest, 0}, largest).error().code == "decimal.too_large");  // the widest product there is
    CHECK(scale_exactly({smallest, 18}, 1'000'000'000'000'000'000) == smallest);
    CHECK_THROWS_AS(scale_exactly({1, 0}, 0), std::logic_error);
    CHECK_THROWS_AS(scale_exactly({1, 19}, 1), std::logic_error);
}

TEST_CASE("Printing rounds half to even, and what rounds to nothing has no sign") {
    CHECK(to_decimal_text(25'400'000, 1'000'000, 2) == "25.40");
    CHECK(to_decimal_text(125, 100, 1) == "1.2");
    CHECK(to_decimal_text(135, 100, 1) == "1.4");
    CHECK(to_decimal_text(-125, 100, 1) == "-1.2");
    CHECK(to_decimal_text(1251, 1000, 1) == "1.3");
    CHECK(to_decimal_text(5, 10, 0) == "0");
    CHECK(to_decimal_text(15, 10, 0) == "2");
    CHECK(to_decimal_text(-4, 10, 0) == "0");
    CHECK(to_decimal_text(-5, 1000, 2) == "0.00");
    CHECK(to_decimal_text(995, 100, 1) == "10.0");  // 9.95 is a tie: the neighbours are 9.9 and 10.0
    CHECK(to_decimal_text(1, 3, 9) == "0.333333333");
    CHECK(to_decimal_text(1250, 100, 2, DecimalMark::comma) == "12,50");
    CHECK(to_decimal_text(largest, 1, 9) == "9223372036854775807.000000000");
    CHECK(to_decimal_text(smallest, 1, 0) == "-9223372036854775808");
    CHECK(to_decimal_text(largest, largest, 9) == "1.000000000");
    CHECK_THROWS_AS(to_decimal_text(1, 0, 2), std::logic_error);
    CHECK_THROWS_AS(to_decimal_text(1, 1, 10), std::logic_error);
}

TEST_CASE("R4: what is printed in full is read back as the same number") {
    CHECK(rc::check([] {
        const int places = *rc::gen::inRange(0, 10);
        const auto value = *rc::gen::arbitrary<std::int64_t>();
        const auto mark = *rc::gen::element(DecimalMark::dot, DecimalMark::comma);
        const auto read = parse_decimal(to_decimal_text(value, power_of_ten(places), places, mark), mark);
        RC_ASSERT(read.has_value());
        RC_ASSERT(*read == (Decimal{value, places}));
        RC_ASSERT(*scale_exactly(*read, power_of_ten(places)) == value);
    }));
}

TEST_CASE("No text whatever makes the parser do anything but read or refuse") {
    CHECK(rc::check([](const std::string& text) {
        const auto read = parse_decimal(text);
        if (!read) RC_ASSERT(read.error().code.rfind("decimal.", 0) == 0);  // || in RC_ASSERT does not cut short
    }));
    CHECK(rc::check([] {  // a plain number with one character put in where it does not belong
        const auto whole = *rc::gen::inRange<std::int64_t>(0, 1'000'000);
        auto text = to_decimal_text(whole, 100, 2);
        const auto at = *rc::gen::inRange<std::size_t>(1, text.size() + 1);
        text.insert(at, 1, *rc::gen::element('.', ',', '+', '-', 'e', ' ', 'm'));
        RC_ASSERT(!parse_decimal(text).has_value());
    }));
}

TEST_CASE("Printing is the nearest decimal: off by at most half of the last place") {
    CHECK(rc::check([] {
        const auto value = *rc::gen::inRange<std::int64_t>(-1'000'000'000'000, 1'000'000'000'000);
        const auto unit = *rc::gen::element<std::int64_t>(1, 3, 7, 1000, 1'000'000, 25'400'000);
        const int places = *rc::gen::inRange(0, 7);
        const auto read = *parse_decimal(to_decimal_text(value, unit, places));
        const auto off =
            static_cast<__int128>(read.digits) * unit - static_cast<__int128>(value) * power_of_ten(places);
        RC_ASSERT((off < 0 ? -off : off) * 2 <= unit);
    }));
}
