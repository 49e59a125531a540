// The recovery page, looked at from outside: one sheet, everything inside its edges, groups as they are typed.
#include "reports/recovery_page.h"

#include <cstdlib>
#include <fstream>

#include "tests/reports/audit_sample.h"
#include "tests/reports/outside.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

RecoveryPage sample(PaperSize size, const std::string& language) {
    RecoveryPage page;
    page.size = size;
    page.language = language;
    page.say = samples::shift_paper(size, language).reader.say;
    page.shop = "Corvane Hose Works (invented)";
    page.station = "bench-1";
    page.date = "2026-11-26";
    page.printed_by = "Sela Tarn";
    page.key = "bench-1+12d024dc+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea";
    for (int i = 0; i < 15; ++i)
        page.groups.push_back(std::string("WQM8") + static_cast<char>('A' + i % 8));
    return page;
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t n = 0;
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + what.size()))
        ++n;
    return n;
}

}  // namespace

TEST_CASE("the recovery page is one sheet of either size in either language, with nothing beyond its edges") {
    const auto fonts = FontSet::load(FontSet::built_directory());
    REQUIRE(fonts);
    for (const auto size : {PaperSize::a4, PaperSize::letter})
        for (const char* language : {"en", "de"}) {
            auto page = sample(size, language);
            page.shop =
                "A shop with a name that is far longer than any line of a page can hold, in the end of a long road";
            page.key = std::string(60, 'n') + "+12d024dc+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea";
            const Paper paper = recovery_page_paper(page, *fonts);
            INFO(language);
            REQUIRE(paper.pages.size() == 1);
            for (const auto& text : paper.pages.front().texts) {
                CHECK(text.x >= 10);
                CHECK(text.x + fonts->width(text.text, text.weight) * text.size <= paper.width - 10);
                CHECK(text.base_line < paper.height - 10);
            }
        }
}

TEST_CASE("a reader of PDFs finds every group once, in order, each with its number, and what never to do with them") {
    for (const char* language : {"en", "de"}) {
        const auto page = sample(PaperSize::a4, language);
        const auto bytes = recovery_page_pdf(page);
        REQUIRE(bytes);
        if (const char* keep = std::getenv("CRIMPGATE_KEEP"); keep != nullptr)
            std::ofstream(std::string(keep) + "/recovery-" + language + ".pdf", std::ios::binary) << *bytes;
        const outside::PdfFile pdf(*bytes);
        const auto text = pdf.text("-layout");
        INFO(text);
        CHECK(count(text, "WQM8") == 15);
        CHECK(text.find("13 14 15 WQM8E WQM8F WQM8G") != std::string::npos);
        CHECK(text.find(std::string(language) == "en" ? "Never photograph" : "Nie fotografieren") != std::string::npos);
        CHECK(text.find("crimpgate key restore") != std::string::npos);
        CHECK(text.find(page.key) != std::string::npos);
        CHECK(text.find("recovery.paper") == std::string::npos);  // no code without its sentence
    }
}
