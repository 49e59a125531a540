#include "reports/certificate.h"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

#include "reports/certificate_words.h"
#include "reports/page_layout.h"
#include "tests/reports/certificate_sample.h"
#include "tests/reports/outside.h"
#include "tests/reports/tag_sample.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

const std::string record =
    "{\"format\":\"crimpgate-evidence/1\",\"note\":\"\\u20acnot whole\",\"serials\":[\"A0001M\"]}";

std::string pdf_of(const CertificateData& data, const CertificatePaper& paper) {
    const auto pdf = certificate_pdf(data, paper, record);
    REQUIRE(pdf.has_value());
    return *pdf;
}

std::string without_blanks(const std::string& text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text.compare(i, 2, "\u00A0") == 0) {
            ++i;
            continue;
        }
        if (std::string(" \n\r\t\f").find(text[i]) == std::string::npos) out += text[i];
    }
    return out;
}

// In the order in which it was drawn; of one page, or of all.
std::string drawn(const outside::PdfFile& pdf, int page = 0) {
    const auto options = page == 0 ? std::string() : " -f " + std::to_string(page) + " -l " + std::to_string(page);
    const auto raw = outside::run("pdftotext -raw" + options + " " + pdf.path() + " -");
    REQUIRE(raw.exit_code == 0);
    return without_blanks(raw.out);
}

bool says(const std::string& text, const std::string& what) {
    return text.find(without_blanks(encode_utf8(settable(what, samples::fonts())))) != std::string::npos;
}

bool holds(const std::string& text, const std::string& what) {
    return text.find(what) != std::string::npos;
}

std::string file_bytes(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

// Nothing reaches over the margins, and no two texts of a page stand on each other.
void check_places(const Paper& paper) {
    for (std::size_t n = 0; n < paper.pages.size(); ++n) {
        std::vector<std::pair<Box, std::string>> boxes;
        for (const auto& t : paper.pages[n].texts) {
            const double width = samples::fonts().width(t.text, t.weight) * t.size;
            const Box box{t.x, t.base_line - 0.72 * t.size, width, 0.72 * t.size};
            INFO("page " << n + 1 << ": " << encode_utf8(t.text));
            CHECK(box.x >= 10);
            CHECK(box.right() <= paper.width - 10);
            CHECK(box.y >= 10);
            CHECK(box.bottom() <= paper.height - 5);
            boxes.emplace_back(box, encode_utf8(t.text));
        }
        for (std::size_t a = 0; a < boxes.size(); ++a)
            for (std::size_t b = a + 1; b < boxes.size(); ++b)
                if (boxes[a].first.overlaps(boxes[b].first))
                    FAIL_CHECK("page " << n + 1 << ": \"" << boxes[a].second << "\" on \"" << boxes[b].second << "\"");
    }
}

}  // namespace

