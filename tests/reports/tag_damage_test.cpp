// The signed statement on a tag, printed by a 203 dpi head and then damaged: blots, white and black, over a tenth of
// the symbol. Two readers that are not ours look at it.
//
// Blots stay clear of the three finder patterns in the corners: a symbol that has lost one is no symbol to any reader,
// whatever its level of correction; then the serial in letters and its Code 128 are left. Level H reads all of these, Q
// nearly all, M about half of them; that is why the label takes the sturdiest that it has room for. With blots
// anywhere, finder patterns included, about six of ten are read at H.
#include <cmath>
#include <random>

#include "reports/tag_layout.h"
#include "tests/reports/outside.h"
#include "tests/reports/tag_sample.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

// As long as a statement with a serial of ten characters is; any text of the alphabet reads alike.
std::string statement(std::size_t characters) {
    constexpr std::string_view alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
    std::minstd_rand random(45);
    std::string out = "CG1:";
    while (out.size() < characters)
        out += alphabet[random() % alphabet.size()];
    return out;
}

TagData signed_tag() {
    TagData tag = samples::normal();
    tag.code_payload = statement(160);
    return tag;
}

const PlacedCode& code_of(const PageLayout& page) {
    for (const auto& code : page.codes)
        if (code.field == "qr") return code;
    throw std::logic_error("no 2-D code");
}

// The symbol with its quiet zone and a little more, a byte a dot.
struct Picture {
    int side = 0, quiet = 0;  // dots; `quiet`: from the picture's edge to the symbol
    std::vector<unsigned char> dots;

    Picture(const outside::Raster& raster, const PlacedCode& code) {
        quiet = code.symbol.quiet * code.dots + 12;
        side = code.symbol.columns * code.dots + 2 * quiet;
        for (int y = 0; y < side; ++y)
            for (int x = 0; x < side; ++x) {
                const int inside = 12;  // beyond the quiet zone the label's own words stand
                const bool white = x < inside || y < inside || x >= side - inside || y >= side - inside;
                dots.push_back(!white && raster.dark(code.left_dots - quiet + x, code.top_dots - quiet + y) ? 0 : 255);
            }
    }

    void blot(double share, int blots, int finder_dots, unsigned seed) {
        std::mt19937 random(seed);
        const int low = quiet, high = side - quiet, width = high - low;
        const auto wanted = static_cast<std::size_t>(std::ceil(share * width * width));
        const double radius = std::sqrt(share * width * width / blots / 3.14159);
        std::vector<bool> hit(dots.size());
        std::size_t done = 0;
        while (done < wanted) {
            const auto place = [&] { return low + static_cast<double>(random() % 10000) / 10000 * width; };
            const double cx = place(), cy = place();
            const unsigned char colour = random() % 2 == 0 ? 0 : 255;
            const double near_by = finder_dots + radius;
            const bool left = cx<low + near_by, right = cx> high - near_by;
            const bool top = cy<low + near_by, bottom = cy> high - near_by;
            if ((left && top) || (right && top) || (left && bottom)) continue;
            for (int y = low; y < high; ++y)
                for (int x = low; x < high; ++x) {
                    const auto at = static_cast<std::size_t>(y * side + x);
                    if (std::hypot(x - cx, y - cy) > radius || hit[at] || done >= wanted) continue;
                    hit[at] = true;
                    dots[at] = colour;
                    ++done;
                }
        }
    }

    std::string write(const outside::PdfFile& beside) const {
        const auto file = beside.file("blots.pgm");
        std::ofstream out(file, std::ios::binary);
        out << "P5\n" << side << ' ' << side << "\n255\n";
        out.write(reinterpret_cast<const char*>(dots.data()), static_cast<std::streamsize>(dots.size()));
        return file;
    }
};

bool read_by_either(const std::string& image, const std::string& text) {
    return outside::zbar(image, "qrcode") == text || outside::zxing(image, "QRCode") == text;
}

}  // namespace

TEST_CASE("a signed code has whole dots a module, and the sturdiest correction that its label has room for") {
    const auto tag = signed_tag();
    const auto columns = [&](QrLevel level) { return qr_code(tag.code_payload, level)->columns; };
    REQUIRE(columns(QrLevel::h) > columns(QrLevel::q));
    REQUIRE(columns(QrLevel::q) > columns(QrLevel::m));
    for (const auto size : {TagSize::mm100x150, TagSize::a6, TagSize::mm100x50}) {
        const auto page = layout_tag(tag, size, samples::fonts(), 203);
        REQUIRE(page);
        const auto& code = code_of(*page);
        CHECK(code.symbol.columns == columns(QrLevel::h));
        CHECK(code.dots >= 3);  // 0.375 mm
    }
}

