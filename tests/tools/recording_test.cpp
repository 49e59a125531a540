#include "tools/recorder/recording.h"

#include <fstream>
#include <iterator>

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

Arrival at_ms(std::int64_t ms) {
    return {1'700'000'000'000 + ms, (5'000 + ms) * 1'000'000};
}

// A shipped profile's text without its own recordings, to paste others into.
std::string profile_head(const std::string& id) {
    std::ifstream in(std::string(CRIMPGATE_SOURCE_DIR) + "/drivers/profiles/" + id + ".toml", std::ios::binary);
    REQUIRE(in);
    const std::string text(std::istreambuf_iterator<char>(in), {});
    const auto recordings = text.find("[[recording]]");
    REQUIRE(recordings != std::string::npos);
    return text.substr(0, recordings);
}

Profile with_recordings(const std::string& head, const std::string& block) {
    INFO(block);
    auto profile = parse_profile(head + block);
    if (!profile) FAIL(profile.error().code << " line " << profile.error().detail("line"));
    return *profile;
}

}  // namespace

TEST_CASE("A recording can be pasted into the gauge's profile and lists what its bytes give") {
    RecordedBytes bytes;
    bytes.add("+021.", at_ms(0));  // one press in two pieces
    bytes.add("58mm\r\n", at_ms(4));
    bytes.add("+0.8495in\r\n", at_ms(900));
    bytes.add("BAT\r\n", at_ms(1900));
    bytes.add("+147.30mm\r\n", at_ms(2800));
    bytes.add("+02", at_ms(3700));
    CHECK(bytes.gap_ms() == 900);

    const std::string head = profile_head("signed_decimal_unit");
    const Profile shipped = with_recordings(head,
                                            "[[recording]]\nnote = \"n\"\nsource = \"constructed\"\n"
                                            "bytes = \"+021.58mm\\r\\n\"\nreadings = [\"21.58 mm\"]\n");
    const std::string block =
        recording_block(bytes, {"QC, caliper 4", "2026-11-25 14:52", "4800 7E2, no flow control"}, &shipped);
    const Profile pasted = with_recordings(head, block);
    REQUIRE(pasted.recordings.size() == 1);
    const Recording& recording = pasted.recordings[0];
    CHECK(recording.source == "QC, caliper 4, 2026-11-25 14:52 UTC, 4800 7E2, no flow control");
    CHECK(recording.gap_ms == 900);
    CHECK(recording.chunks ==
          std::vector<std::string>{"+021.58mm\r\n", "+0.8495in\r\n", "BAT\r\n", "+147.30mm\r\n", "+02"});
    CHECK(recording.readings == std::vector<ExpectedReading>{{21580_um, LengthUnit::mm}, {147300_um, LengthUnit::mm}});
    CHECK(recording.refusals ==
          std::vector<std::string>{"driver.unit_unexpected", "driver.low_battery", "driver.half_frame"});
}

TEST_CASE("Bytes that are no text are written in hexadecimal and read back the same") {
    CHECK(toml_bytes("+021.58mm\r\n") == "\"+021.58mm\\r\\n\"");
    CHECK(toml_bytes("a\"b\\") == "\"a\\\"b\\\\\"");
    CHECK(toml_bytes(std::string_view("\x02\xff\x00", 3)) == "\"hex: 02 FF 00\"");
    CHECK(toml_bytes("hex: 02") == "\"hex: 68 65 78 3A 20 30 32\"");  // its own text, not the byte 02

    RecordedBytes bytes;
    std::string all;
    for (int byte = 0; byte < 256; ++byte)
        all.push_back(static_cast<char>(byte));
    bytes.add(all, at_ms(0));
    const std::string head = profile_head("signed_decimal_unit");
    const Profile any = with_recordings(head,
                                        "[[recording]]\nnote = \"n\"\nsource = \"constructed\"\n"
                                        "bytes = \"x\"\nrefusals = [\"driver.noise\"]\n");
    const Profile pasted = with_recordings(head, recording_block(bytes, {}, &any));
    CHECK(pasted.recordings.at(0).chunks == std::vector<std::string>{all});
    CHECK(pasted.recordings.at(0).gap_ms == 1000);
}

TEST_CASE("Without a profile the block says what a person has to fill in") {
    RecordedBytes bytes;
    CHECK(bytes.empty());
    bytes.add("", at_ms(0));
    CHECK(bytes.empty());
    bytes.add("01A+00021.58\r", at_ms(0));
    const std::string block = recording_block(bytes, {"", "2026-11-25 14:52", "9600 8N1"}, nullptr);
    CHECK_THAT(block, cqt::contains("\"01A+00021.58\\r\""));
    CHECK_THAT(block, cqt::contains("say who, from which gauge"));
    CHECK_THAT(block, cqt::contains("# readings ="));
}
