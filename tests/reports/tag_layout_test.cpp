#include "reports/tag_layout.h"

#include <rapidcheck.h>

#include "reports/tag_text.h"
#include "tests/reports/tag_sample.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using samples::fonts;

namespace {

constexpr TagSize sizes[] = {TagSize::mm100x150, TagSize::mm100x50, TagSize::a6};

// Everything printed lies on the page with a margin, and no two things share a spot; "" when all is well.
std::string faults(const PageLayout& page) {
    const Box inside{1, 1, page.width - 2, page.height - 2};
    std::vector<std::pair<std::string, Box>> things;
    for (const auto& t : page.texts)
        things.emplace_back(t.field + " '" + encode_utf8(t.text) + "'", t.box);
    for (const auto& c : page.codes)
        things.emplace_back(c.field, c.box);
    for (const auto& l : page.lines)
        things.emplace_back("line", l.box);
    std::string out;
    for (std::size_t i = 0; i < things.size(); ++i) {
        if (!things[i].second.within(inside)) out += things[i].first + " leaves the page; ";
        for (std::size_t j = i + 1; j < things.size(); ++j)
            if (things[i].second.overlaps(things[j].second))
                out += things[i].first + " overlaps " + things[j].first + "; ";
    }
    // A text on a filled box is white and wholly on it; every other text stays off.
    for (const auto& t : page.texts) {
        bool on_one = false;
        for (const auto& f : page.frames) {
            if (!f.filled) continue;
            on_one = on_one || t.box.within(f.box);
            if (!t.white && t.box.overlaps(f.box)) out += encode_utf8(t.text) + " is black on black; ";
        }
        if (t.white && !on_one) out += encode_utf8(t.text) + " is white on white; ";
    }
    for (std::size_t i = 0; i < page.frames.size(); ++i) {
        if (!page.frames[i].box.within(inside)) out += "a frame leaves the page; ";
        for (const auto& c : page.codes)
            if (c.box.overlaps(page.frames[i].box)) out += c.field + " has no quiet zone; ";
    }
    return out;
}

std::string printed(const PageLayout& page, const std::string& field) {
    std::u32string out;
    for (const auto& t : page.texts)
        if (t.field == field) out += t.text;
    std::string utf8;
    for (const char32_t c : out)
        if (c != U' ' && c != U'\u00A0') utf8 += encode_utf8(std::u32string(1, c));
    return utf8;
}

double largest(const PageLayout& page, const std::string& field) {
    double size = 0;
    for (const auto& t : page.texts)
        if (t.field == field) size = std::max(size, t.size);
    return size;
}

std::string squeezed(std::string text) {
    std::string out;
    for (const char c : text)
        if (c != ' ') out += c;
    return out;
}

}  // namespace

TEST_CASE("nothing on a tag overlaps or leaves the page, with nothing special and with everything at once") {
    for (const auto size : sizes)
        for (auto tag : {samples::normal(), samples::eventful()})
            for (const std::size_t code : {0, 160, 220})  // the serial, a signed statement, a very long one
                for (const int dpi : {203, 300, 600}) {
                    tag.code_payload = std::string(code, 'K');
                    const auto page = layout_tag(tag, size, fonts(), dpi);
                    INFO("label height " << tag_format(size).height << ", code of " << code << ", " << dpi << " dpi");
                    REQUIRE(page.has_value());
                    CHECK(faults(*page) == "");
                }
}

TEST_CASE("serial and working pressure are the largest things to read") {
    for (const auto size : sizes)
        for (auto tag : {samples::normal(), samples::eventful(), samples::normal()}) {
            if (size == TagSize::mm100x50) tag.code_payload = std::string(160, 'K');
            const auto page = layout_tag(tag, size, fonts(), 203).value();
            double others = 0;
            for (const auto& t : page.texts)
                if (t.field != "serial" && t.field != "working_pressure") others = std::max(others, t.size);
            CHECK(largest(page, "serial") > others * 1.5);
            CHECK(largest(page, "working_pressure") > others * 1.5);
            CHECK(largest(page, "serial") >= 5);  // legible at arm's length (common practice: 1 mm of letter for 0.2 m)
        }
}