TEST_CASE(
    "other programs open a certificate without a word, every font is in it, and its record comes out byte for byte") {
    for (const std::size_t assemblies : {1U, 8U})
        for (const auto* language : {"en", "de"}) {
            const outside::PdfFile pdf(
                pdf_of(samples::certificate(assemblies), samples::certificate_paper(PaperSize::a4, language)));
            const auto checked = outside::run("qpdf --check " + pdf.path() + " 2>&1");
            CHECK(checked.exit_code == 0);
            CHECK(holds(checked.out, "No syntax or stream encoding errors"));
            CHECK_FALSE(holds(checked.out, "WARNING"));
            CHECK(outside::run("pdftotext " + pdf.path() + " " + pdf.file("out.txt") + " 2>&1").out.empty());
            CHECK(outside::run("pdfinfo " + pdf.path() + " 2>&1 >" + pdf.file("info.txt")).out.empty());
            CHECK(holds(file_bytes(pdf.file("out.txt")),
                        language == std::string("en") ? "24\u00B0 cone" : "f\u00FCr Schlauch"));
            const auto mutool = outside::run("mutool info " + pdf.path() + " 2>&1");
            CHECK(mutool.exit_code == 0);
            CHECK_FALSE(holds(mutool.out, "error"));
            CHECK_FALSE(holds(mutool.out, "warning"));
            const auto fonts = outside::run("pdffonts " + pdf.path()).out;
            // One font a row, under the column "emb".
            const auto column = fonts.find("emb");
            std::size_t embedded = 0;
            for (std::size_t at = fonts.find('\n', fonts.find("---")) + 1; at < fonts.size();
                 at = fonts.find('\n', at) + 1, ++embedded)
                CHECK(fonts.substr(at + column, 3) == "yes");
            CHECK(embedded >= 2);

            CHECK(outside::run("pdfdetach -save 1 -o " + pdf.file("out.json") + " " + pdf.path()).exit_code == 0);
            CHECK(file_bytes(pdf.file("out.json")) == record);
            CHECK(holds(outside::run("pdfdetach -list " + pdf.path()).out, "record.json"));
            CHECK(outside::run("qpdf --show-attachment=record.json " + pdf.path()).out == record);
            const auto listed = outside::run("qpdf --list-attachments --verbose " + pdf.path()).out;
            CHECK(holds(listed, "mime type: application/json"));
            // An associated file: the catalog's /AF and the specification's relationship (ISO 32000-2, 14.13).
            const auto objects = outside::run("qpdf --qdf --object-streams=disable " + pdf.path() + " -").out;
            CHECK(holds(objects, "/AFRelationship /Data"));
            CHECK(holds(objects, "/AF ["));
            CHECK(holds(objects, "/Type /Filespec"));
            CHECK(holds(objects, "/Type /EmbeddedFile"));
            CHECK(holds(objects, "/UF (record.json)"));
        }
}

TEST_CASE("the same certificate gives the same bytes") {
    const auto data = samples::certificate(3);
    const auto paper = samples::certificate_paper(PaperSize::letter, "en");
    CHECK(pdf_of(data, paper) == pdf_of(data, paper));
}

TEST_CASE("what ISO/IEC 17050-1 asks a declaration to say stands on it, and on its first page") {
    const auto data = samples::certificate(1);
    const outside::PdfFile pdf(pdf_of(data, samples::certificate_paper(PaperSize::a4, "en")));
    const auto page = drawn(pdf, 1);
    CHECK(says(page, "Declaration of conformity"));
    CHECK(says(page, data.number));                          // a: unique identification
    CHECK(says(page, data.shop + ", " + data.address));      // b: issuer and address
    CHECK(says(page, "serial A0001M"));                      // c: object
    CHECK(says(page, "conform to the requirements below"));  // d: statement
    CHECK(says(page, "Spec row TB-12/P20-S, revision 3"));   // e: requirements
    CHECK(says(page, "tolerances of DIN 20066"));
    CHECK(says(page, "a working pressure of at least 200 bar"));
    CHECK(says(page, "Invented Harbour, 2026-11-25"));  // f: place and date
    CHECK(says(page, "Ruth Adler (QL-01), QC lead"));   // g: name and function
    CHECK(says(page, "Signature"));
    CHECK(says(page, "it certifies no design"));  // h: limitations
    CHECK(says(page, "injection") == false);
    CHECK(says(page, "Oil under pressure goes through skin"));  // R13
    // What the paper alone can be held against.
    CHECK(says(page, data.record_sha256));
    CHECK(says(page, data.record_sha256.substr(0, 16)));
    CHECK(says(page, data.log_root));
    CHECK(says(page, std::to_string(data.log_size)));
    CHECK(says(page, std::to_string(data.assemblies[0].passed_seq - 1)));
}

