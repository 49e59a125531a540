#include "station/json/canonical.h"
#include "station/proof/hash.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include <rapidcheck.h>
#include <boost/json.hpp>

#include "station/json/utc_text.h"
#include "station/proof/hash.h"
#include "tests/support/catch.h"

namespace json = boost::json;
using namespace crimpgate;

namespace {

std::string read_file(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::string code_of(std::string_view text) {
    const auto parsed = parse_strict(text);
    return parsed ? "" : parsed.error().code;
}

std::string respelled(std::string_view text) {
    const auto parsed = parse_strict(text);
    INFO(text << ": " << (parsed ? "" : parsed.error().code));
    REQUIRE(parsed);
    return canonical(*parsed);
}

}  // namespace

TEST_CASE("a record has one spelling: no blanks, names in order, arrays as they are") {
    CHECK(respelled(" { \"b\" : [ 3 , 1 , 2 ] , \"a\" : { \"z\" : true , \"y\" : false } } ") ==
          R"({"a":{"y":false,"z":true},"b":[3,1,2]})");
    CHECK(respelled("{}") == "{}");
    CHECK(respelled("[]") == "[]");
    CHECK(respelled(R"("")") == R"("")");
}

// RFC 8785 section 3.2.2.2: the short escapes, \u00xx in lower case for other controls, everything else as it is.
TEST_CASE("text in a record is escaped the shortest way and kept as it is otherwise") {
    CHECK(respelled(R"("\u0008\u0009\u000A\u000c\u000D\u0022\u005C")") == R"("\b\t\n\f\r\"\\")");
    CHECK(respelled(R"("\u0000\u001F\u007f")") == "\"\\u0000\\u001f\x7f\"");
    CHECK(respelled(R"("\/")") == R"("/")");
    CHECK(respelled(R"("\u20ac\u00e9\uD83D\uDE00")") == "\"€é😀\"");
    // No Unicode normalisation: a letter with its accent apart stays so.
    CHECK(respelled("\"e\xCC\x81\"") == "\"e\xCC\x81\"");
}

// RFC 8785 section 3.2.3: order by UTF-16 code units, so a pair of surrogates (D83D...) comes before U+E000 to U+FFFF.
TEST_CASE("names are sorted by UTF-16 code units, not by bytes") {
    CHECK(respelled("{\"\xEF\xAC\xB3\":7,\"\xF0\x9F\x98\x80\":6,\"€\":5,\"ö\":4,\"\xC2\x80\":3,\"1\":2,\"\\r\":1}") ==
          "{\"\\r\":1,\"1\":2,\"\xC2\x80\":3,\"ö\":4,\"€\":5,\"\xF0\x9F\x98\x80\":6,\"\xEF\xAC\xB3\":7}");
    CHECK(before_in_utf16("\xF0\x90\x80\x80", "\xEE\x80\x80"));  // U+10000 before U+E000
    CHECK_FALSE(before_in_utf16("\xEE\x80\x80", "\xF0\x90\x80\x80"));
    CHECK(before_in_utf16("\xED\x9F\xBF", "\xF0\x90\x80\x80"));  // U+D7FF before U+10000
    CHECK_FALSE(before_in_utf16("\xF0\x90\x80\x80", "\xED\x9F\xBF"));
    CHECK(before_in_utf16("", "a"));
    CHECK(before_in_utf16("a", "ab"));
    CHECK_FALSE(before_in_utf16("a", "a"));
}

TEST_CASE("the order of names is that of their UTF-16 spelling, whatever the names") {
    const auto utf16 = [](const std::vector<char32_t>& points) {
        std::u16string out;
        for (char32_t p : points) {
            if (p >= 0x10000) {
                out += static_cast<char16_t>(0xD800 + ((p - 0x10000) >> 10));
                out += static_cast<char16_t>(0xDC00 + ((p - 0x10000) & 0x3FF));
            } else {
                out += static_cast<char16_t>(p);
            }
        }
        return out;
    };
    const auto utf8 = [](const std::vector<char32_t>& points) {
        std::string out;
        for (char32_t p : points) {
            if (p < 0x80) {
                out += static_cast<char>(p);
            } else if (p < 0x800) {
                out += static_cast<char>(0xC0 | (p >> 6));
                out += static_cast<char>(0x80 | (p & 0x3F));
            } else if (p < 0x10000) {
                out += static_cast<char>(0xE0 | (p >> 12));
                out += static_cast<char>(0x80 | ((p >> 6) & 0x3F));
                out += static_cast<char>(0x80 | (p & 0x3F));
            } else {
                out += static_cast<char>(0xF0 | (p >> 18));
                out += static_cast<char>(0x80 | ((p >> 12) & 0x3F));
                out += static_cast<char>(0x80 | ((p >> 6) & 0x3F));
                out += static_cast<char>(0x80 | (p & 0x3F));
            }
        }
        return out;
    };
    const bool held = rc::check("UTF-16 order", [&] {
        // Few first characters, so that names share beginnings and the interesting borders are met often.
        const auto point = rc::gen::oneOf(
            rc::gen::element<char32_t>(U'a', 0x7F, 0x80, 0x7FF, 0x800, 0xD7FF, 0xE000, 0xFFFF, 0x10000, 0x10FFFF),
            rc::gen::cast<char32_t>(rc::gen::inRange<std::uint32_t>(1, 0xD800)));
        const auto a = *rc::gen::container<std::vector<char32_t>>(point);
        const auto b = *rc::gen::container<std::vector<char32_t>>(point);
        RC_ASSERT(is_utf8(utf8(a)));
        RC_ASSERT(before_in_utf16(utf8(a), utf8(b)) == (utf16(a) < utf16(b)));
    });
    CHECK(held);
}

TEST_CASE("R4: a record holds whole numbers up to 2^53 - 1 and nothing else that is a number") {
    CHECK(respelled("[0,-1,9007199254740991,-9007199254740991]") == "[0,-1,9007199254740991,-9007199254740991]");
    for (const char* text : {"9007199254740992", "-9007199254740992", "9223372036854775807", "9223372036854775808",
                             "18446744073709551615"})
        CHECK(code_of(text) == "json.integer_too_large");
    for (const char* text : {"1.0", "1.5", "1e2", "1E400", "-0.0", "18446744073709551616", "0.1"}) {
        INFO(text);
        CHECK(code_of(text) == "json.not_an_integer");
    }
    CHECK(code_of(R"({"a":null})") == "json.null");
}

TEST_CASE("a record in doubt is refused by name, never repaired") {
    CHECK(code_of(R"({"a":1,"a":2})") == "json.name_twice");
    CHECK(code_of(R"({"a":1,"\u0061":2})") == "json.name_twice");
    CHECK(code_of(R"({"o":{"x":1,"y":2,"x":1}})") == "json.name_twice");
    CHECK(code_of(R"([{"a":1},{"a":2}])").empty());
    for (const char* text : {"",
                             " ",
                             "{",
                             "[1,]",
                             "{\"a\":1,}",
                             "[1 2]",
                             "{'a':1}",
                             "[01]",
                             "tru",
                             "NaN",
                             "[NaN]",
                             "Infinity",
                             "1 1",
                             "{} x",
                             "\"\x01\"",
                             "\"\\ud800\"",
                             "\"\\ud800\\u0041\"",
                             "\"\\udc00\"",
                             "\"\\x41\"",
                             "\"abc",
                             "// c\n1",
                             "-",
                             "+1",
                             "\"\xC0\x80\"",
                             "\"\xED\xA0\x80\"",
                             "\"\xF4\x90\x80\x80\"",
                             "\"\x80\"",
                             "\"\xE2\x82\"",
                             "\xEF\xBB\xBF{}"}) {
        INFO(text);
        CHECK(code_of(text) == "json.malformed");
    }
}

TEST_CASE("nesting ends at 32 levels") {
    const auto nested = [](int levels) { return std::string(levels, '[') + std::string(levels, ']'); };
    CHECK(code_of(nested(32)).empty());
    CHECK(code_of(nested(33)) == "json.too_deep");
}

TEST_CASE("a value of ours that a record cannot hold is a bug and says so") {
    CHECK_THROWS_AS(canonical(json::value(1.5)), std::logic_error);
    CHECK_THROWS_AS(canonical(json::value(nullptr)), std::logic_error);
    CHECK_THROWS_AS(canonical(json::value(std::int64_t{9'007'199'254'740'992})), std::logic_error);
    CHECK_THROWS_AS(canonical(json::value(std::uint64_t{9'007'199'254'740'992})), std::logic_error);
    CHECK_THROWS_AS(canonical(json::value("\xFF")), std::logic_error);
    CHECK(canonical(json::value(std::uint64_t{7})) == "7");
}

TEST_CASE("reading what was written gives the same bytes again") {
    const bool held = rc::check("canonical(parse(canonical(v))) == canonical(v)", [] {
        json::object object;
        const auto names = *rc::gen::container<std::vector<std::string>>(
            rc::gen::container<std::string>(rc::gen::inRange<char>(1, 127)));
        for (const auto& name : names) {
            if (*rc::gen::arbitrary<bool>())
                object[name] = *rc::gen::inRange<std::int64_t>(-json_integer_limit, json_integer_limit);
            else
                object[name] = json::array{name, *rc::gen::arbitrary<bool>(), json::object{{name, 1}}};
        }
        const std::string bytes = canonical(object);
        const auto again = parse_strict(bytes);
        RC_ASSERT(again.has_value());
        RC_ASSERT(*again == json::value(object));
        RC_ASSERT(canonical(*again) == bytes);
    });
    CHECK(held);
}

TEST_CASE("the reader never fails in any other way than by refusing, whatever the bytes") {
    const bool held = rc::check("parse_strict takes any bytes", [] {
        const auto bytes = *rc::gen::container<std::string>(rc::gen::oneOf(
            rc::gen::element<char>('{', '}', '[', ']', '"', ':', ',', '\\', 'u', 'd', '8', '0', '1', '-', 't', 'n'),
            rc::gen::arbitrary<char>()));
        const auto parsed = parse_strict(bytes);
        if (parsed) RC_ASSERT(parse_strict(canonical(*parsed)).has_value());
    });
    CHECK(held);
}

// The test documents of the scheme's authors, read where they lie beside the checkout: they are not ours to copy.
TEST_CASE("RFC 8785: the scheme's own test documents that fit the profile give the published bytes") {
    const auto file = std::filesystem::path(CRIMPGATE_SOURCE_DIR) / "../shared/reference/data/jcs_rfc8785.json";
    if (!std::filesystem::exists(file)) {
        WARN("skipped: ../shared/reference/data/jcs_rfc8785.json is not here");
        return;
    }
    const json::value vectors = json::parse(read_file(file));
    std::vector<std::string> agreed;
    for (const auto& document : vectors.at("documents").as_array()) {
        INFO(document.at("name").as_string().c_str());
        const auto parsed = parse_strict(from_hex(document.at("input_utf8_hex").as_string()).value());
        if (!parsed) {  // only because of what the profile leaves out
            const bool left_out = parsed.error().code == "json.null" || parsed.error().code == "json.not_an_integer";
            CHECK(left_out);
            continue;
        }
        CHECK(canonical(*parsed) == from_hex(document.at("canonical_utf8_hex").as_string()).value());
        agreed.emplace_back(document.at("name").as_string());
    }
    for (const char* name : {"french", "unicode", "weird"}) {
        INFO(name);
        CHECK(std::find(agreed.begin(), agreed.end(), name) != agreed.end());
    }
    for (const auto& bad : vectors.at("invalid_must_be_rejected").as_array()) {
        INFO(bad.at("why").as_string().c_str());
        CHECK_FALSE(parse_strict(from_hex(bad.at("input_utf8_hex").as_string()).value()).has_value());
    }
}

// RFC 3339 section 5.6; the points in time from its section 5.8 and from `date -u -d ... +%s`.
TEST_CASE("times are UTC with three digits after the second, and only days that exist are read") {
    const std::pair<const char*, std::int64_t> known[] = {{"1985-04-12T23:20:50.520Z", 482'196'050'520},
                                                          {"1970-01-01T00:00:00.000Z", 0},
                                                          {"1969-12-31T23:59:59.999Z", -1},
                                                          {"2025-03-04T05:06:07.089Z", 1'741'064'767'089},
                                                          {"2024-02-29T00:00:00.000Z", 1'709'164'800'000},
                                                          {"2038-01-19T03:14:08.000Z", 2'147'483'648'000},
                                                          {"1937-01-01T11:40:27.870Z", -1'041'337'172'130},
                                                          {"9999-12-31T23:59:59.999Z", utc_ms_max},
                                                          {"0000-01-01T00:00:00.000Z", utc_ms_min}};
    for (const auto& [text, ms] : known) {
        INFO(text);
        CHECK(utc_text(ms) == text);
        REQUIRE(parse_utc_text(text));
        CHECK(*parse_utc_text(text) == ms);
    }
    for (const char* text :
         {"", "2025-02-29T00:00:00.000Z", "2025-13-01T00:00:00.000Z", "2025-00-10T00:00:00.000Z",
          "2025-01-00T00:00:00.000Z", "2025-03-04 05:06:07.000Z", "2025-03-04T24:00:00.000Z",
          "2025-03-04T05:60:00.000Z", "2025-03-04T05:06:60.000Z", "2025-03-04T05:06:07Z", "2025-03-04T05:06:07.00Z",
          "2025-03-04T05:06:07.0000Z", "2025-03-04t05:06:07.000z", "2025-03-04T05:06:07.000+",
          "2025-03-04T05:06:07,000Z", "2025-03-04T05:06:0 .000Z", "1900-02-29T00:00:00.000Z"}) {
        INFO(text);
        CHECK_FALSE(parse_utc_text(text).has_value());
    }
    CHECK_THROWS_AS(utc_text(utc_ms_max + 1), std::out_of_range);
    CHECK_THROWS_AS(utc_text(utc_ms_min - 1), std::out_of_range);
    const bool held = rc::check("text and number agree", [] {
        const auto ms = *rc::gen::inRange<std::int64_t>(utc_ms_min, utc_ms_max);
        RC_ASSERT(*parse_utc_text(utc_text(ms)) == ms);
    });
    CHECK(held);
}
