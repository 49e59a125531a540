#include "reports/audit_pdf.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <regex>

#include "reports/audit/cell_message.h"
#include "reports/audit_pdf_chart.h"
#include "reports/audit_pdf_table.h"
#include "reports/page_layout.h"
#include "tests/reports/audit_sample.h"
#include "tests/reports/outside.h"
#include "tests/reports/tag_sample.h"
#include "tests/support/build_folder.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

std::string pdf_of(const audit::Audit& shift, const AuditPaper& paper) {
    const auto pdf = audit_pdf(shift, paper);
    REQUIRE(pdf.has_value());
    return *pdf;
}

// Without anything that a reader of the PDF may part or join words with.
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

// The text in the order in which it was drawn, which is row by row and cell by cell.
std::string drawn(const outside::PdfFile& pdf) {
    const auto raw = outside::run("pdftotext -raw " + pdf.path() + " -");
    REQUIRE(raw.exit_code == 0);
    return without_blanks(raw.out);
}

std::string info(const outside::PdfFile& pdf, const std::string& name) {
    const auto all = outside::run("pdfinfo " + pdf.path()).out;
    const auto at = all.find(name + ":");
    if (at == std::string::npos) return {};
    const auto from = all.find_first_not_of(' ', at + name.size() + 1);
    return all.substr(from, all.find('\n', from) - from);
}

std::size_t pages_of(const outside::PdfFile& pdf) {
    std::size_t out = 0;
    for (const char c : info(pdf, "Pages"))
        out = out * 10 + static_cast<std::size_t>(c - '0');
    return out;
}

// How a text is set on paper.
std::string set(const std::string& text) {
    return without_blanks(encode_utf8(settable(text, samples::fonts())));
}

// Each stretch of cells that stands in one part of a sheet's table, in order; parts go on below each other.
std::vector<std::vector<std::size_t>> parts_of(const audit::Sheet& sheet, const AuditPaper& paper) {
    const auto table = paper_table(sheet, sheet.rows.size(), paper.reader);
    Paper blank = blank_paper(paper.size);
    const PaperWriter writer(blank, samples::fonts());
    std::vector<std::vector<std::size_t>> out;
    for (const auto& part : table_parts(writer, table))
        out.push_back(part.columns);
    return out;
}

// Nothing reaches over the margins, and no two texts of a page stand on each other.
void check_places(const Paper& paper) {
    for (std::size_t n = 0; n < paper.pages.size(); ++n) {
        const auto& page = paper.pages[n];
        std::vector<std::pair<Box, std::string>> boxes;
        for (const auto& t : page.texts) {
            const double width = samples::fonts().width(t.text, t.weight) * t.size;
            const Box box{t.x, t.base_line - 0.72 * t.size, width, 0.72 * t.size};
            INFO("page " << n + 1 << ": " << encode_utf8(t.text));
            CHECK(box.x >= 10);
            CHECK(box.right() <= paper.width - 10);
            CHECK(box.y >= 10);
            CHECK(box.bottom() <= paper.height - 5);
            // Letters above the points of a chart may touch; single letters and arrows are those.
            if (t.text.size() > 1) boxes.emplace_back(box, encode_utf8(t.text));
        }
        for (std::size_t a = 0; a < boxes.size(); ++a)
            for (std::size_t b = a + 1; b < boxes.size(); ++b)
                if (boxes[a].first.overlaps(boxes[b].first))
                    FAIL_CHECK("page " << n + 1 << ": \"" << boxes[a].second << "\" on \"" << boxes[b].second << "\"");
        for (const auto* paths : {&page.under, &page.paths})
            for (const auto& path : *paths)
                for (const auto& p : path.points) {
                    CHECK(p.x >= 10);
                    CHECK(p.x <= paper.width - 10);
                    CHECK(p.y >= 5);
                    CHECK(p.y <= paper.height - 5);
                }
    }
}

}  // namespace

