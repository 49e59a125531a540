#include "reports/text_fit.h"

#include <rapidcheck.h>

#include "tests/reports/tag_sample.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using samples::fonts;

namespace {

std::u32string without_blanks(std::u32string_view text) {
    std::u32string out;
    for (const char32_t c : text)
        if (c != U' ') out += c;
    return out;
}

std::u32string joined(const FittedText& fitted) {
    std::u32string out;
    for (const auto& line : fitted.lines)
        out += line;
    return out;
}

FittedText fit(std::u32string_view text, double width, double size = 3, double smallest = 1.6) {
    return fit_text(text, Weight::regular, width, size, smallest, fonts());
}

}  // namespace

TEST_CASE("a short name stays on one line at its full size") {
    const auto f = fit(U"Brannock", 60);
    CHECK(f.lines == std::vector<std::u32string>{U"Brannock"});
    CHECK(f.size == 3);
}

TEST_CASE("a name a little too long shrinks before it wraps") {
    const double natural = fonts().width(U"Brannock Forest Machines", Weight::regular) * 3;
    const auto f = fit(U"Brannock Forest Machines", natural * 0.9);
    CHECK(f.lines.size() == 1);
    CHECK(f.size == cqt::Approx(2.7));
}

TEST_CASE("a long name wraps at its blanks and hyphens") {
    const auto f = fit(U"Upper-Middleton Hose and Fitting Works", 25);
    REQUIRE(f.lines.size() > 1);
    CHECK(f.lines[0] == U"Upper-Middleton");
    for (const auto& line : f.lines)
        CHECK((line.front() != U' ' && line.back() != U' '));
}

TEST_CASE("a name of 400 letters without a blank is broken inside, and no letter is lost") {
    const std::u32string name(400, U'W');
    const auto f = fit(name, 30);
    CHECK(joined(f) == name);
    CHECK(f.width <= 30.0001);
    CHECK(f.size >= 1.6);
}

TEST_CASE("a combining accent stays with its letter") {
    std::u32string name;
    for (int i = 0; i < 50; ++i)
        name += U"e\u0301";
    const auto f = fit(name, 10);
    REQUIRE(f.lines.size() > 1);
    for (const auto& line : f.lines)
        CHECK(line.front() == U'e');
}

TEST_CASE("Japanese wraps between any two characters") {
    const auto f = fit(std::u32string(40, U'\u8A66'), 30, 3);
    REQUIRE(f.lines.size() > 1);
    CHECK(f.lines[0].size() == static_cast<std::size_t>(30 / f.size + 1e-9));
}

TEST_CASE("whatever the text: nothing is lost, no line is wider than its box, no size is below the smallest") {
    CHECK(rc::check("fit_text keeps every character inside the width", [] {
        const auto text = *rc::gen::container<std::u32string>(
            rc::gen::elementOf(std::u32string(U"aiWm  -/,.\u00FC\u03A9\u8A66\u0301\u1EA0\u00A0")));
        const double width = *rc::gen::inRange(8, 120);
        const double size = *rc::gen::inRange(16, 90) / 10.0;
        const auto weight = *rc::gen::element(Weight::regular, Weight::bold);
        const auto f = fit_text(text, weight, width, size, 1.6, fonts());
        RC_ASSERT(without_blanks(joined(f)) == without_blanks(text));
        RC_ASSERT(f.size <= size + 1e-9);
        RC_ASSERT(f.size >= std::min(size, 1.6) - 1e-9);
        for (const auto& line : f.lines)
            RC_ASSERT(line.size() <= 1 || fonts().width(line, f.weight) * f.size <= width + 1e-6);
    }));
}
