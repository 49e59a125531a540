#include "reports/fonts.h"

#include "tests/reports/tag_sample.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using samples::fonts;

TEST_CASE("a name in any of Europe's alphabets or in Japanese can be printed") {
    for (const char* name :
         {"Kestrel Yard", "Ø 21,3 ± 0,15 mm · Müller · Łódź · Ω", "Ελληνικά", "Щёлково №5", "Đặng Thị Hương", "ქართული",
          "Հայաստան", "試験工業株式会社", "カタカナ ひらがな", "naïve café", "e\u0301", "≤ ≥ × ° –"}) {
        INFO(name);
        CHECK(printable(name, fonts()).has_value());
    }
}

TEST_CASE("a character that no font has is refused by name and place, never printed as a blank") {
    const auto emoji = printable("Otto \U0001F600 Son", fonts());
    REQUIRE_FALSE(emoji.has_value());
    CHECK(emoji.error().code == "print.no_glyph");
    CHECK(emoji.error().detail("character") == "\U0001F600");
    CHECK(emoji.error().detail("code") == "U+1F600");
    CHECK(emoji.error().detail("position") == "6");

    CHECK(printable("\U00013000", fonts()).error().detail("code") == "U+13000");  // a hieroglyph
    CHECK(printable("ሀ", fonts()).error().detail("code") == "U+1200");            // Ethiopic
    CHECK(printable("שלום", fonts()).error().detail("code") == "U+05E9");         // right to left is not set by us
    // IPA Gothic has this one (JIS X 0213), but it lies outside the plane that the PDF library can print.
    CHECK(printable("\U00020B9F", fonts()).error().detail("code") == "U+20B9F");
}

TEST_CASE("every unprintable character of a name is told, in order") {
    const auto text = decode_utf8("a\U0001F600b\u202Ec").value();
    const auto wrong = unprintable_characters(text, fonts());
    REQUIRE(wrong.size() == 2);
    CHECK(wrong[0] == UnprintableChar{0x1F600, 2, false});
    CHECK(wrong[1] == UnprintableChar{0x202E, 4, true});
}

TEST_CASE("controls, direction overrides and characters without a look are refused") {
    for (const char* name : {"a\nb", "a\tb", "a\x7F", "\u0085", "a\u202Eb", "a\u2066b", "a\u200Fb", "a\u200Bb",
                             "a\uFEFFb", "a\u00ADb", "a\u2028b", "\uE000", "a\uFE0F", "\U000E0041"}) {
        const auto checked = printable(name, fonts());
        REQUIRE_FALSE(checked.has_value());
        CHECK(checked.error().code == "print.control_character");
    }
    CHECK(printable("a\u202Eb", fonts()).error().detail("code") == "U+202E");
    CHECK(printable(std::string_view("a\0b", 3), fonts()).error().detail("code") == "U+0000");
}

TEST_CASE("damaged UTF-8 is refused with the byte at which it goes wrong") {
    // RFC 3629 sections 3 and 10: overlong forms, surrogates, beyond U+10FFFF, cut short, a stray continuation byte.
    for (const char* bytes :
         {"ab\xC0\x80", "ab\xE0\x80\xAF", "ab\xED\xA0\x80", "ab\xF4\x90\x80\x80", "ab\xC3", "ab\x80", "ab\xFF"}) {
        const auto checked = printable(bytes, fonts());
        REQUIRE_FALSE(checked.has_value());
        CHECK(checked.error().code == "print.not_utf8");
        CHECK(checked.error().detail("byte") == "3");
    }
}

TEST_CASE("decoding and encoding UTF-8 are each other's inverse") {
    // RFC 3629 section 7: "A<NOT IDENTICAL TO><ALPHA>." and the Japanese word for the language.
    CHECK(decode_utf8("\x41\xE2\x89\xA2\xCE\x91\x2E").value() == U"\u0041\u2262\u0391\u002E");
    CHECK(decode_utf8("\xE6\x97\xA5\xE6\x9C\xAC\xE8\xAA\x9E").value() == U"\u65E5\u672C\u8A9E");
    for (const char32_t c : {U'\x1', U'\x7F', U'\x80', U'\u07FF', U'\u0800', U'\uD7FF', U'\uE000', U'\uFFFD',
                             U'\U00010000', U'\U0010FFFF'})
        CHECK(decode_utf8(encode_utf8(std::u32string(1, c))).value() == std::u32string(1, c));
}

TEST_CASE("a mixed name is set in runs of the first font that has each character") {
    const auto runs = fonts().runs(U"M\u00FCller \u8A66\u9A13 \u1EA0", Weight::regular);
    REQUIRE(runs.size() == 4);
    CHECK(runs[0].face == FontSet::main);
    CHECK(runs[1].face == FontSet::second);
    CHECK(runs[1].text == U"\u8A66\u9A13");
    CHECK(runs[2].face == FontSet::main);
    CHECK(runs[3].face == FontSet::wide);
}

TEST_CASE("bold is for Latin alone: one other letter and the whole text is regular") {
    CHECK(fonts().runs(U"M\u00FCller", Weight::bold).front().face == FontSet::bold);
    const auto mixed = fonts().runs(U"M\u00FCller \u03A9", Weight::bold);
    REQUIRE(mixed.size() == 1);
    CHECK(mixed.front().face == FontSet::main);
}

TEST_CASE("widths come from the font: DejaVu Sans digits share one, IPA Gothic's kanji fill the em") {
    // hmtx of DejaVu Sans 2.37: 1303 of 2048 units for each digit, 651 for the blank; read with another program
    // (fontTools).
    CHECK(fonts().face(FontSet::main).width(U'0') == 1303 * 1000 / 2048);
    CHECK(fonts().face(FontSet::main).width(U'7') == 1303 * 1000 / 2048);
    CHECK(fonts().face(FontSet::main).width(U' ') == 651 * 1000 / 2048);
    CHECK(fonts().face(FontSet::second).width(U'\u8A66') == 1000);
    CHECK(fonts().width(U"10", Weight::regular) == cqt::Approx(1.272));
}

TEST_CASE("R10: without its fonts the station says so") {
    const auto none = FontSet::load("/nowhere/fonts");
    REQUIRE_FALSE(none.has_value());
    CHECK(none.error().code == "print.font_unusable");
    CHECK(none.error().detail("path") == "/nowhere/fonts/main.ttf");
    CHECK(Typeface::open(CRIMPGATE_SOURCE_DIR "/CMakeLists.txt").error().code == "print.font_unusable");
}