TEST_CASE("every cell of every sheet of a shift stands on the paper, in its row, digit by digit") {
    const auto shift = samples::shift_audit();
    for (const std::string language : {"en", "de"}) {
        const auto paper = samples::shift_paper(PaperSize::a4, language);
        const outside::PdfFile pdf(pdf_of(shift, paper));
        const auto text = drawn(pdf);
        std::size_t rows = 0;
        for (const auto& sheet : shift.sheets) {
            if (sheet.id == "made") {
                for (std::size_t c = 0; c < sheet.columns.size(); ++c)
                    CHECK(text.find(set(audit::column_title(sheet.columns[c], paper.reader))) != std::string::npos);
                for (std::size_t c = 0; c < sheet.columns.size(); ++c)
                    CHECK(text.find(set(audit::shown_cell(sheet.columns[c], sheet.rows[0][c], paper.reader))) !=
                          std::string::npos);
                continue;
            }
            std::size_t at = text.find(set(audit::sheet_title(sheet, paper.reader)));
            INFO(language << ", " << sheet.id);
            REQUIRE(at != std::string::npos);
            for (const auto& part : parts_of(sheet, paper)) {
                for (const auto& row : sheet.rows) {
                    std::string line;
                    for (const auto c : part)
                        line += set(audit::shown_cell(sheet.columns[c], row[c], paper.reader));
                    INFO(line);
                    at = text.find(line, at);
                    REQUIRE(at != std::string::npos);
                    at += line.size();
                    ++rows;
                }
            }
        }
        CHECK(rows > 110);
    }
    // The decimal sign is all that differs between the languages' figures.
    const audit::Reader german = samples::shift_paper(PaperSize::a4, "de").reader;
    CHECK(audit::shown_cell({"mean_mm", audit::Cell::length}, "26.1041", german) == "26,1041");
}

TEST_CASE("an audit's PDF is sound, has the size asked for, and its fonts with it") {
    const auto shift = samples::shift_audit();
    const std::pair<PaperSize, std::string> sizes[] = {{PaperSize::a4, "595.276 x 841.89 pts (A4)"},
                                                       {PaperSize::letter, "612 x 792 pts (letter)"}};
    for (const auto& [size, words] : sizes) {
        const outside::PdfFile pdf(pdf_of(shift, samples::shift_paper(size, "en")));
        CHECK(outside::run("qpdf --check " + pdf.path()).exit_code == 0);
        CHECK(info(pdf, "Page size") == words);
        CHECK(info(pdf, "Title") == "Audit of shift 2026-11-25/1");
        CHECK(info(pdf, "CreationDate").empty());
        const auto fonts = outside::run("pdffonts " + pdf.path()).out;
        INFO(fonts);
        std::size_t seen = 0;
        std::size_t line_at = fonts.find('\n', fonts.find('\n') + 1) + 1;  // below the head and its rule
        const std::regex embedded(R"(\byes +(yes|no) +(yes|no) +\d+ +\d+ *$)");
        for (; line_at < fonts.size(); line_at = fonts.find('\n', line_at) + 1, ++seen)
            CHECK(std::regex_search(fonts.substr(line_at, fonts.find('\n', line_at) - line_at), embedded));
        CHECK(seen >= 2);
    }
    CHECK(pdf_of(shift, samples::shift_paper(PaperSize::a4, "en")) ==
          pdf_of(shift, samples::shift_paper(PaperSize::a4, "en")));
}

TEST_CASE("every page says which it is of how many, and which record it was printed from") {
    const auto shift = samples::shift_audit();
    const outside::PdfFile pdf(pdf_of(shift, samples::shift_paper(PaperSize::letter, "en")));
    const auto pages = pages_of(pdf);
    REQUIRE(pages > 4);
    CHECK(pages == audit_paper(shift, samples::shift_paper(PaperSize::letter, "en"), samples::fonts()).pages.size());
    for (std::size_t n = 1; n <= pages; ++n) {
        const auto text = pdf.text(fmt::format("-f {} -l {}", n, n));
        INFO(text);
        CHECK(text.find(fmt::format("Page {} of {}", n, pages)) != std::string::npos);
        CHECK(text.find("Printed from the record of station K1 up to entry 18342, hash 3f9a0c1be27d8441") !=
              std::string::npos);
    }
    const auto first = pdf.text("-f 1 -l 1");
    CHECK(first.find(shift.journal.last_hash) != std::string::npos);
    for (const char* words :
         {"Kestrel Yard Hydraulics", "2026-11-25/1", "QL-01 Ruth Adler", "Europe/Berlin", "sound up to entry 18342"}) {
        INFO(words);
        CHECK(first.find(words) != std::string::npos);
    }
}

