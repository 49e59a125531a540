#include "reports/tag.h"

#include <cmath>
#include <regex>

#include "reports/tag_layout.h"
#include "tests/reports/outside.h"
#include "tests/reports/tag_sample.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using outside::PdfFile;
using samples::fonts;

namespace {

constexpr TagSize sizes[] = {TagSize::mm100x150, TagSize::a6, TagSize::mm100x50};

std::string rendered(const TagData& tag, TagSize size, int dpi = 203) {
    auto pdf = render_tag(tag, size, fonts(), dpi);
    REQUIRE(pdf.has_value());
    return *pdf;
}

void says(const std::string& text, std::initializer_list<const char*> words) {
    for (const char* w : words)
        CHECK_THAT(text, cqt::contains(w));
}

}  // namespace

TEST_CASE("a large tag says everything about the assembly, read back by another program") {
    auto tag = samples::normal();
    tag.orientation_degrees = 270;
    for (const auto size : {TagSize::mm100x150, TagSize::a6}) {
        const auto text = PdfFile(rendered(tag, size)).text();
        says(text, {"Kestrel Yard Hydraulics",
                    "A7Q4X2M9KD",
                    "4711-03",
                    "Brannock Forest Machines",
                    "BF-2210-7",
                    "Nordhall Twin Braid -12",
                    "EN 853 2SN",
                    "NH-3Q26-1187",
                    "TW-55120",
                    "TW-55304",
                    "Tannwerk P20",
                    "20S",
                    "750 mm +7 / -3",
                    "270°",
                    "215 bar",
                    "21.5 MPa",
                    "3118 psi",
                    "2026-11-25 (2611)",
                    "M. Okoro",
                    "K1",
                    "18342",
                    "38.21 mm (37.50 to 38.50)",
                    "flat 1: 26.12",
                    "flat 7: 26.11 mm",
                    "(26.00 to 26.20)",
                    "0.03 mm (at most 0.10)",
                    "CAL-03",
                    "ISO 14253-1"});
        for (const char* word : {"CONCESSION", "RE-CRIMPED", "REPRINT", "Re-crimps"})
            CHECK(text.find(word) == std::string::npos);
    }
}

TEST_CASE("the small tag says what matters at the rack") {
    const auto text = PdfFile(rendered(samples::normal(), TagSize::mm100x50)).text();
    says(text, {"Kestrel Yard Hydraulics", "A7Q4X2M9KD", "4711-03", "BF-2210-7", "Brannock Forest Machines",
                "Nordhall Twin Braid -12", "EN 853 2SN", "straight", "elbow 90°", "750 mm +7 / -3", "215 bar",
                "21.5 MPa", "3118 psi", "2026-11-25 (2611)", "M. Okoro", "K1", "18342"});
}

TEST_CASE("R1: a concession stands on the tag in plain letters, with its reference") {
    auto tag = samples::normal();
    tag.concession_reference = "BFM-QA 2026/118";
    for (const auto size : sizes)
        says(PdfFile(rendered(tag, size)).text(), {"CONCESSION", "BFM-QA 2026/118"});
}

TEST_CASE("R7: a re-crimped assembly says so") {
    auto tag = samples::normal();
    tag.ends[1].recrimps = 1;
    for (const auto size : sizes)
        says(PdfFile(rendered(tag, size)).text(), {"RE-CRIMPED"});
}

TEST_CASE("R11: a reprint says that it is one, with its number") {
    auto tag = samples::normal();
    tag.reprint = 3;
    for (const auto size : sizes)
        says(PdfFile(rendered(tag, size)).text(), {"REPRINT 3"});
}

TEST_CASE("R13: the caution stands on every tag and leads to the makers, local codes and licensed practice") {
    for (const auto size : {TagSize::mm100x150, TagSize::a6})
        says(PdfFile(rendered(samples::normal(), size)).text(),
             {"WARNING", "whips and burns", "Never feel for a leak", "surgeon",
              "makers' instructions, local codes and licensed practice come first"});
    // In the order drawn: the signal word stands beside these lines and would be read between them.
    says(PdfFile(rendered(samples::normal(), TagSize::mm100x50)).text("-raw"),
         {"WARNING", "Injection, whip and burns", "never feel for leaks",
          "Makers' instructions, local codes and licensed practice come first"});
}