TEST_CASE("a tenth of a signed code may be blotted out on any label: it is still read from a 203 dpi print") {
    const auto tag = signed_tag();
    for (const auto size : {TagSize::mm100x150, TagSize::a6, TagSize::mm100x50}) {
        const auto page = layout_tag(tag, size, samples::fonts(), 203);
        REQUIRE(page);
        const auto& code = code_of(*page);
        const outside::PdfFile pdf(*render_tag(tag, size, samples::fonts(), 203));
        const outside::Raster raster(pdf, 203);
        const Picture whole(raster, code);
        const auto image = whole.write(pdf);
        CHECK(outside::zbar(image, "qrcode") == tag.code_payload);
        CHECK(outside::zxing(image, "QRCode") == tag.code_payload);
        int read = 0, tried = 0;
        for (const int blots : {1, 3, 6})
            for (unsigned seed = 1; seed <= 6; ++seed) {
                Picture picture = whole;
                picture.blot(0.10, blots, 8 * code.dots, seed * 10 + static_cast<unsigned>(blots));
                read += read_by_either(picture.write(pdf), tag.code_payload) ? 1 : 0;
                ++tried;
            }
        INFO("label height " << tag_format(size).height << ": " << read << " of " << tried << " read");
        CHECK(read == tried);
    }
}

TEST_CASE("a shop's link stands on every label in a code of level H or Q, and nearly every blotted one is read") {
    TagData tag = samples::normal();
    tag.code_payload = "HTTPS://RECORDS.OF-A-SHOP.EXAMPLE/C/" + std::string(172, 'A');
    tag.code_fallback = statement(163);
    int read = 0, tried = 0;
    for (const auto size : {TagSize::mm100x150, TagSize::a6, TagSize::mm100x50}) {
        const auto page = layout_tag(tag, size, samples::fonts(), 203);
        REQUIRE(page);
        const auto& code = code_of(*page);
        const auto columns = code.symbol.columns;
        CHECK((columns == qr_code(tag.code_payload, QrLevel::h)->columns ||
               columns == qr_code(tag.code_payload, QrLevel::q)->columns));
        CHECK(code.dots >= 3);  // 0.375 mm
        const outside::PdfFile pdf(*render_tag(tag, size, samples::fonts(), 203));
        const outside::Raster raster(pdf, 203);
        for (unsigned seed = 1; seed <= 6; ++seed) {
            Picture picture(raster, code);
            picture.blot(0.10, 3, 8 * code.dots, seed);
            read += read_by_either(picture.write(pdf), tag.code_payload) ? 1 : 0;
            ++tried;
        }
    }
    INFO(read << " of " << tried);
    CHECK(read >= tried - 1);
}

TEST_CASE("where the shop's link leaves no room for a sturdy code, the statement goes without it") {
    TagData tag = samples::normal();
    tag.code_fallback = statement(160);
    const auto shown = [&](TagSize size) {
        const outside::PdfFile pdf(*render_tag(tag, size, samples::fonts(), 203));
        return outside::zbar(outside::png(pdf, 203), "qrcode");
    };
    tag.code_payload = "HTTPS://A-LONG-NAME-OF-A-SHOP.EXAMPLE/AND-A-PATH/C/" + std::string(190, 'A');
    CHECK(shown(TagSize::mm100x50) == tag.code_fallback);
    tag.code_payload = "HTTPS://SHOP.EXAMPLE/C/" + std::string(140, 'A');
    CHECK(shown(TagSize::mm100x150) == tag.code_payload);
}

TEST_CASE("names of 400 letters still leave every label its signed code") {
    for (const auto size : {TagSize::mm100x150, TagSize::a6, TagSize::mm100x50}) {
        TagData tag = signed_tag();
        tag.customer = samples::repeated("Harvester ", 40);
        const auto page = layout_tag(tag, size, samples::fonts(), 203);
        INFO("label height " << tag_format(size).height);
        REQUIRE(page);
        const auto& code = code_of(*page);
        bool one_of_them = false;
        for (const auto level : {QrLevel::m, QrLevel::q, QrLevel::h})
            one_of_them = one_of_them || code.symbol.dark == qr_code(tag.code_payload, level).value().dark;
        CHECK(one_of_them);
    }
}
