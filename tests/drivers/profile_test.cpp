// A profile's text: what is read, and how each fault is told.
#include "drivers/profile.h"

#include "tests/drivers/profile_files.h"

using namespace crimpgate;

namespace {

std::string skeleton() {
    return file_text(profile_folder() / "skeleton.toml");
}

// The skeleton with one piece of text changed; the piece must be there.
std::string with(const std::string& from, const std::string& to) {
    auto text = skeleton();
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

Message fault(const std::string& text) {
    const auto profile = parse_profile(text);
    REQUIRE(!profile);
    return profile.error();
}

std::string line_of(const std::string& text, const std::string& piece) {
    const auto at = text.find(piece);
    REQUIRE(at != std::string::npos);
    return std::to_string(1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n'));
}

}  // namespace

TEST_CASE("A profile's settings are read as they are written") {
    const auto profile = shipped_profile("signed_decimal_unit");
    LineSettings line;
    line.baud = 4800;
    line.data_bits = 7;
    line.parity = Parity::even;
    line.stop_bits = 2;
    CHECK(profile.line == line);
    CHECK(std::get<LineFraming>(profile.framing) == LineFraming{"\r\n", 24});
    CHECK(profile.frame_silence_ms == 200);
    CHECK(profile.unit_policy == UnitPolicy::as_sent);
    CHECK(profile.expected == LengthUnit::mm);
    CHECK(profile.mm->resolution == Length::from_um(10));
    CHECK(profile.inch->places == 4);
    CHECK(profile.inch->resolution == Length::from_nm(12'700));  // 0.0005 in of 25.4 mm (exact since 1959)
    CHECK(profile.min_gap_ms() == 400);
    CHECK(profile.request().empty());
    CHECK(profile.stillness() == nullptr);
    CHECK(profile.negative_possible);
}

TEST_CASE("DTR and RTS are what the profile says, since some cables live on them") {
    const auto profile = shipped_profile("request_answer");
    CHECK(profile.line.dtr);
    CHECK_FALSE(profile.line.rts);
    CHECK(profile.request() == "R\r");
}

TEST_CASE("A continuous gauge's stillness is whole nanometres") {
    const auto profile = shipped_profile("continuous_still");
    REQUIRE(profile.stillness());
    CHECK(*profile.stillness() == Stillness{300, Length::from_um(10), Length::from_um(500), Length::from_um(200)});
    CHECK(profile.min_gap_ms() == 0);
}

TEST_CASE("Bytes above 0x7F are written in hexadecimal") {
    const auto profile = shipped_profile("fixed_checksum");
    CHECK(std::get<FixedFraming>(profile.framing) == FixedFraming{"\x02", 16});
    const auto profile2 = parse_profile(with("bytes = \"+0.4860in\\r\\n\"", "bytes = \"hex: FF 80 0d0A\""));
    REQUIRE(profile2);
    CHECK(profile2->recordings[1].chunks == std::vector<std::string>{"\xFF\x80\r\n"});
}

TEST_CASE("A misspelt key is told with its line, before the key that it leaves missing") {
    const auto text = with("baud = 9600", "bauds = 9600");
    const auto why = fault(text);
    CHECK(why.code == "profile.unknown_key");
    CHECK(why.detail("key") == "line.bauds");
    CHECK(why.detail("line") == line_of(text, "bauds"));
}

TEST_CASE("A key that another kind of field would have is unknown to this one") {
    const auto text = with("count = 5\n", "count = 5\ntext = \"x\"\n");
    const auto why = fault(text);
    CHECK(why.code == "profile.unknown_key");
    CHECK(why.detail("key") == "pattern[2].text");
    CHECK(why.detail("line") == line_of(text, "text = \"x\""));
}

TEST_CASE("Every missing or wrong value is told by key") {
    struct Case {
        const char* from;
        const char* to;
        const char* code;
        const char* key;
    };
    const Case cases[] = {
        {"stop_bits = 1\n", "", "profile.missing_key", "line.stop_bits"},
        {"dtr = true\n", "", "profile.missing_key", "line.dtr"},
        {"negative_possible = true\n", "", "profile.missing_key", "negative_possible"},
        {"silence_ms = 200\n", "", "profile.missing_key", "framing.silence_ms"},
        {"baud = 9600", "baud = 9600.0", "profile.bad_value", "line.baud"},
        {"baud = 9600", "baud = 10", "profile.bad_value", "line.baud"},
        {"data_bits = 8", "data_bits = 9", "profile.bad_value", "line.data_bits"},
        {"parity = \"none\"", "parity = \"odd or even\"", "profile.bad_value", "line.parity"},
        {"rts = true", "rts = \"on\"", "profile.bad_value", "line.rts"},
        {"kind = \"line\"", "kind = \"lines\"", "profile.bad_value", "framing.kind"},
        {"terminator = \"\\r\\n\"", "terminator = \"\"", "profile.bad_value", "framing.terminator"},
        {"terminator = \"\\r\\n\"", "terminator = \"\\u00E4\"", "profile.bad_value", "framing.terminator"},
        {"terminator = \"\\r\\n\"", "terminator = \"hex: 0\"", "profile.bad_value", "framing.terminator"},
        {"terminator = \"\\r\\n\"", "terminator = \"hex: 0G\"", "profile.bad_value", "framing.terminator"},
        {"id = \"skeleton\"", "id = \"Skeleton!\"", "profile.bad_value", "id"},
        {"resolution = \"0.01\"", "resolution = 0.01", "profile.bad_value", "unit.mm.resolution"},
        {"resolution = \"0.01\"", "resolution = \"0,01\"", "profile.bad_value", "unit.mm.resolution"},
        {"places = 4", "places = 6", "profile.bad_value", "unit.inch.places"},
        {"mark = \"point\"", "mark = \".\"", "profile.bad_value", "pattern[2].mark"},
        {"\"12.34 mm\"", "\"12.34\"", "profile.bad_value", "recording[1].readings"},
        {"\"12.34 mm\"", "\"12.34 cm\"", "profile.bad_value", "recording[1].readings"},
        {"\"driver.unit_unexpected\"", "\"wrong unit\"", "profile.bad_value", "recording[2].refusals"},
        {"refusals = [\"driver.unit_unexpected\"]", "", "profile.bad_value", "recording[2].readings"},
    };
    for (const auto& c : cases) {
        INFO(c.from << " -> " << c.to);
        const auto why = fault(with(c.from, c.to));
        CHECK(why.code == c.code);
        CHECK(why.detail("key") == c.key);
        CHECK(!why.detail("line").empty());
        CHECK(!why.detail("expected").empty());
    }
}

TEST_CASE("R8: a profile that would have to guess is refused") {
    const std::pair<const char*, const char*> cases[] = {
        {"mm = \"mm\"", "mm = \"i\""},                        // part of "in": a lost byte would change the unit
        {"mm = \"mm\"", "mm = \"in\""},                       // both units
        {"inch = \"in\"", "inch = []"},                       // one unit only, yet as sent
        {"minus = \"-\"", "minus = \"+\""},                   // a sign that is both
        {"resolution = \"0.01\"", "resolution = \"0.001\""},  // finer than the last place
        {"resolution = \"0.01\"", "resolution = \"0.00\""},   // no step
        {"places = 2", "places = 5"},                         // no digit before the point
        {"places = 2", "places = 0"},                         // a point with nothing behind it
        {"policy = \"as_sent\"\nexpected = \"mm\"\n", "policy = \"fixed\"\nunit = \"mm\"\n"},
    };
    for (const auto& [from, to] : cases) {
        INFO(from << " -> " << to);
        auto text = with(from, to);
        if (std::string(to).find("fixed") != std::string::npos) {
            // With a fixed unit the other one has no table; the unit field is what must be told.
            const auto inch = text.find("[unit.inch]");
            text.erase(inch, text.find("[trigger]") - inch);
        }
        const auto why = fault(text);
        CHECK(why.code == "profile.pattern");
        CHECK(!why.detail("what").empty());
    }
}

TEST_CASE("A stream's rules must make sense together") {
    const auto stream = [](const std::string& keys) { return with("kind = \"on_press\"\nmin_gap_ms = 300\n", keys); };
    const std::string still = "still_ms = 300\nstill_within_mm = \"0.01\"\nrearm_mm = \"0.50\"\n";
    CHECK(parse_profile(stream("kind = \"continuous\"\n" + still)));
    CHECK(parse_profile(stream("kind = \"polled\"\nrequest = \"?\"\ninterval_ms = 100\n" + still)));
    CHECK(fault(stream("kind = \"polled\"\nrequest = \"?\"\ninterval_ms = 400\n" + still)).code == "profile.pattern");
    CHECK(fault(stream("kind = \"continuous\"\nstill_ms = 300\nstill_within_mm = \"0.01\"\nrearm_mm = \"0.01\"\n"))
              .code == "profile.pattern");
    CHECK(fault(stream("kind = \"continuous\"\nstill_ms = 300\nstill_within_mm = \"-0.01\"\nrearm_mm = \"0.50\"\n"))
              .code == "profile.bad_value");
}

TEST_CASE("A frame of fixed length must be filled by its fields to the byte") {
    auto text = file_text(profile_folder() / "fixed_checksum.toml");
    const auto at = text.find("length = 16");
    REQUIRE(at != std::string::npos);
    text.replace(at, 11, "length = 17");
    const auto why = fault(text);
    CHECK(why.code == "profile.pattern");
    CHECK_THAT(std::string(why.detail("what")), cqt::contains("16 bytes"));
}

TEST_CASE("A checksum byte that may look like the end of a frame is refused") {
    auto text = file_text(profile_folder() / "start_stop_checksum.toml");
    const auto at = text.find("written = \"hex\"");
    REQUIRE(at != std::string::npos);
    CHECK(fault(text.replace(at, 15, "written = \"byte\"")).code == "profile.pattern");
}

TEST_CASE("Text that is no TOML is told with its line") {
    const auto why = fault("id = \"a\"\ntitle = \n");
    CHECK(why.code == "profile.syntax");
    CHECK(why.detail("line") == "2");
    CHECK(fault("").code == "profile.missing_key");
}

TEST_CASE("A profile without a recording is refused: nothing would test it") {
    auto text = skeleton();
    CHECK(fault(text.substr(0, text.find("[[recording]]"))).code == "profile.pattern");
}
