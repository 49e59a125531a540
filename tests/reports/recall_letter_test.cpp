// A recall's letter and list, read back with other programs.
#include "reports/recall_letter.h"

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <regex>

#include "reports/recall_csv.h"
#include "tests/reports/audit_sample.h"
#include "tests/reports/outside.h"
#include "tests/reports/tag_sample.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

RecallLetter sample(PaperSize size, const std::string& language, int lines) {
    RecallLetter letter;
    letter.size = size;
    letter.language = language;
    letter.say = samples::shift_paper(size, language).reader.say;
    letter.shop = "Kestrel Yard Hydraulics (invented)";
    letter.customer = "Fennick Harvesters (invented)";
    letter.recall = "RC-2";
    letter.date = "2026-11-25";
    letter.reason = "The cover of hose lot R1180 splits within weeks.";
    letter.written_by = "Tobin Rask";
    letter.station = "bench-1";
    letter.upto_seq = 18342;
    letter.list_sha256 = "3f9a0c1be27d" + std::string(52, '0');
    for (int i = 0; i < lines; ++i)
        letter.lines.push_back({"K1-" + std::to_string(10'000 + i), "FH-7731", "WO-2041", "R1180", "DL-7", "LS-4711",
                                "2026-11-20", "Works gate 2"});
    return letter;
}

std::string made(const RecallLetter& letter) {
    const auto pdf = recall_letter_pdf(letter);
    REQUIRE(pdf.has_value());
    // For whoever wants to look at it.
    if (const char* keep = std::getenv("CRIMPGATE_KEEP"); keep != nullptr)
        std::ofstream(std::string(keep) + "/recall-" + letter.language + "-" + std::to_string(letter.lines.size()) +
                          (letter.size == PaperSize::a4 ? "-a4.pdf" : "-letter.pdf"),
                      std::ios::binary)
            << *pdf;
    return *pdf;
}

std::size_t pages_of(const outside::PdfFile& pdf) {
    const auto info = outside::run("pdfinfo " + pdf.path()).out;
    const auto at = info.find("Pages:");
    REQUIRE(at != std::string::npos);
    return static_cast<std::size_t>(std::strtoul(info.c_str() + at + 6, nullptr, 10));
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t n = 0;
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + what.size()))
        ++n;
    return n;
}

}  // namespace

TEST_CASE("R12, R13: a recall's letter says to whom, why, which, where they went, what to do and what is dangerous") {
    for (const auto& [size, page] : {std::pair{PaperSize::a4, "595.276 x 841.89"}, {PaperSize::letter, "612 x 792"}}) {
        const outside::PdfFile pdf(made(sample(size, "en", 12)));
        CHECK(outside::run("qpdf --check " + pdf.path()).exit_code == 0);
        CHECK(outside::run("pdfinfo " + pdf.path()).out.find(page) != std::string::npos);
        const auto text = pdf.text();
        INFO(text);
        for (const char* part : {"Recall RC-2",
                                 "Fennick Harvesters (invented)",
                                 "Kestrel Yard Hydraulics",
                                 "2026-11-25",
                                 "Tobin Rask",
                                 "You have 12 hose assemblies",
                                 "The cover of hose lot R1180 splits within weeks.",
                                 "take the pressure off",
                                 "do not use it again",
                                 "until we collect it",
                                 "WARNING",
                                 "Never feel for a leak with your hand",
                                 "The machine maker's instructions, local codes and licensed practice come first",
                                 "K1-10000",
                                 "K1-10011",
                                 "DL-7",
                                 "LS-4711",
                                 "2026-11-20",
                                 "Works gate 2",
                                 "bench-1",
                                 "18342",
                                 "3f9a0c1be27d"}) {
            INFO(part);
            CHECK(text.find(part) != std::string::npos);
        }
        // Nothing was left as a code.
        CHECK(text.find("recall.paper") == std::string::npos);
        // What is dangerous stands on the first page, before the list.
        const auto first = pdf.text("-l 1");
        CHECK(first.find("WARNING") != std::string::npos);
        CHECK(text.find("WARNING") < text.find("K1-10000"));
    }
}