TEST_CASE("two different readers decode both codes from what a thermal head prints") {
    auto long_one = samples::eventful();
    long_one.serial = "ABCDEFGHJK0123456789";
    long_one.code_payload = "HTTPS://T.EXAMPLE/21/ABCDEFGHJK0123456789";
    for (const auto size : sizes)
        for (const int dpi : {203, 300})
            for (const auto& tag : {samples::normal(), long_one}) {
                const PdfFile pdf(rendered(tag, size, dpi));
                const auto image = outside::png(pdf, dpi);
                const auto payload = tag.code_payload.empty() ? tag.serial : tag.code_payload;
                INFO(tag.serial << " at " << dpi << " dpi, label height " << tag_format(size).height);
                CHECK(outside::zbar(image, "code128") == tag.serial);
                CHECK(outside::zxing(image, "Code128") == tag.serial);
                CHECK(outside::zbar(image, "qrcode") == payload);
                CHECK(outside::zxing(image, "QRCode") == payload);
            }
}

TEST_CASE("every dot of a bar code is dark or light just as its modules say") {
    const auto tag = samples::normal();
    for (const auto size : sizes) {
        const outside::Raster dots(PdfFile(rendered(tag, size)), 203);
        const auto page = layout_tag(tag, size, fonts(), 203).value();
        for (const auto& c : page.codes) {
            const bool linear = c.symbol.rows == 1;
            const int quiet = c.symbol.quiet * c.dots, above = linear ? 0 : quiet;
            const int width = c.symbol.columns * c.dots, height = c.symbol.rows * c.bar_dots;
            std::vector<std::vector<bool>> wanted(static_cast<std::size_t>(height + 2 * above),
                                                  std::vector<bool>(static_cast<std::size_t>(width + 2 * quiet)));
            for (const auto& a : c.symbol.dark)
                for (int y = a.y * c.bar_dots; y < (a.y + a.height) * c.bar_dots; ++y)
                    for (int x = a.x * c.dots; x < (a.x + a.width) * c.dots; ++x)
                        wanted[static_cast<std::size_t>(y + above)][static_cast<std::size_t>(x + quiet)] = true;
            int wrong = 0;
            for (int y = -above; y < height + above; ++y)
                for (int x = -quiet; x < width + quiet; ++x)
                    wrong += dots.dark(c.left_dots + x, c.top_dots + y) !=
                             wanted[static_cast<std::size_t>(y + above)][static_cast<std::size_t>(x + quiet)];
            INFO(c.field);
            CHECK(wrong == 0);
        }
    }
}

TEST_CASE("the file is one page of the label's size, whole, with every font inside it") {
    for (const auto size : sizes) {
        const PdfFile pdf(rendered(samples::eventful(), size));
        CHECK(outside::run("qpdf --check " + pdf.path()).exit_code == 0);
        const auto info = outside::run("pdfinfo " + pdf.path()).out;
        CHECK_THAT(info, cqt::contains("Pages:           1"));
        CHECK(std::regex_search(info, std::regex("Title: +A7Q4X2M9KD")));
        CHECK(info.find("Date:") == std::string::npos);
        std::smatch found;
        REQUIRE(std::regex_search(info, found, std::regex("Page size: +([0-9]+)\\.?[0-9]* x ([0-9]+)")));
        const auto format = tag_format(size);
        CHECK(found[1] == std::to_string(static_cast<int>(format.width / 25.4 * 72)));
        CHECK(found[2] == std::to_string(static_cast<int>(format.height / 25.4 * 72)));

        const auto list = outside::run("pdffonts " + pdf.path()).out;
        int lines = 0;
        for (std::size_t at = list.find("HPDFA"); at != std::string::npos; at = list.find("HPDFA", at + 1)) {
            ++lines;
            const auto line = list.substr(at, list.find('\n', at) - at);
            CHECK_THAT(line, cqt::contains(" yes yes "));  // embedded, subset
        }
        CHECK(lines == 3);  // main, bold, and the one with Japanese
        CHECK(std::count(list.begin(), list.end(), '\n') == 2 + lines);
    }
}

