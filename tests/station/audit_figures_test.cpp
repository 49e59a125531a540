// One truth: what the page is given, the CSV files, the paper and the terminal say of one journal, held against each
// other cell by cell. The station runs; the program reads its journal's file beside it.
#include <sys/stat.h>

#include <boost/json.hpp>

#include <fstream>
#include <set>

#include "api_work.h"
#include "reports/audit/audit_csv.h"
#include "reports/audit/cell_message.h"
#include "reports/audit_pdf.h"
#include "reports/paper_writer.h"
#include "specs/csv.h"
#include "station/bench/state.h"
#include "station/daemon/audit_json.h"
#include "station/daemon/audit_reading.h"
#include "station/daemon/local_time.h"
#include "station/http/page_words.h"
#include "study_kit.h"
#include "tests/reports/outside.h"
#include "tests/support/build_folder.h"

using namespace crimpgate;
using namespace crimpgate::test;

namespace {

ApiReply good(const Result<ApiReply>& reply) {
    auto answer = must(reply);
    if (!answer.ok()) FAIL(answer.text);
    return answer;
}

// A shift in which ends came out good, too large, and too close to a limit; its name.
std::string worked_shift(ApiStation& station) {
    ready_for_work(station);
    for (const char* mm : {"25.50", "25.51", "25.49", "25.52"})
        work_end(station, mm);
    work_end(station, "25.85", false);  // the line stops here
    std::string shift;
    for (const auto& entry : station.entries())
        if (entry.type == "shift.started") shift = std::string(entry.body.at("shift").as_string());
    return shift;
}

std::string bytes_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return std::string((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
}

std::string without_blanks(const std::string& text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text.compare(i, 2, "\u00A0") == 0)
            ++i;
        else if (std::string(" \n\r\t\f").find(text[i]) == std::string::npos)
            out += text[i];
    }
    return out;
}

audit::Reader english(const std::string& zone) {
    audit::Reader reader;
    reader.say = [](const Message& m) { return say_in("en", m); };
    reader.local_time = [zone](std::int64_t ms) { return local_time_text(ms, zone); };
    return reader;
}

// The page's answer, the files and the paper of the station, and the program's files and terminal, of what `query` and
// `option` both name. Returns what the page was given, for more to be held against it.
audit::Audit held_together(ApiStation& station, const std::string& query, const std::string& option,
                           const std::set<std::string>& of_the_day = {}) {
    auto client = station.client("LEA", false);
    const auto page = good(client.get("/api/audit?" + query)).json;
    auto read = audit_in(page);
    REQUIRE(read.has_value());
    const auto& audit = *read;
    REQUIRE_FALSE(audit.sheets.empty());
    auto reader = english(audit.time_zone);
    reader.people = audit.people;
    // This journal has no entry that says where the station stands: the program then shows UTC.
    auto in_utc = reader;
    in_utc.local_time = english("UTC").local_time;

    // The program, asking the station and reading its file.
    const auto pin_file = (station.folder / "pin").string();
    std::ofstream(pin_file) << ApiStation::passphrase_of("LEA") << "\n";
    REQUIRE(chmod(pin_file.c_str(), 0600) == 0);
    const std::string asks = build_folder() + "/tools/crimpgate audit " + option;
    const std::string of_station =
        " --station http://127.0.0.1:" + std::to_string(station.port()) + " --person LEA --pin-file " + pin_file;
    const std::string of_file = " --journal " + (station.folder / "bench.journal").string();
    const auto sheets = (station.folder / "sheets").string(), from_file = (station.folder / "from_file").string();
    const auto terminal = outside::run(asks + of_file);
    REQUIRE(terminal.exit_code == 0);
    REQUIRE(outside::run(asks + of_file + " --csv " + from_file).exit_code == 0);
    // What is due is reckoned from the day on which it is read, so the terminal is held against its own file.
    const auto json_file = (station.folder / "from_file.json").string();
    REQUIRE(outside::run(asks + of_file + " --json " + json_file).exit_code == 0);
    const auto of_terminal = audit_in(boost::json::parse(bytes_of(json_file)).as_object());
    REQUIRE(of_terminal.has_value());
    const auto terminal_text = without_blanks(terminal.out);

    const outside::PdfFile paper(good(client.get("/api/audit.pdf?" + query)).text);
    const auto paper_text = without_blanks(outside::run("pdftotext -raw " + paper.path() + " -").out);
    Paper blank = blank_paper(PaperSize::a4);
    const auto fonts = FontSet::load(FontSet::built_directory());
    REQUIRE(fonts.has_value());
    const PaperWriter writer(blank, *fonts);

    std::size_t cells = 0;
    for (const auto& sheet : audit.sheets) {
        INFO(sheet.id);
        const auto csv = good(client.get("/api/audit.csv?" + query + "&sheet=" + sheet.id)).text;
        // Read from the file on another day, what is due or late by now may differ, and nothing else.
        if (!of_the_day.contains(sheet.id)) CHECK(bytes_of(from_file + "/" + sheet.id + ".csv") == csv);
        const auto file = read_csv(csv);
        REQUIRE(file.errors.empty());
        REQUIRE(file.rows.size() == sheet.rows.size() + 1);
        for (std::size_t r = 0; r < sheet.rows.size(); ++r)
            for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
                const auto& cell = sheet.rows[r][c];
                const bool is_message = sheet.columns[c].kind == audit::Cell::message && !cell.empty();
                CHECK(file.rows[r + 1].fields[c].text ==
                      audit::spreadsheet_safe(is_message ? audit::code_and_details(audit::message_in(cell)) : cell));
                ++cells;
            }
        // Row by row on the terminal, which shows the first forty of a sheet.
        std::size_t at = terminal_text.find("(" + sheet.id + ")");
        REQUIRE(at != std::string::npos);
        const auto* told = audit::find_sheet(*of_terminal, sheet.id);
        REQUIRE(told != nullptr);
        for (std::size_t r = 0; r < std::min<std::size_t>(told->rows.size(), 40); ++r) {
            std::string row;
            for (std::size_t c = 0; c < told->columns.size(); ++c)
                row += without_blanks(audit::shown_cell(told->columns[c], told->rows[r][c], in_utc));
            INFO(row);
            at = terminal_text.find(row, at);
            REQUIRE(at != std::string::npos);
        }
        // And on paper, where a wide sheet stands in parts below each other.
        const auto table = paper_table(sheet, sheet.rows.size(), reader);
        if (sheet.rows.empty() || sheet.id == "made") continue;
        at = paper_text.find(without_blanks(audit::sheet_title(sheet, reader)));
        REQUIRE(at != std::string::npos);
        for (const auto& part : table_parts(writer, table))
            for (std::size_t r = 0; r < sheet.rows.size(); ++r) {
                std::string row;
                for (const auto c : part.columns)
                    row += without_blanks(encode_utf8(settable(table.rows[r][c], *fonts)));
                INFO(row);
                at = paper_text.find(row, at);
                REQUIRE(at != std::string::npos);
            }
    }
    CHECK(cells > 10);
    const auto* made = audit::find_sheet(audit, "made");
    for (std::size_t c = 0; made != nullptr && c < made->columns.size(); ++c)
        CHECK(paper_text.find(without_blanks(audit::column_title(made->columns[c], reader))) != std::string::npos);
    // What the charts' lines are called by, on the paper as on the page.
    for (const auto& chart : audit.charts)
        for (const auto* line : {&chart.centre, &chart.lower, &chart.upper})
            if (!line->empty() && !chart.points.empty()) {
                INFO(chart.id);
                CHECK(paper_text.find(*line) != std::string::npos);
            }
    for (const auto& text : {audit.journal.last_hash, std::to_string(audit.journal.last_seq)}) {
        CHECK(paper_text.find(text) != std::string::npos);
        CHECK(terminal_text.find(text) != std::string::npos);
    }
    // Last, since signing in writes entries: the program asks the station itself.
    REQUIRE(outside::run(asks + of_station + " --csv " + sheets).exit_code == 0);
    for (const auto& sheet : audit.sheets)
        if (sheet.id != "journal" && sheet.id != "open_points") {
            INFO(sheet.id);
            CHECK(bytes_of(sheets + "/" + sheet.id + ".csv") == audit::sheet_csv(sheet));
        }
    return std::move(*read);
}