TEST_CASE("R13: the usual cautions stand on the first page, and that the makers' instructions come first") {
    const auto first =
        outside::PdfFile(pdf_of(samples::shift_audit(), samples::shift_paper(PaperSize::a4, "en"))).text("-f 1 -l 1");
    CHECK(first.find("Oil under pressure goes through skin") != std::string::npos);
    CHECK(first.find("The makers' instructions, local codes and licensed practice come first.") != std::string::npos);
    CHECK(first.find("certifies no design") != std::string::npos);
}

TEST_CASE("a damaged record is told on the first page, and an unverified one is not called sound") {
    auto shift = samples::shift_audit();
    shift.journal.damage = message("journal.damaged").with("seq", "12");
    const auto paper = samples::shift_paper(PaperSize::a4, "en");
    CHECK(outside::PdfFile(pdf_of(shift, paper)).text("-f 1 -l 1").find("THE RECORD IS DAMAGED") != std::string::npos);
    shift.journal.damage.reset();
    shift.journal.verified_seq = 0;
    const auto first = outside::PdfFile(pdf_of(shift, paper)).text("-f 1 -l 1");
    CHECK(first.find("not read through; have it done") != std::string::npos);
    CHECK(first.find("sound up to") == std::string::npos);
}

TEST_CASE("R9: the paper says who signed off at the station and when, or that nobody has, and has room for a pen") {
    auto shift = samples::shift_audit();
    const auto paper = samples::shift_paper(PaperSize::a4, "en");
    const auto signed_text = outside::PdfFile(pdf_of(shift, paper)).text();
    CHECK(signed_text.find("Shift 2026-11-25/1 was signed off at the station by QL-01 Ruth Adler on 2026-11-25 "
                           "16:15:15, for the record up to entry 18342.") != std::string::npos);
    CHECK(signed_text.find("QC lead (name)") != std::string::npos);
    CHECK(signed_text.find("Auditor (name)") != std::string::npos);
    for (auto& sheet : shift.sheets)
        if (sheet.id == "shifts") sheet.rows[0][3].clear();
    CHECK(outside::PdfFile(pdf_of(shift, paper)).text().find("Nobody has signed this off") != std::string::npos);
}

TEST_CASE("nothing stands on anything else or over an edge, on either paper, in either language") {
    const auto shift = samples::shift_audit();
    for (const auto size : {PaperSize::a4, PaperSize::letter})
        for (const std::string language : {"en", "de"}) {
            INFO(language);
            check_places(audit_paper(shift, samples::shift_paper(size, language), samples::fonts()));
        }
}