TEST_CASE("no certificate is ever titled 3.1, and one in its manner says whose word the independence is") {
    for (const auto* language : {"en", "de"})
        for (const auto statement :
             {CertificateStatement::declaration, CertificateStatement::manner_2_2, CertificateStatement::manner_3_1}) {
            auto data = samples::certificate(1);
            data.statement = statement;
            data.independent = statement == CertificateStatement::manner_3_1;
            const auto paper = samples::certificate_paper(PaperSize::a4, language);
            const certificate_words::Words words(data, paper);
            CHECK_FALSE(holds(words.title(), "3.1"));
            CHECK_FALSE(holds(words.title(), "10204"));
            const outside::PdfFile pdf(pdf_of(data, paper));
            const auto page = drawn(pdf, 1);
            CHECK(says(page, words.manner()));
            CHECK((page.find("3.1") != std::string::npos) == (statement == CertificateStatement::manner_3_1));
            CHECK(says(page, language == std::string("en") ? "independent of production." : "unabhängig zu sein.") ==
                  data.independent);
            CHECK_FALSE(holds(outside::run("pdfinfo " + pdf.path()).out, "3.1 CF"));
        }
}

TEST_CASE(
    "R1: a concession stands in plain letters on the first page, with what did not conform and who let it through") {
    const auto seven = samples::certificate(7);
    const auto paper = samples::certificate_paper(PaperSize::a4, "en");
    const auto page = drawn(outside::PdfFile(pdf_of(seven, paper)), 1);
    CHECK(says(page, "CONCESSION: 1 of 7"));
    CHECK(says(page, "A0007M: end A, insertion depth 37.41 (fails)."));
    CHECK(says(page, "Customer's reference: BFM-QA 2026/118."));
    CHECK(says(page, "EXCEPT for what stands under CONCESSION"));
    const auto six = samples::certificate(6);
    CHECK_FALSE(says(drawn(outside::PdfFile(pdf_of(six, paper))), "CONCESSION"));
    // Of many the first page names some and says how many more there are; the table has them all.
    const outside::PdfFile many(pdf_of(samples::certificate(500), paper));
    CHECK(says(drawn(many, 1), "CONCESSION: 71 of 500"));
    CHECK(says(drawn(many, 1), "and 65 more"));
    const auto all = drawn(many);
    std::size_t marked = 0;
    for (std::size_t at = 0; (at = all.find("ONCONCESSION", at)) != std::string::npos; at += 12)
        ++marked;
    CHECK(marked == 71);
}

TEST_CASE("every reading that counts is on the paper with its limits, guard, uncertainty, gauge and proof") {
    const auto data = samples::certificate(1);
    const outside::PdfFile pdf(pdf_of(data, samples::certificate_paper(PaperSize::a4, "en")));
    const auto text = drawn(pdf);
    // Row by row, cell by cell: value, lower, upper, guard, standard uncertainty, margin. Guard: 1.65 x 0.012 = 0.0198.
    CHECK(says(text, "A insertion depth 38.12 37.50 38.50 0.0198 0.012 0.38 conforms CAL-03 311"));
    CHECK(says(text, "mark before the crimp at the shell's edge"));
    CHECK(says(text, "spread of the diameters 0.02"));
    CHECK(says(text, "CAL-03 0.01 2026-03-02 CAL-2026-88 2027-03-01 12"));
    CHECK(says(text, "RING-25 CAL-2026-90 2027-02-01 25.001 25.01 0.009 0.02"));
    CHECK(says(text, "A0001M 430 30 432.5 32 water nothing PM-2 passed"));
    CHECK(says(text, "the machine's designer decides"));
    CHECK(says(text, "Orientation: the order's 270 degrees are within 5 degrees"));
    CHECK(says(text, "lot NH-1187 of 3Q26"));
}

TEST_CASE(
    "of many assemblies each serial has its verdict and least margin, each end its readings, each limit stands once") {
    const auto data = samples::certificate(60);
    const outside::PdfFile pdf(pdf_of(data, samples::certificate_paper(PaperSize::letter, "en")));
    const auto text = drawn(pdf);
    for (const auto& a : data.assemblies) {
        std::size_t rows = 0;
        for (std::size_t at = 0; (at = text.find(a.serial, at)) != std::string::npos; at += a.serial.size())
            ++rows;
        INFO(a.serial);
        CHECK(rows >= 3);
        CHECK(says(text, std::to_string(a.passed_seq - 1)));
    }
    CHECK(says(text, "1 insertion depth 37.50 38.50 0.0198 0.012 CAL-03 12"));
    // A0001M end A: depth, flats 1 and 3, spread, marks.
    CHECK(says(text, "A0001M A 38.12"));
    CHECK(says(text, "37.41 !"));
}

