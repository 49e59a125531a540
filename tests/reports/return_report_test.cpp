#include "reports/return_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "reports/page_layout.h"
#include "tests/reports/audit_sample.h"
#include "tests/reports/outside.h"
#include "tests/reports/tag_sample.h"
#include "tests/specs/failure_kit.h"
#include "tests/support/build_folder.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using samples::seen;

namespace {

ReturnPaper paper_of(PaperSize size, const std::string& language) {
    const auto audit = samples::shift_paper(size, language);
    ReturnPaper out;
    out.size = size;
    out.reader = audit.reader;
    out.shop = audit.shop;
    out.made_by = audit.made_by;
    out.station = "K1";
    out.made_ms = 1'795'615'000'000;
    out.last_seq = 18342;
    out.last_hash = "3f9a0c1be27d44aa90b1";
    return out;
}

// A fitting that came off with a crimp at its upper limit.
ReturnReport came_off() {
    ReturnReport r;
    r.number = "R-0042";
    r.serial = "K1000006T";
    r.described = "EN 853 2SN -8, 24 deg cone 16S at both ends, 1000 mm";
    r.customer = "Marwick Quarries";
    r.order = "O-118";
    r.opened_ms = 1'795'600'000'000;
    r.concluded_ms = 1'795'614'000'000;
    r.concluded_by = "QL-01 Ruth Adler";
    r.remark = "The set-up of that morning is to be looked at.";
    r.answers = seen("hurt=yes place=came_off end=b wires=whole cover=unhurt grip=shallow_full mark=not_known");
    ReturnEvidence evidence{samples::good_record(), samples::good_application(), {}};
    evidence.record.proof_test.reset();
    evidence.record.ends[1].crimps[0].reading.value = Length::from_um(25695);
    evidence.measured = {{"b", {{1, {25720_um, 25300_um, 25700_um}, {}}}, 400_um, 1000_um}};
    evidence.application.twist_degrees.reset();
    r.ranking = rank_causes(r.answers, evidence);
    r.record = {{"Crimp B, flat 1", "25.695 mm (25.300 to 25.700)"}, {"Gauge", "CAL-1, proved before and after"}};
    r.measured = {{"Crimp B, flat 1", "25.720 mm"}};
    r.siblings = {{SiblingGroup::setup, "D-26, S-7", 3, {"K10000014", "K10000022", "K1000005V"}},
                  {SiblingGroup::hose_lot, "NH-3Q26-1187", 75, {}},
                  {SiblingGroup::fitting_lot, "", std::nullopt, {}}};
    for (int i = 0; i < 75; ++i)
        r.siblings[1].serials.push_back(fmt::format("K10001{:03}", i));
    return r;
}

// A clean burst of a hose whose record is without a fault.
ReturnReport burst() {
    ReturnReport r;
    r.number = "R-0043";
    r.serial = "K10000022";
    r.answers = seen("hurt=no place=body opening=clean_one wires=whole cover=unhurt pressure=relief_bad");
    r.ranking = rank_causes(r.answers, {samples::good_record(), {}, {}});
    return r;
}

std::string text_of(const ReturnReport& report, const ReturnPaper& paper, const std::string& options = "") {
    const auto pdf = return_report_pdf(report, paper);
    REQUIRE(pdf.has_value());
    const outside::PdfFile file(*pdf);
    REQUIRE(outside::run("qpdf --check " + file.path()).exit_code == 0);
    return file.text(options);
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

bool stands(const std::string& text, const std::string& words) {
    return without_blanks(text).find(without_blanks(words)) != std::string::npos;
}

// Nothing reaches over the margins, and no two texts of a page stand on each other.
void check_places(const Paper& paper) {
    for (std::size_t n = 0; n < paper.pages.size(); ++n) {
        std::vector<std::pair<Box, std::string>> boxes;
        for (const auto& t : paper.pages[n].texts) {
            const Box box{t.x, t.base_line - 0.72 * t.size, samples::fonts().width(t.text, t.weight) * t.size,
                          0.72 * t.size};
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

TEST_CASE("every cause, every line of its sum and every sentence of a return stands on its paper, in either language") {
    const auto report = came_off();
    for (const std::string language : {"en", "de"}) {
        const auto paper = paper_of(PaperSize::a4, language);
        const auto pdf = return_report_pdf(report, paper);
        REQUIRE(pdf.has_value());
        const outside::PdfFile file(*pdf);
        const auto raw = outside::run("pdftotext -raw " + file.path() + " -").out;
        const auto word = [&](std::string_view code) { return paper.reader.say(Message{std::string(code), {}}); };
        for (const auto& mode : report.ranking.modes) {
            INFO(language << " " << mode.mode->id);
            CHECK(stands(raw, word(mode.mode->words)));
            for (const auto& line : mode.lines) {
                INFO(line.what.code);
                CHECK(word(line.what.code).find("returned.") == std::string::npos);
                CHECK(stands(raw, paper.reader.say(line.what)));
            }
        }
        for (const auto& m : report.ranking.unknown)
            CHECK(stands(raw, paper.reader.say(m)));
        for (const auto code : report.ranking.open_questions)
            CHECK(stands(raw, word(find_question(code)->words)));
        CHECK(stands(raw, paper.reader.say(report.ranking.record_sentence)));
        CHECK(stands(raw, paper.reader.say(report.ranking.conclusion)));
        CHECK(raw.find("returned.") == std::string::npos);  // no code without its sentence
        CHECK(raw.find('{') == std::string::npos);          // and no hole left open
    }
}

TEST_CASE("the sums of the ranking are those of its lines, and what speaks against has its minus sign") {
    const auto report = came_off();
    const auto& first = report.ranking.modes[0];
    REQUIRE(first.mode->id == "crimp_too_large");
    // +3 came off, +6 shallow marks; record +3 near its limit, +1 apart from its siblings, -1 small spread;
    // measured +6 over its limit, 0 mark.
    CHECK(first.points_of(LineOf::symptom) == 9);
    CHECK(first.points_of(LineOf::record) == 3);
    CHECK(first.points_of(LineOf::measured) == 6);
    const auto text = text_of(report, paper_of(PaperSize::a4, "en"), "-layout");
    CHECK(text.find("= +18") != std::string::npos);
    CHECK(text.find("\u22121 ") != std::string::npos);
    CHECK(text.find(" -1 ") == std::string::npos);
}

TEST_CASE("R13: the cautions stand on the first page before the ranking, with the evidence to be kept first") {
    const auto first = text_of(came_off(), paper_of(PaperSize::a4, "en"), "-f 1 -l 1");
    const auto evidence = first.find("keep the hose, its fittings and the oil as they are");
    const auto injection = first.find("Oil under pressure goes through skin");
    const auto ranking = first.find("Likely causes, ranked");
    REQUIRE(evidence != std::string::npos);
    REQUIRE(injection != std::string::npos);
    REQUIRE(ranking != std::string::npos);
    CHECK(evidence < injection);
    CHECK(injection < ranking);
    CHECK(first.find("local codes and licensed practice come first") != std::string::npos);
    CHECK(first.find("whips") != std::string::npos);
    CHECK(first.find("crush hands") != std::string::npos);
    CHECK(first.find("Hot oil burns") != std::string::npos);
    const auto unhurt = text_of(burst(), paper_of(PaperSize::a4, "en"), "-f 1 -l 1");
    CHECK(unhurt.find("keep the hose") == std::string::npos);
    CHECK(unhurt.find("Oil under pressure goes through skin") != std::string::npos);
}

TEST_CASE("a record without a fault is said to speak against a crimping fault as plainly as one that has one") {
    const auto good = text_of(burst(), paper_of(PaperSize::letter, "en"));
    CHECK(good.find("The record speaks against a crimping fault.") != std::string::npos);
    CHECK(good.find("Measure the pressure with its spikes") != std::string::npos);
    const auto bad = text_of(came_off(), paper_of(PaperSize::letter, "en"));
    CHECK(bad.find("speaks for a crimping fault.") != std::string::npos);
    CHECK(bad.find("make a new set-up piece before the next crimp") != std::string::npos);
}

TEST_CASE("siblings at risk stand with their reason, their number and serials, or that the record cannot tell") {
    const auto report = came_off();
    auto paper = paper_of(PaperSize::a4, "en");
    const auto text = text_of(report, paper, "-raw");
    CHECK(stands(text, "Same die set and set-up: D-26, S-7"));
    CHECK(stands(text, "pressed with the same die set at the same set-up."));
    CHECK(stands(text, "K10000014, K10000022, K1000005V"));
    CHECK(stands(text, "(the first 60 of 75)"));
    CHECK_FALSE(stands(text, "K10001060"));
    CHECK(stands(text, "the record cannot tell"));
    paper.most_serials = 100;
    CHECK(stands(text_of(report, paper, "-raw"), "K10001074"));
}

TEST_CASE("an unknown hose, a return that says nothing and answers that contradict each other have their paper too") {
    const auto paper = paper_of(PaperSize::a4, "en");
    ReturnReport unknown;
    unknown.number = "R-1";
    unknown.described = "printed EN 853 2SN, no tag";
    unknown.ranking = rank_causes({}, {});
    const auto text = text_of(unknown, paper);
    CHECK(text.find("Unknown hose: not in the record of this station") != std::string::npos);
    CHECK(text.find("Nothing that was seen points to a cause.") != std::string::npos);
    CHECK(text.find("No question has been answered.") != std::string::npos);
    CHECK(text.find("No cause is likely enough to act on.") != std::string::npos);
    check_places(return_report_paper(unknown, paper, samples::fonts()));
    ReturnReport torn;
    torn.number = "R-2";
    torn.answers = seen("place=body opening=clean_one wires=broken_random");
    torn.ranking = rank_causes(torn.answers, {});
    const auto said = text_of(torn, paper);
    CHECK(said.find("These answers can hardly both be true") != std::string::npos);
    CHECK(said.find("One clean burst / Many broken at random along the hose") != std::string::npos);
}

TEST_CASE("every page says which return, which station and up to which entry the record was read") {
    const auto report = came_off();
    const auto paper = paper_of(PaperSize::a4, "en");
    const auto pages = return_report_paper(report, paper, samples::fonts()).pages.size();
    REQUIRE(pages >= 2);
    for (std::size_t n = 1; n <= pages; ++n) {
        const auto page = text_of(report, paper, fmt::format("-f {0} -l {0}", n));
        CHECK(page.find("Return R-0042, station K1, record up to entry 18342, hash 3f9a0c1be27d44aa") !=
              std::string::npos);
        CHECK(page.find(fmt::format("{} of {}", n, pages)) != std::string::npos);
    }
    CHECK(return_report_pdf(report, paper).value() == return_report_pdf(report, paper).value());
}

TEST_CASE("a return's paper has nothing on anything else or over an edge, on either size, in either language") {
    for (const auto size : {PaperSize::a4, PaperSize::letter})
        for (const std::string language : {"en", "de"}) {
            INFO(language);
            check_places(return_report_paper(came_off(), paper_of(size, language), samples::fonts()));
            check_places(return_report_paper(burst(), paper_of(size, language), samples::fonts()));
        }
}

TEST_CASE("hostile and endless names neither overflow nor break a return's paper") {
    auto report = came_off();
    const auto texts = samples::hostile_texts();
    report.described = texts[texts.size() - 2];
    report.customer = texts[13];
    report.remark = texts.back();
    for (const auto& text : texts) {
        report.record.push_back({text.substr(0, 300), text.substr(0, 900)});
        report.siblings.push_back({SiblingGroup::gauge_since_proof, text.substr(0, 400), 1, {text.substr(0, 200)}});
    }
    report.number = texts[0];
    const auto paper = paper_of(PaperSize::letter, "en");
    const auto text = text_of(report, paper);
    CHECK(stands(text, "試験工業株式会社"));
    CHECK(stands(text, "word2999"));
    check_places(return_report_paper(report, paper, samples::fonts()));
}

TEST_CASE("a return's papers, for somebody to look at", "[.look]") {
    const std::string folder = build_folder() + "/return_papers";
    std::filesystem::create_directories(folder);
    std::ofstream(folder + "/came_off_en.pdf", std::ios::binary)
        << return_report_pdf(came_off(), paper_of(PaperSize::a4, "en")).value();
    std::ofstream(folder + "/burst_de.pdf", std::ios::binary)
        << return_report_pdf(burst(), paper_of(PaperSize::letter, "de")).value();
    CHECK(std::filesystem::exists(folder + "/burst_de.pdf"));
}