TEST_CASE("a customer's name of 400 letters fits every label, whole, on lines of its own") {
    for (const std::string& piece : {std::string("Donaudampfschiff"), std::string("Hose and Fitting ")}) {
        auto tag = samples::normal();
        tag.customer = samples::repeated(piece, 400 / static_cast<int>(piece.size()));
        for (const auto size : sizes) {
            const auto page = layout_tag(tag, size, fonts(), 203);
            REQUIRE(page.has_value());
            CHECK(faults(*page) == "");
            CHECK(printed(*page, "customer") == squeezed(tag.customer));
        }
    }
}

TEST_CASE("200 Japanese characters as a customer's name fit every label, 400 the large ones") {
    auto tag = samples::normal();
    for (const int count : {200, 400}) {
        tag.customer = samples::repeated("\u8A66", count);
        for (const auto size : sizes) {
            if (count == 400 && size == TagSize::mm100x50) continue;
            const auto page = layout_tag(tag, size, fonts(), 203);
            REQUIRE(page.has_value());
            CHECK(faults(*page) == "");
            CHECK(printed(*page, "customer") == tag.customer);
        }
    }
}

TEST_CASE("any one field may have 400 characters on a large label") {
    const std::string longest = samples::repeated("Mmmmmmm ", 50);
    const auto with = [&](auto set) {
        auto tag = samples::eventful();
        set(tag);
        for (const auto size : {TagSize::mm100x150, TagSize::a6}) {
            const auto page = layout_tag(tag, size, fonts(), 203);
            REQUIRE(page.has_value());
            CHECK(faults(*page) == "");
        }
    };
    with([&](TagData& t) { t.shop = longest; });
    with([&](TagData& t) { t.order = longest; });
    with([&](TagData& t) { t.customer_part = longest; });
    with([&](TagData& t) { t.hose_maker = longest; });
    with([&](TagData& t) { t.hose_lot = longest; });
    with([&](TagData& t) { t.operator_name = longest; });
    with([&](TagData& t) { t.station = longest; });
    with([&](TagData& t) { t.ends[1].end_form = longest; });
    with([&](TagData& t) { t.ends[0].fitting_lot = longest; });
    with([&](TagData& t) { t.concession_reference = longest; });
}

TEST_CASE("texts that fit no label are refused with the field to shorten, never cut") {
    auto tag = samples::normal();
    tag.hose_type = std::string(9000, 'W');
    for (const auto size : sizes) {
        const auto page = layout_tag(tag, size, fonts(), 203);
        REQUIRE_FALSE(page.has_value());
        CHECK(page.error().code == "tag.text_does_not_fit");
        CHECK(page.error().detail("field") == "hose_type");
        CHECK(page.error().detail("characters") == "9000");
    }
}

TEST_CASE("whatever the names: a tag is whole and free of overlaps, or it is refused") {
    int laid_out = 0;
    const bool held = rc::check("layout", [&laid_out] {
        const auto name = [](int most) {
            const auto letters = *rc::gen::container<std::vector<std::string>>(
                static_cast<std::size_t>(*rc::gen::inRange(0, most)),
                rc::gen::element<std::string>("a", "W", "i", " ", "-", "\u00FC", "\u03A9", "\u8A66", "\u1EA0",
                                              "e\u0301"));
            std::string out;
            for (const auto& l : letters)
                out += l;
            return out;
        };
        auto tag = samples::eventful();
        tag.shop = name(60);
        tag.order = name(40);
        tag.customer = name(120);
        tag.customer_part = name(40);
        tag.hose_type = name(60);
        tag.operator_name = name(60);
        tag.station = name(30);
        tag.ends[0].end_form = name(100);
        tag.ends[1].fitting_lot = name(40);
        if (*rc::gen::arbitrary<bool>()) tag.concession_reference = name(80);
        tag.serial = std::string(static_cast<std::size_t>(*rc::gen::inRange(1, 21)), 'W');
        const auto size = *rc::gen::elementOf(std::vector<TagSize>(std::begin(sizes), std::end(sizes)));
        const auto page = layout_tag(tag, size, fonts(), *rc::gen::element(203, 300));
        if (!page) {
            RC_ASSERT(page.error().code == "tag.text_does_not_fit");
            RC_ASSERT(size == TagSize::mm100x50);
            return;
        }
        ++laid_out;
        RC_ASSERT(faults(*page) == "");
        RC_ASSERT(printed(*page, "customer") == squeezed(tag.customer));
    });
    CHECK(held);
    CHECK(laid_out > 50);
}