TEST_CASE("long names, other scripts and hostile text neither overflow nor break the paper, and are all on it") {
    auto shift = samples::shift_audit();
    const auto texts = samples::hostile_texts();
    audit::Sheet sheet{"remarks",
                       {{"n", audit::Cell::count},
                        {"remark", audit::Cell::text},
                        {"what", audit::Cell::message},
                        {"mean_mm", audit::Cell::length}},
                       {},
                       {}};
    for (std::size_t i = 0; i < texts.size(); ++i)
        sheet.rows.push_back({std::to_string(i), texts[i], texts[i], texts[i].substr(0, 3000)});
    shift.sheets = {sheet};
    shift.title = texts.back().substr(0, 900);
    shift.scope = {};
    shift.scope.customer = texts.front();
    shift.scope.hose_lot = texts[texts.size() - 2];
    shift.charts[1].stream = texts.back().substr(0, 700);
    for (std::size_t i = 0; i < texts.size(); ++i) {
        shift.charts[1].points[i].value = texts[i];  // no number: no point
        shift.charts[1].points[i + 30].signals.push_back(texts[i].substr(0, 200));
        shift.charts[0].points.push_back({texts[i].substr(0, 300), 0, 0, texts[i].substr(0, 300), "", {}, false});
    }
    auto paper = samples::shift_paper(PaperSize::letter, "en");
    paper.shop = texts[texts.size() - 2];
    const outside::PdfFile pdf(pdf_of(shift, paper));
    CHECK(outside::run("qpdf --check " + pdf.path()).exit_code == 0);
    const auto pages = audit_paper(shift, paper, samples::fonts());
    check_places(pages);
    // The long texts are whole, over as many pages as they take.
    const auto text = drawn(pdf);
    CHECK(text.find("word0") != std::string::npos);
    for (int i = 0; i < 3000; i += 97)
        CHECK(text.find(fmt::format("word{}", i)) != std::string::npos);
    CHECK(text.find("[U+05E9][U+05DC]") != std::string::npos);
    CHECK(text.find("[U+1F600]smile") != std::string::npos);
    CHECK(text.find("broken[0xFF][0xC3]bytes") != std::string::npos);
    CHECK(text.find("試験工業株式会社") != std::string::npos);
}

TEST_CASE("a sheet of very many rows says how many are not on the paper") {
    auto shift = samples::shift_audit();
    auto paper = samples::shift_paper(PaperSize::a4, "en");
    paper.longest_sheet = 40;
    const auto text = outside::PdfFile(pdf_of(shift, paper)).text();
    CHECK(text.find("The first 40 of 96 rows") != std::string::npos);
    CHECK(text.find("17509") != std::string::npos);  // row 40
    CHECK(text.find("17522") == std::string::npos);  // row 41
}

TEST_CASE("an audit of nothing is a paper of one page, not a fault") {
    audit::Audit nothing;
    nothing.title = "2026-11-29/2";
    const auto pdf = audit_pdf(nothing, {});
    REQUIRE(pdf.has_value());
    CHECK(pages_of(outside::PdfFile(*pdf)) == 1);
    audit::Audit one = samples::shift_audit();
    for (auto& chart : one.charts)
        chart.points.resize(1);
    for (auto& sheet : one.sheets)
        sheet.rows.resize(std::min<std::size_t>(sheet.rows.size(), sheet.id == "made" ? 1 : 0));
    check_places(audit_paper(one, samples::shift_paper(PaperSize::a4, "en"), samples::fonts()));
}

TEST_CASE("an axis has ticks at whole steps of 1, 2 or 5, with the decimals that tell them apart") {
    const auto band = axis_ticks(25.987, 26.213);
    REQUIRE(band.at.size() == 5);
    CHECK(band.places == 2);
    CHECK(band.at.front() == cqt::Approx(26.0));
    CHECK(band.at.back() == cqt::Approx(26.2));
    CHECK(axis_ticks(0, 0.0707).places == 2);
    CHECK(axis_ticks(0, 1000).places == 0);
    CHECK(axis_ticks(1, 1).at.empty());
    for (double width = 1e-6; width < 1e6; width *= 1.37) {
        const auto ticks = axis_ticks(-width / 3, width);
        INFO(width);
        CHECK(ticks.at.size() >= 3);
        CHECK(ticks.at.size() <= 9);
    }
}

TEST_CASE("the sample's papers, for somebody to look at", "[.look]") {
    const std::string folder = build_folder() + "/audit_papers";
    std::filesystem::create_directories(folder);
    for (const std::string language : {"en", "de"}) {
        const auto size = language == "en" ? PaperSize::a4 : PaperSize::letter;
        std::ofstream(folder + "/shift_" + language + ".pdf", std::ios::binary)
            << pdf_of(samples::shift_audit(), samples::shift_paper(size, language));
    }
    CHECK(std::filesystem::exists(folder + "/shift_de.pdf"));
}