TEST_CASE("R5: the decision rule is named with what it means, whichever it is") {
    const auto paper = samples::certificate_paper(PaperSize::a4, "en");
    auto data = samples::certificate(1);
    CHECK(says(drawn(outside::PdfFile(pdf_of(data, paper)), 1), "Guarded acceptance after ISO 14253-1:2017"));
    data.items[0].row_a.rule = data.items[0].row_b.rule = {RuleKind::simple, 0};
    auto page = drawn(outside::PdfFile(pdf_of(data, paper)), 1);
    CHECK(says(page, "Simple acceptance"));
    CHECK_FALSE(says(page, "Guarded acceptance"));
    // JCGM 106:2012 clause 7: Phi(1) = 84.13 %, Phi(2) = 97.72 %.
    data.items[0].row_a.rule = {RuleKind::guarded, 1000};
    data.items[0].row_b.rule = {RuleKind::guarded, 2000};
    page = drawn(outside::PdfFile(pdf_of(data, paper)), 1);
    CHECK(says(page, "at least 1 times the standard uncertainty"));
    CHECK(says(page, "at least 84 %"));
    CHECK(says(page, "at least 2 times the standard uncertainty"));
    CHECK(says(page, "at least 97 %"));
}

TEST_CASE("a certificate keeps its margins and sets no text on another, for one assembly, sixty and five hundred") {
    for (const std::size_t assemblies : {1U, 60U, 500U})
        for (const auto size : {PaperSize::a4, PaperSize::letter})
            for (const auto* language : {"en", "de"}) {
                const auto paper = samples::certificate_paper(size, language);
                INFO(assemblies << " " << language);
                const auto pages = certificate_paper(samples::certificate(assemblies), paper, samples::fonts());
                check_places(pages);
                CHECK(pages.pages.size() >= 2);
                CHECK(pages.pages.size() <= 2 + assemblies / 5 + 3);
            }
}