TEST_CASE("every font of a recall's letter is embedded") {
    const outside::PdfFile pdf(made(sample(PaperSize::a4, "en", 3)));
    const auto fonts = outside::run("pdffonts " + pdf.path()).out;
    INFO(fonts);
    const std::regex embedded(R"(\byes +(yes|no) +(yes|no) +\d+ +\d+ *$)");
    std::size_t seen = 0;
    for (auto at = fonts.find('\n', fonts.find('\n') + 1) + 1; at < fonts.size(); at = fonts.find('\n', at) + 1, ++seen)
        CHECK(std::regex_search(fonts.substr(at, fonts.find('\n', at) - at), embedded));
    CHECK(seen >= 2);
}

TEST_CASE("a letter of 700 assemblies has each serial once, and says on every page which of how many it is") {
    const outside::PdfFile pdf(made(sample(PaperSize::a4, "en", 700)));
    const auto pages = pages_of(pdf);
    REQUIRE(pages > 3);
    const auto text = pdf.text();
    for (int i = 0; i < 700; ++i)
        CHECK(count(text, "K1-" + std::to_string(10'000 + i)) == 1);
    for (std::size_t page = 1; page <= pages; ++page) {
        const auto n = std::to_string(page);
        CHECK(pdf.text("-f " + n + " -l " + n).find("page " + n + " of " + std::to_string(pages)) != std::string::npos);
    }
}

TEST_CASE("the letter speaks German to whoever reads German") {
    const auto text = outside::PdfFile(made(sample(PaperSize::a4, "de", 2))).text();
    INFO(text);
    for (const char* part :
         {"Rückruf RC-2", "WARNUNG", "Druck ablassen", "Nie mit der Hand nach einem Leck tasten", "Seite 1 von"})
        CHECK(text.find(part) != std::string::npos);
    CHECK(text.find("recall.paper") == std::string::npos);
}

TEST_CASE("a letter from a copy of the record says that it was not entered in it") {
    auto letter = sample(PaperSize::letter, "en", 1);
    letter.recall.clear();
    const auto text = outside::PdfFile(made(letter)).text();
    CHECK(text.find("from a copy of the record") != std::string::npos);
    CHECK(text.find("not entered in it") != std::string::npos);
    CHECK(text.find("RC-") == std::string::npos);
}

TEST_CASE("names that no font has and very long ones do not break a recall's letter") {
    auto letter = sample(PaperSize::a4, "en", 2);
    letter.customer = "\u05E9 & Sons, " + std::string(300, 'W');
    letter.reason = std::string(600, 'x') + " \xFF";
    letter.lines[0].to = std::string(200, 'y');
    const outside::PdfFile pdf(made(letter));
    CHECK(outside::run("qpdf --check " + pdf.path()).exit_code == 0);
    CHECK(pdf.text().find("[U+05E9]") != std::string::npos);
}

TEST_CASE("a recall's CSV is RFC 4180 with a head, exact lengths, and no cell that a spreadsheet would compute") {
    CHECK(recall_csv_head().starts_with("\xEF\xBB\xBFserial,order,customer,"));
    CHECK(recall_csv_head().ends_with("\r\n"));
    RecallRow row;
    row.serial = "K1-1";
    row.order = "=1+1";
    row.customer = "Smith, \"Jones\" (invented)";
    row.to = "@gate";
    row.margin_nm = -1'234'500;
    row.margin_place = 3;
    row.spread_nm = 120'000;
    row.started_ms = 1'795'591'800'123;
    const auto text = recall_csv_row(row);
    INFO(text);
    CHECK(text.starts_with("K1-1,'=1+1,\"Smith, \"\"Jones\"\" (invented)\","));
    CHECK(text.find(",'@gate,") != std::string::npos);
    CHECK(text.find(",-1.2345,") != std::string::npos);
    CHECK(text.find(",0.12,") != std::string::npos);
    CHECK(text.find(",2026-11-25T07:30:00.123Z,") != std::string::npos);
    // As many cells as the head has: none of these but the customer's holds a comma.
    const auto commas = [](const std::string& line) { return std::count(line.begin(), line.end(), ','); };
    CHECK(commas(text) == commas(recall_csv_head()) + 1);
    row.margin_nm.reset();
    CHECK(recall_csv_row(row).find("-1.2345") == std::string::npos);
}
