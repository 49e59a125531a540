// One frame to a value or a reason. The frames here are constructed, like the profiles' own.
#include "drivers/frame_parser.h"

#include "tests/drivers/profile_files.h"

using namespace crimpgate;

namespace {

std::string code(std::string_view frame, const Profile& profile) {
    const auto value = parse_frame(frame, profile);
    return value ? "value" : value.error().code;
}

}  // namespace

TEST_CASE("R4: a frame's digits become whole nanometres, exactly") {
    const auto mm = parse_frame("+021.58mm\r\n", shipped_profile("signed_decimal_unit"));
    REQUIRE(mm);
    CHECK(*mm == FrameValue{Length::from_nm(21'580'000), LengthUnit::mm, Length::from_nm(10'000)});

    auto in_inches = shipped_profile("signed_decimal_unit");
    in_inches.expected = LengthUnit::inch;
    const auto inch = parse_frame("-0.8495in\r\n", in_inches);
    REQUIRE(inch);
    // 0.8495 in * 25 400 000 nm/in (1 in = 25.4 mm exactly, 1959) = 21 577 300 nm
    CHECK(*inch == FrameValue{Length::from_nm(-21'577'300), LengthUnit::inch, Length::from_nm(12'700)});
    CHECK(code("+021.58mm\r\n", in_inches) == "driver.unit_unexpected");

    auto micro = shipped_profile("start_stop_checksum");
    micro.expected = LengthUnit::inch;
    const auto frame = std::string("\x02N+0.84960in") + checksum_text("\x02N+0.84960in", *micro.checksum) + "\x03";
    const auto fine = parse_frame(frame, micro);
    REQUIRE(fine);
    CHECK(fine->value.nm() == 21'579'840);  // 0.84960 * 25 400 000
}

TEST_CASE("R8: each doubt about a frame has its own name") {
    const auto p = shipped_profile("signed_decimal_unit");
    const std::pair<const char*, const char*> cases[] = {
        {"+021.58mm\r\n", "value"},
        {"-021.58mm\r\n", "value"},
        {"+0.8495in\r\n", "driver.unit_unexpected"},
        {"+021,58mm\r\n", "driver.mark_unexpected"},
        {"+0215.8mm\r\n", "driver.places_unexpected"},
        {"+02158.mm\r\n", "driver.digits_missing"},
        {"+.02158mm\r\n", "driver.digits_missing"},
        {"+---.--mm\r\n", "driver.digits_missing"},
        {"+   .  mm\r\n", "driver.digits_missing"},
        {"+ 21.58mm\r\n", "driver.digits_missing"},  // not padded with blanks, by its profile
        {"+021 58mm\r\n", "driver.digits_missing"},
        {"+021.58\r\n", "driver.malformed"},
        {"+021.58cm\r\n", "driver.malformed"},
        {"+021.58MM\r\n", "driver.malformed"},
        {"021.58mm\r\n", "driver.malformed"},
        {" 021.58mm\r\n", "driver.malformed"},
        {"+-21.58mm\r\n", "driver.malformed"},
        {"++21.58mm\r\n", "driver.malformed"},
        {"+021.58mm \r\n", "driver.malformed"},
        {"+0021.58mm\r\n", "driver.malformed"},
        {"+21.58mm\r\n", "driver.malformed"},
        {"+2158E1mm\r\n", "driver.malformed"},
        {"+2.1.58mm\r\n", "driver.malformed"},
        {"+021.58mm\n", "driver.malformed"},
        {"BAT\r\n", "driver.low_battery"},
        {"HOLD\r\n", "driver.hold"},
        {"+OVER\r\n", "driver.over_range"},
        {"\r\n", "driver.malformed"},
        {"", "driver.malformed"},
    };
    for (const auto& [frame, expected] : cases) {
        INFO(readable_bytes(frame));
        CHECK(code(frame, p) == expected);
    }
}

TEST_CASE("R8: the decimal comma is read where the profile says comma and nowhere else") {
    const auto comma = shipped_profile("signed_comma_unit");
    const auto value = parse_frame("+021,58mm\r\n", comma);
    REQUIRE(value);
    CHECK(value->value == Length::from_um(21'580));
    CHECK(code("+021.58mm\r\n", comma) == "driver.mark_unexpected");
}

TEST_CASE("R8: a minus where none can be is refused, zero included") {
    auto p = shipped_profile("ascii_header_mm");
    CHECK(code("01A-00000.00\r", p) == "value");
    p.negative_possible = false;
    CHECK(code("01A-00000.00\r", p) == "driver.sign_impossible");
    CHECK(code("01A-00021.58\r", p) == "driver.sign_impossible");
    CHECK(code("01A+00021.58\r", p) == "value");

    // Without a sign field, a minus among the digits is a sign all the same.
    p.pattern.erase(p.pattern.begin() + 1);
    CHECK(code("01A00021.58\r", p) == "value");
    CHECK(code("01A-0021.58\r", p) == "driver.sign_impossible");
    CHECK(code("01A------.-\r", p) == "driver.digits_missing");
}

TEST_CASE("R8: a low battery outweighs a good value, and dashes") {
    const auto p = shipped_profile("request_answer");
    CHECK(code("D: +  21.580 mmB\r", p) == "driver.low_battery");
    CHECK(code("D: +----.--- mmB\r", p) == "driver.low_battery");
    CHECK(code("D: +  21.580 mmN\r", p) == "value");
    CHECK(code("D: +0021.580 mmN\r", p) == "value");
    CHECK(code("D: +    .580 mmN\r", p) == "driver.digits_missing");
    CHECK(code("D: +  2 .580 mmN\r", p) == "driver.digits_missing");
}

TEST_CASE("R8: a sign that floats stands right before its number or nowhere") {
    const auto p = shipped_profile("padded_sign_line");
    const std::pair<const char*, const char*> cases[] = {
        {"   21.58 mm\r", "value"},
        {"  -21.58 mm\r", "value"},
        {"  +21.58 mm\r", "value"},
        {"-0021.58 mm\r", "value"},
        {" 0021.58 mm\r", "value"},
        {"00021.58 mm\r", "driver.malformed"},  // no room was left for the sign
        {" --21.58 mm\r", "driver.digits_missing"},
        {" +-21.58 mm\r", "driver.digits_missing"},
        {" -+21.58 mm\r", "driver.malformed"},
        {"  2+1.58 mm\r", "driver.malformed"},
        {"  2-1.58 mm\r", "driver.digits_missing"},
        {"- 021.58 mm\r", "driver.digits_missing"},
        {"     -.58 mm\r", "driver.malformed"},
        {"    -.58 mm\r", "driver.digits_missing"},
        {"         mm\r", "driver.digits_missing"},
        {"       -  mm\r", "driver.malformed"},
        {"       - mm\r", "driver.digits_missing"},
        {"  -21,58 mm\r", "driver.mark_unexpected"},
        {" -21.58 mm\r", "driver.malformed"},
    };
    for (const auto& [frame, expected] : cases) {
        INFO(readable_bytes(frame));
        CHECK(code(frame, p) == expected);
    }
    CHECK(parse_frame("  -21.58 mm\r", p)->value == Length::from_um(-21'580));
    auto positive = p;
    positive.negative_possible = false;
    CHECK(code("  -21.58 mm\r", positive) == "driver.sign_impossible");
}

TEST_CASE("R8: a value off the gauge's step is not its own") {
    const auto p = shipped_profile("request_answer");
    CHECK(code("D: +  21.585 mmN\r", p) == "value");
    CHECK(code("D: +  21.584 mmN\r", p) == "driver.off_resolution");
}

TEST_CASE("Checksums are computed as the profile says") {
    // By hand: 'A' + 'B' = 0x41 + 0x42 = 0x83; 0x100 - 0x83 = 0x7D; 0x41 ^ 0x42 = 0x03.
    CHECK(checksum_text("AB", {ChecksumRule::sum8, true, 0}) == "83");
    CHECK(checksum_text("AB", {ChecksumRule::sum8_negated, true, 0}) == "7D");
    CHECK(checksum_text("AB", {ChecksumRule::xor8, true, 0}) == "03");
    CHECK(checksum_text("xAB", {ChecksumRule::sum8, false, 1}) == "\x83");
    CHECK(checksum_text("", {ChecksumRule::sum8_negated, true, 0}) == "00");
}

TEST_CASE("R8: one changed byte in a frame with a checksum is never a reading") {
    for (const auto* id : {"fixed_checksum", "bcd13_hex", "start_stop_checksum"}) {
        const auto profile = shipped_profile(id);
        const auto good = profile.recordings[1].chunks[0];
        const auto value = parse_frame(good, profile);
        REQUIRE(value);
        for (std::size_t at = 0; at < good.size(); ++at) {
            for (int byte = 0; byte < 256; ++byte) {
                auto changed = good;
                changed[at] = static_cast<char>(byte);
                const auto parsed = parse_frame(changed, profile);
                // A checksum's hexadecimal digit in the other case is the same digit.
                if (parsed && (changed == good || *parsed == *value)) continue;
                if (parsed) FAIL(id << ": " << readable_bytes(changed));
            }
        }
        CHECK(is_well_formed(good, profile));
    }
}

TEST_CASE("Bytes are shown so that a person can tell them apart") {
    CHECK(readable_bytes(std::string("a\r\n\x00\xFF<", 6)) == "a<CR><LF><0x00><0xFF><");
}