TEST_CASE("the customer's page is on the first page as text and as a code that readers decode off any office print") {
    const std::string usual = "https://tags.corvane.example/t/7ZK3QWM0N8R4TVXAB2CDEFGH15",
                      // As long as a configuration lets it be: 60 characters before the token.
        longest = "https://" + std::string(52, 'w') + "/t/7ZK3QWM0N8R4TVXAB2CDEFGH15";
    struct Case {
        std::string address, language, until;
        PaperSize size;
    };
    for (const auto& [address, language, until, size] :
         {Case{usual, "en", "2027-11-25", PaperSize::a4}, Case{usual, "de", "", PaperSize::letter},
          Case{longest, "de", "2027-11-25", PaperSize::a4}, Case{longest, "en", "", PaperSize::letter}}) {
        auto data = samples::certificate(8);
        data.subject = "delivery";
        data.subject_id = "DL-7";
        data.link = CertificateLink{address, until};
        const auto paper = samples::certificate_paper(size, language);
        INFO(address << " " << language << " " << until);
        const auto pages = certificate_paper(data, paper, samples::fonts());
        check_places(pages);
        // Nothing stands on the code or in the white around it, which is 4 modules wide (ISO/IEC 18004).
        const PaperPage* with = nullptr;
        Box code;
        for (const auto& page : pages.pages)
            for (const auto& path : page.paths) {
                if (!path.filled) continue;
                const auto x = path.points[0].x, y = path.points[0].y;
                if (with == nullptr) code = {x, y, 0, 0};
                with = &page;
                const auto right = std::max(code.right(), path.points[2].x),
                           bottom = std::max(code.bottom(), path.points[2].y);
                code.x = std::min(code.x, x);
                code.y = std::min(code.y, y);
                code.width = right - code.x;
                code.height = bottom - code.y;
            }
        REQUIRE(with == &pages.pages[0]);
        const auto symbol = qr_code(address);
        REQUIRE(symbol);
        CHECK(code.width == cqt::Approx(code.height));
        const double module = code.width / symbol->columns;
        CHECK(module >= 0.25);
        const Box white{code.x - 4 * module, code.y - 4 * module, code.width + 8 * module, code.height + 8 * module};
        CHECK(white.right() <= pages.width - 15.9);
        for (const auto& t : with->texts) {
            const double width = samples::fonts().width(t.text, t.weight) * t.size;
            CHECK_FALSE(Box{t.x, t.base_line - 0.72 * t.size, width, t.size}.overlaps(white));
        }
        for (const auto& path : with->paths)
            if (!path.filled)
                for (const auto& p : path.points)
                    CHECK_FALSE(Box{p.x, p.y, 0.1, 0.1}.overlaps(white));

        const outside::PdfFile pdf(pdf_of(data, paper));
        for (const int dpi : {203, 300})
            CHECK(outside::zbar(outside::png(pdf, dpi), "qrcode") == address);
        CHECK(outside::zxing(outside::png(pdf, 300), "QRCode") == address);
        const auto page = drawn(pdf, 1);
        CHECK(says(page, address));
        CHECK(holds(page, "2027-11-25") == !until.empty());
        CHECK(says(page, language == "en" ? "shows this delivery and nothing else" : "zeigt diese Lieferung"));
    }
    // Without a link there is no word of one.
    CHECK_FALSE(
        says(drawn(outside::PdfFile(pdf_of(samples::certificate(1), samples::certificate_paper(PaperSize::a4, "en")))),
             "Scan the code"));
}

TEST_CASE("names that no font has are spelt out on a certificate, and none is dropped") {
    auto data = samples::certificate(1);
    data.customer = "Fj\u00F8rd \u05E9\u05DC & S\u00F8nner";
    data.function = "leads the \U0001F600 room";
    const auto page = drawn(outside::PdfFile(pdf_of(data, samples::certificate_paper(PaperSize::a4, "en"))), 1);
    CHECK(page.find("Fj\u00F8rd[U+05E9][U+05DC]&S\u00F8nner") != std::string::npos);
    CHECK(page.find("leadsthe[U+1F600]room") != std::string::npos);
}

// For whoever wants to look at them: CRIMPGATE_LOOK=/some/folder tests_reports "[.look]"
TEST_CASE("certificates to be looked at", "[.look]") {
    const char* folder = std::getenv("CRIMPGATE_LOOK");
    REQUIRE(folder != nullptr);
    for (const std::size_t assemblies : {1U, 8U, 60U, 500U})
        for (const auto size : {PaperSize::a4, PaperSize::letter})
            for (const std::string language : {"en", "de"}) {
                const auto name = std::string(folder) + "/certificate-" + std::to_string(assemblies) + "-" +
                                  (size == PaperSize::a4 ? "a4-" : "letter-") + language + ".pdf";
                const auto pdf = pdf_of(samples::certificate(assemblies), samples::certificate_paper(size, language));
                std::ofstream(name, std::ios::binary) << pdf;
                CHECK(std::filesystem::file_size(name) == pdf.size());
                auto linked = samples::certificate(assemblies);
                linked.subject = "delivery";
                linked.subject_id = "DL-7";
                linked.link = CertificateLink{"https://tags.corvane.example/t/7ZK3QWM0N8R4TVXAB2CDEFGH15",
                                              size == PaperSize::a4 ? "2027-11-25" : ""};
                std::ofstream(name.substr(0, name.size() - 4) + "-link.pdf", std::ios::binary)
                    << pdf_of(linked, samples::certificate_paper(size, language));
            }
}