TEST_CASE("a serial of 20 characters still has bars of whole dots that a reader can tell apart") {
    auto tag = samples::normal();
    tag.serial = "ABCDEFGHJK0123456789";
    for (const auto size : sizes)
        for (const int dpi : {203, 300, 600}) {
            const auto page = layout_tag(tag, size, fonts(), dpi).value();
            for (const auto& c : page.codes)
                CHECK(c.dots * 25.4 / dpi >= 0.24);
        }
}

TEST_CASE("what the printer or a reader could not do is refused") {
    auto tag = samples::normal();
    CHECK(layout_tag(tag, TagSize::a6, fonts(), 72).error().code == "tag.bad_resolution");
    tag.code_payload = std::string(600, 'A');
    CHECK(layout_tag(tag, TagSize::a6, fonts(), 203).error().code == "tag.code_too_dense");
    tag.code_payload = "\x01";
    CHECK(layout_tag(tag, TagSize::a6, fonts(), 203).error().code == "tag.bad_payload");
    for (const char* serial : {"", "a7q4", "A 7", "A7Q4X2M9KDA7Q4X2M9KDX", "\u00D8"}) {
        tag.serial = serial;
        CHECK(layout_tag(tag, TagSize::a6, fonts(), 203).error().code == "tag.bad_serial");
    }
}

TEST_CASE("a name that cannot be printed stops the tag and is told by its field") {
    auto tag = samples::normal();
    tag.customer = "Otto \U0001F600";
    const auto page = layout_tag(tag, TagSize::a6, fonts(), 203);
    REQUIRE_FALSE(page.has_value());
    CHECK(page.error().code == "tag.unprintable_field");
    CHECK(page.error().detail("field") == "customer");
    CHECK(page.error().detail("code") == "U+1F600");
    tag = samples::normal();
    tag.ends[1].gauges = {"CAL\xFF"};
    CHECK(layout_tag(tag, TagSize::a6, fonts(), 203).error().detail("field") == "end_b.gauge");
}

TEST_CASE("R4: figures on a tag are exact, with the gauge's places and more where a value needs them") {
    CHECK(tag_text::millimetres(26'120_um, 2) == "26.12");
    CHECK(tag_text::millimetres(26'000_um, 2) == "26.00");
    CHECK(tag_text::millimetres(Length::from_nm(26'136'600), 2) == "26.1366");  // 1.029 in
    CHECK(tag_text::millimetres(750'000_um, 0) == "750");
    CHECK(tag_text::millimetres(1_nm, 2) == "0.000001");
    CHECK(tag_text::bar(Pressure::from_bar(215)) == "215");
    CHECK(tag_text::bar(Pressure::from_kpa(27'579)) == "275.79");
    CHECK(tag_text::mpa(Pressure::from_bar(215)) == "21.5");
    CHECK(tag_text::mpa(Pressure::from_kpa(27'579)) == "27.579");
    // 215 bar = 3118.31 psi (1 psi = 6.894757 kPa, NIST SP 811 appendix B): shown rounded down.
    CHECK(tag_text::psi({Pressure::from_bar(215), "215 bar"}) == "3118");
    // A rating given in psi is shown as given: 4000 psi = 27 579.03 kPa, stored as 27 579 kPa.
    CHECK(tag_text::psi({Pressure::from_kpa(27'579), "4000 psi"}) == "4000");
    CHECK(tag_text::overall_length(samples::normal()) == "750\u00A0mm +7\u00A0/\u00A0-3");
}

TEST_CASE("R5: a tag names its decision rule and says what it means") {
    CHECK(tag_text::rule({RuleKind::guarded, 1650}) ==
          "ISO 14253-1: inside each limit by 1.65 standard uncertainties of the gauge");
    CHECK(tag_text::rule({RuleKind::guarded, 2000}) ==
          "guarded (JCGM 106): inside each limit by 2 standard uncertainties of the gauge");
    CHECK_THAT(tag_text::rule({RuleKind::simple, 0}), cqt::contains("uncertainty not deducted"));
}
