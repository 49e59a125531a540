// What is encoded must decode to itself, for every profile there is.
#include "drivers/encoder.h"

#include <rapidcheck.h>

#include "drivers/frame_parser.h"
#include "tests/drivers/profile_files.h"

using namespace crimpgate;

namespace {

int digit_count(const Profile& profile) {
    for (const auto& field : profile.pattern)
        if (const auto* digits = std::get_if<DigitsField>(&field)) return digits->count;
    return 0;
}

// Any value that a frame of this profile can carry.
rc::Gen<Length> values(const Profile& profile, LengthUnit unit) {
    const auto& form = *profile.form(unit);
    std::int64_t step = unit == LengthUnit::mm ? Length::nm_per_mm : Length::nm_per_inch;
    for (int i = 0; i < form.places; ++i)
        step /= 10;
    std::int64_t most = step;
    for (int i = 0; i < digit_count(profile); ++i)
        most *= 10;
    const auto steps = (most - step) / form.resolution.nm();
    return rc::gen::map(rc::gen::inRange<std::int64_t>(profile.negative_possible ? -steps : 0, steps + 1),
                        [form](std::int64_t n) { return form.resolution * n; });
}

std::string refusal(const Profile& profile, const std::string& frame) {
    const auto parsed = parse_frame(frame, profile);
    return parsed ? "value" : parsed.error().code;
}

}  // namespace

TEST_CASE("R4: every value that a gauge can send decodes to itself, in both units") {
    for (auto profile : all_profiles()) {
        for (const auto unit : {LengthUnit::mm, LengthUnit::inch}) {
            if (!profile.form(unit)) continue;
            if (profile.unit_policy == UnitPolicy::as_sent) profile.expected = unit;
            CHECK(rc::check(profile.id, [&] {
                const auto value = *values(profile, unit);
                const auto frame = encode_reading(profile, value, unit);
                RC_ASSERT(frame.has_value());
                const auto parsed = parse_frame(*frame, profile);
                RC_ASSERT(parsed.has_value());
                RC_ASSERT(parsed->value == value);
                RC_ASSERT(parsed->unit == unit);
                if (profile.stillness()) return;
                Decoder decoder(profile);
                const auto events = decoder.feed(*frame, at_ms(0));
                RC_ASSERT(events.size() == 1u);
                RC_ASSERT(std::get<Reading>(events.front()).value == value);
                RC_ASSERT(std::get<Reading>(events.front()).raw == *frame);
            }));
        }
    }
}

TEST_CASE("The simulated gauge sends what the recordings show") {
    const auto p = shipped_profile("signed_decimal_unit");
    CHECK(*encode_reading(p, Length::from_um(21'580), LengthUnit::mm) == "+021.58mm\r\n");
    CHECK(*encode_reading(p, Length::from_um(-10), LengthUnit::mm) == "-000.01mm\r\n");
    CHECK(*encode_reading(p, Length::from_nm(21'577'300), LengthUnit::inch) == "+0.8495in\r\n");
    const auto asked = shipped_profile("request_answer");
    CHECK(*encode_reading(asked, Length::from_um(-5), LengthUnit::mm) == "D: -   0.005 mmN\r");
    const auto nibbles = shipped_profile("bcd13_hex");
    CHECK(*encode_reading(nibbles, Length::from_um(147'300), LengthUnit::mm) == nibbles.recordings[1].chunks[0]);
}

TEST_CASE("R8: a simulated gauge that misbehaves is refused by the name of what it does") {
    const std::pair<GaugeFlag, const char*> flags[] = {{GaugeFlag::low_battery, "driver.low_battery"},
                                                       {GaugeFlag::hold, "driver.hold"},
                                                       {GaugeFlag::over_range, "driver.over_range"}};
    for (const auto& profile : all_profiles()) {
        INFO(profile.id);
        const auto value = Length::from_um(20'000);  // on every profile's step
        int said = 0;
        for (const auto& [flag, code] : flags) {
            EncodeFlags f;
            f.flag = flag;
            const auto frame = encode_reading(profile, value, LengthUnit::mm, f);
            if (!frame) {
                CHECK(frame.error().code == "driver.encode_flag");
                continue;
            }
            ++said;
            CHECK(refusal(profile, *frame) == code);
        }
        if (profile.id != "skeleton") CHECK(said >= 2);

        EncodeFlags blank;
        blank.blank_digits = true;
        CHECK(refusal(profile, *encode_reading(profile, value, LengthUnit::mm, blank)) == "driver.digits_missing");

        EncodeFlags wrong;
        wrong.wrong_checksum = true;
        const auto frame = encode_reading(profile, value, LengthUnit::mm, wrong);
        CHECK(frame.has_value() == profile.checksum.has_value());
        if (frame) CHECK(refusal(profile, *frame) == "driver.checksum");
    }
}

TEST_CASE("What a gauge cannot send is not sent") {
    const auto fixed = shipped_profile("ascii_header_mm");
    CHECK(encode_reading(fixed, Length::from_nm(25'400'000), LengthUnit::inch).error().code == "driver.encode_unit");
    CHECK(encode_reading(fixed, Length::from_um(5), LengthUnit::mm).error().code == "driver.encode_step");
    CHECK(encode_reading(fixed, Length::from_um(99'999'990), LengthUnit::mm));
    CHECK(encode_reading(fixed, Length::from_um(100'000'000), LengthUnit::mm).error().code == "driver.encode_range");
    const auto positive = shipped_profile("start_stop_checksum");
    CHECK(encode_reading(positive, Length::from_um(-1), LengthUnit::mm).error().code == "driver.encode_sign");
}
