#include "reports/barcode.h"

#include <set>

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

std::set<std::pair<int, int>> modules(const Symbol& s) {
    std::set<std::pair<int, int>> out;
    for (const auto& a : s.dark)
        for (int y = a.y; y < a.y + a.height; ++y)
            for (int x = a.x; x < a.x + a.width; ++x) {
                INFO("two rectangles share the module " << x << ", " << y);
                REQUIRE(out.insert({x, y}).second);
                REQUIRE((x >= 0 && y >= 0 && x < s.columns && y < s.rows));
            }
    return out;
}

// "B1S1B1..." of a linear code as widths, bar first.
std::vector<int> widths(const Symbol& s) {
    std::vector<int> out;
    int at = 0;
    for (const auto& a : s.dark) {
        if (a.x > at) out.push_back(a.x - at);
        out.push_back(a.width);
        at = a.x + a.width;
    }
    return out;
}

}  // namespace

TEST_CASE("Code 128 has start, 11 modules a character, check character and a stop of 13") {
    // ISO/IEC 15417: 11 modules a symbol character, 13 for the stop; in set C two digits share a character.
    CHECK(code_128("A7Q4X2M9KD").value().columns == 11 * (1 + 10 + 1) + 13);
    CHECK(code_128("1234").value().columns == 11 * (1 + 2 + 1) + 13);
    CHECK(code_128("A7Q4X2M9KD").value().rows == 1);
}

TEST_CASE("Code 128 of one letter, bar by bar") {
    // ISO/IEC 15417 table 1 (patterns from memory): start B (104) 211214, "A" (33) 111323, check character
    // (104 + 33) mod 103 = 34 131123, stop 2331112.
    const auto s = code_128("A").value();
    CHECK(widths(s) == std::vector<int>{2, 1, 1, 2, 1, 4, 1, 1, 1, 3, 2, 3, 1, 3, 1, 1, 2, 3, 2, 3, 3, 1, 1, 1, 2});
}

TEST_CASE("a QR code of a serial is version 1, and grows by four modules a version") {
    // ISO/IEC 18004 table 7, level M, alphanumeric: version 1 holds 20, version 2 holds 38, version 6 holds 154.
    CHECK(qr_code("A7Q4X2M9KD").value().columns == 21);
    CHECK(qr_code(std::string(20, 'A')).value().columns == 21);
    CHECK(qr_code(std::string(21, 'A')).value().columns == 25);
    CHECK(qr_code(std::string(38, 'A')).value().columns == 25);
    CHECK(qr_code(std::string(39, 'A')).value().columns == 29);
    CHECK(qr_code(std::string(154, 'A')).value().columns == 41);
    CHECK(qr_code(std::string(155, 'A')).value().columns == 45);
}

TEST_CASE("the rectangles of a QR code are disjoint and show its three finder patterns") {
    const auto s = qr_code("A7Q4X2M9KD").value();
    const auto dark = modules(s);
    for (const auto& [left, top] : {std::pair{0, 0}, std::pair{14, 0}, std::pair{0, 14}})
        for (int y = 0; y < 7; ++y)
            for (int x = 0; x < 7; ++x) {
                // ISO/IEC 18004: dark 7 x 7, in it light 5 x 5, in it dark 3 x 3.
                const int ring = std::max(std::abs(x - 3), std::abs(y - 3));
                CHECK(dark.count({left + x, top + y}) == (ring == 2 ? 0U : 1U));
            }
}

TEST_CASE("modules are whole dots: what fits a 25 mm label at 203 and 300 dots per inch") {
    // Whole-dot arithmetic: a 25 mm box holds 199 dots at 203 dpi and 295 at 300 dpi. Version 6 with its quiet zone has
    // 49 modules (4 and 6 dots), versions 7 and 8 have 53 and 57 (3 and 5 dots).
    const auto v6 = qr_code(std::string(154, 'A')).value();
    const auto v7 = qr_code(std::string(178, 'A')).value();
    const auto v8 = qr_code(std::string(221, 'A')).value();
    REQUIRE(v8.columns == 49);
    CHECK(dots_per_module(v6, 25, 0.3, 2, 203) == 4);
    CHECK(dots_per_module(v7, 25, 0.3, 2, 203) == 3);
    CHECK(dots_per_module(v8, 25, 0.3, 2, 203) == 3);
    CHECK(dots_per_module(v6, 25, 0.3, 2, 300) == 6);
    CHECK(dots_per_module(v7, 25, 0.3, 2, 300) == 5);
    CHECK(dots_per_module(v8, 25, 0.3, 2, 300) == 5);
}

TEST_CASE("a code that would be too fine to read is not made finer") {
    const auto s = qr_code(std::string(154, 'A')).value();
    CHECK(dots_per_module(s, 12, 0.37, 0.9, 203) == 0);  // 1 dot
    CHECK(dots_per_module(s, 18.4, 0.37, 0.9, 203) == 3);
    CHECK(dots_per_module(s, 90, 0.37, 0.9, 203) == 7);    // no coarser than 0.9 mm
    CHECK(dots_per_module(s, 18.4, 0.37, 0.9, 600) == 0);  // 8 dots there are 0.34 mm
    CHECK(dots_per_module(s, 18.4, 0.33, 0.9, 600) == 8);
}

TEST_CASE("what a code cannot carry is refused, not guessed") {
    CHECK(code_128("").error().code == "tag.bad_payload");
    CHECK(code_128("M\u00FCller").error().code == "tag.bad_payload");
    CHECK(qr_code(std::string_view("A\0B", 3)).error().code == "tag.bad_payload");
    CHECK(qr_code(std::string(8000, 'A')).error().code == "tag.bad_payload");
}