// What a study's or a sample's own page is given: the same sheets.
void on_its_own_page(ApiStation& station, const std::string& path, const audit::Audit& audit) {
    const auto page = good(station.client("LEA", false).get(path)).json;
    CHECK(page.at("sheets") == audit_json(audit).at("sheets"));
    CHECK(page.at("names") == audit_json(audit).at("people"));
}

}  // namespace

TEST_CASE("page, CSV, paper and terminal say the same of one journal, cell by cell") {
    ApiStation station;
    station.set_up();
    const auto shift = worked_shift(station);
    REQUIRE_FALSE(shift.empty());
    const auto audit = held_together(station, "shift=" + shift, "--shift " + shift, {"open_points", "gauges"});
    CHECK(audit.sheets.size() > 10);
    CHECK(audit.people.at("OPA") != "OPA");  // by whom something was done stands with a name on page and paper
}

TEST_CASE("R9: page, CSV, paper and terminal say the same of a gauge study and of a sample, cell by cell") {
    ApiStation station;
    station.set_up();
    auto lead = station.client("LEA", false);
    REQUIRE(must(lead.post("/api/studies/plan", plan_body())).status == 200);
    begin(station);
    measure(station);
    REQUIRE(must(lead.post("/api/studies/approve", approve_body())).status == 200);
    const auto study = held_together(station, "study=GS-1", "--study GS-1");
    CHECK(study.study == "GS-1");
    std::set<std::string> ids;
    for (const auto& sheet : study.sheets)
        ids.insert(sheet.id);
    CHECK(ids == std::set<std::string>{"study_answer", "study_variation", "study_anova", "study_by_person",
                                       "study_approved", "study_plan", "study_readings"});
    CHECK(audit::find_sheet(study, "study_approved")->rows.front().at(2) == "LEA");
    on_its_own_page(station, "/api/studies/GS-1", study);

    make_one(station);
    const auto shift = must(lead.get("/api/bench")).json.at("shift");
    REQUIRE(must(lead.post("/api/samples/draw", draw_body(std::string(shift.as_string())))).status == 200);
    const auto sample = held_together(station, "sample=RM-1", "--sample RM-1");
    CHECK(sample.sample == "RM-1");
    REQUIRE(sample.sheets.size() == 2);
    CHECK(sample.sheets[0].rows.front().at(11) == "LEA");
    on_its_own_page(station, "/api/samples/RM-1", sample);
}