TEST_CASE("the same tag gives the same bytes, a different one does not") {
    for (const auto size : sizes) {
        CHECK(rendered(samples::eventful(), size) == rendered(samples::eventful(), size));
        auto other = samples::eventful();
        other.reprint += 1;
        CHECK(rendered(samples::eventful(), size) != rendered(other, size));
    }
}

TEST_CASE("every letter of every name leaves ink where it stands, whichever font it needs") {
    auto tag = samples::eventful();
    tag.shop = "Đặng \u2116 7";
    tag.operator_name = "Щёлково Ελλάς ქართული Ø±×≤°";
    const int dpi = 600;
    for (const auto size : sizes) {
        const auto page = layout_tag(tag, size, fonts(), dpi).value();
        const outside::Raster dots(PdfFile(rendered(tag, size, dpi)), dpi);
        const double per_mm = dpi / 25.4;
        int letters = 0;
        for (const auto& t : page.texts) {
            double x = t.box.x;
            for (const char32_t c : t.text) {
                const double width = fonts().width(std::u32string(1, c), t.weight) * t.size;
                if (c != U' ' && c != U'\u00A0') {
                    const int x0 = static_cast<int>(std::floor(x * per_mm)),
                              x1 = static_cast<int>(std::ceil((x + width) * per_mm));
                    const int y0 = static_cast<int>(std::floor(t.box.y * per_mm)),
                              y1 = static_cast<int>(std::ceil(t.box.bottom() * per_mm));
                    const int ink = dots.ink(x0, y0, x1, y1);
                    INFO(encode_utf8(std::u32string(1, c)) << " of " << t.field);
                    CHECK((t.white ? (x1 - x0) * (y1 - y0) - ink : ink) > 0);
                    ++letters;
                }
                x += width;
            }
        }
        CHECK(letters > 200);
    }
}

TEST_CASE("two Japanese characters look different: they are drawn, not replaced by the same box") {
    auto a = samples::normal(), b = samples::normal();
    a.customer = "\u8A66";
    b.customer = "\u9A13";
    const auto page = layout_tag(a, TagSize::a6, fonts(), 203).value();
    const outside::Raster first(PdfFile(rendered(a, TagSize::a6)), 203), second(PdfFile(rendered(b, TagSize::a6)), 203);
    REQUIRE(first.width() == second.width());
    int different = 0;
    for (const auto& t : page.texts) {
        if (t.field != "customer") continue;
        for (int y = static_cast<int>(t.box.y * 8); y < static_cast<int>(t.box.bottom() * 8); ++y)
            for (int x = static_cast<int>(t.box.x * 8); x < static_cast<int>(t.box.right() * 8); ++x)
                different += first.dark(x, y) != second.dark(x, y);
    }
    CHECK(different > 20);
}

TEST_CASE("no ink leaves the label, however long the names") {
    auto tag = samples::eventful();
    tag.customer = samples::repeated("Donaudampfschiff", 12);
    tag.concession_reference = samples::repeated("QA-118/", 8);
    for (const auto size : sizes) {
        if (size == TagSize::mm100x50) tag.concession_reference = "QA-118";  // not both at once on the small one
        const PdfFile pdf(rendered(tag, size));
        const outside::Raster dots(pdf, 203);
        const int margin = 8;  // 1 mm
        const int all = dots.ink(0, 0, dots.width(), dots.height());
        CHECK(all > 5000);
        CHECK(all == dots.ink(margin, margin, dots.width() - margin, dots.height() - margin));
        // Every word lies on the page as another program measures it.
        const auto words = outside::run("pdftotext -bbox " + pdf.path() + " -").out;
        const std::regex word("<word xMin=\"([-0-9.]+)\" yMin=\"([-0-9.]+)\" xMax=\"([-0-9.]+)\" yMax=\"([-0-9.]+)\">");
        int count = 0;
        const double width = tag_format(size).width / 25.4 * 72, height = tag_format(size).height / 25.4 * 72;
        for (auto it = std::sregex_iterator(words.begin(), words.end(), word); it != std::sregex_iterator();
             ++it, ++count) {
            const auto number = [&](std::size_t i) { return std::atoi((*it)[i].str().c_str()); };
            CHECK(number(1) >= 0);
            CHECK(number(2) >= 0);
            CHECK(number(3) < width);
            CHECK(number(4) < height);
        }
        CHECK(count > 40);
    }
}
