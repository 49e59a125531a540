#include "reports/audit/audit_csv.h"

#include <rapidcheck.h>

#include <fstream>

#include "reports/audit/cell_message.h"
#include "reports/audit/shown_cell.h"
#include "specs/csv.h"
#include "specs/decimal.h"
#include "tests/reports/audit_sample.h"
#include "tests/reports/outside.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::audit;

namespace {

Sheet of_texts(const std::vector<std::string>& texts) {
    Sheet s{"texts", {{"n", Cell::count}, {"remark", Cell::text}}, {}, {}};
    for (std::size_t i = 0; i < texts.size(); ++i)
        s.rows.push_back({std::to_string(i), texts[i]});
    return s;
}

// As Python's csv module reads the file: a row a line, cells parted by 0x1F, line ends inside a cell as 0x1E.
std::vector<std::vector<std::string>> read_by_python(const std::string& csv) {
    const outside::PdfFile folder("");
    const std::string file = folder.file("sheet.csv"), program = folder.file("read.py");
    std::ofstream(file, std::ios::binary) << csv;
    std::ofstream(program) << "import csv, sys\n"
                              "rows = csv.reader(open(sys.argv[1], encoding='utf-8-sig', newline=''), strict=True)\n"
                              "for row in rows:\n"
                              "    cells = [c.replace('\\r', '\\x1d').replace('\\n', '\\x1e') for c in row]\n"
                              "    sys.stdout.buffer.write('\\x1f'.join(cells).encode() + b'\\n')\n";
    const auto answer = outside::run("python3 " + program + " " + file);
    REQUIRE(answer.exit_code == 0);
    std::vector<std::vector<std::string>> out{{""}};
    for (const char c : answer.out) {
        if (c == '\n')
            out.push_back({""});
        else if (c == '\x1f')
            out.back().emplace_back();
        else
            out.back().back() += c == '\x1e' ? '\n' : c == '\x1d' ? '\r' : c;
    }
    out.pop_back();
    return out;
}

}  // namespace

TEST_CASE("a sheet's file opens in a spreadsheet with umlauts right, its columns' ids in the first row") {
    const Sheet s = of_texts({"Weiß, Jürgen", "26.10"});
    CHECK(sheet_csv(s) == "\xEF\xBB\xBFn,remark\r\n0,\"Weiß, Jürgen\"\r\n1,26.10\r\n");
}

TEST_CASE(
    "a cell that a spreadsheet would compute gets an apostrophe; a number stays a number (OWASP, CSV Injection)") {
    for (const char* dangerous :
         {"=1+1", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1",     "\n=1",     "|calc", "%0A",   "＝1",  "＋1", "－1",
          "＠x",  "-",    "+",    "--1",      "  =1", "\u00A0=1", "\u200B=1", "=",     "-0,05", "-1e5", "+A1"}) {
        INFO(dangerous);
        CHECK(spreadsheet_safe(dangerous) == std::string("'") + dangerous);
    }
    for (const char* harmless : {"-0.05", "+25.50", "0", "26.10", "", "OP-07", "a=b", "Müller", "'quoted", "12 %"}) {
        INFO(harmless);
        CHECK(spreadsheet_safe(harmless) == harmless);
    }
    CHECK(spreadsheet_safe("a\xFFz") == "a\uFFFDz");
    CHECK(spreadsheet_safe(std::string_view("a\0z", 3)) == "a\uFFFDz");
}

TEST_CASE("a message in a file is its code with its details") {
    Sheet s{"open_points", {{"what", Cell::message}}, {}, {}};
    s.rows = {{R"({"code":"drift.trend","details":{"points":"6","stream":"P20"}})"},
              {R"({"code":"drift.none","details":{}})"},
              {"=not a message"},
              {""}};
    CHECK(sheet_csv(s) ==
          "\xEF\xBB\xBFwhat\r\n\"drift.trend: points=6; stream=P20\"\r\ndrift.none\r\n'=not a message\r\n\"\"\r\n");
}

TEST_CASE("Python's csv module reads every cell of every sheet of a shift as the audit has it") {
    auto shift = samples::shift_audit();
    shift.sheets.push_back(of_texts(samples::hostile_texts()));
    std::size_t cells = 0;
    for (const auto& sheet : shift.sheets) {
        INFO(sheet.id);
        const auto rows = read_by_python(sheet_csv(sheet));
        REQUIRE(rows.size() == sheet.rows.size() + 1);
        for (std::size_t i = 0; i < sheet.columns.size(); ++i)
            CHECK(rows[0][i] == sheet.columns[i].id);
        for (std::size_t r = 0; r < sheet.rows.size(); ++r) {
            REQUIRE(rows[r + 1].size() == sheet.columns.size());
            for (std::size_t i = 0; i < sheet.columns.size(); ++i) {
                const std::string& cell = sheet.rows[r][i];
                const bool is_message = sheet.columns[i].kind == Cell::message && !cell.empty();
                const auto expected = spreadsheet_safe(is_message ? code_and_details(message_in(cell)) : cell);
                CHECK(rows[r + 1][i] == expected);
                // Nothing but the apostrophe and what cannot be read comes between the audit and the file.
                if (!is_message && cell.find_first_of(std::string_view("\xFF\0", 2)) == std::string::npos)
                    CHECK((rows[r + 1][i] == cell || rows[r + 1][i] == "'" + cell));
                ++cells;
            }
        }
    }
    CHECK(cells > 700);
}

TEST_CASE("whatever a cell holds, the file has its shape and no cell of it computes") {
    CHECK(rc::check([] {
        const auto alphabet = rc::gen::elementOf(
            std::vector<std::string>{"=", "+", "-", "@", "|", "%", "\t", "\r\n", "\n",     "\"",     "'",    ",",   ";",
                                     " ", "1", "5", ".", "e", "a", "ü",  "＝",   "\u00A0", "\u202E", "\xC3", "\xFF"});
        const auto pieces = *rc::gen::container<std::vector<std::vector<std::string>>>(
            rc::gen::container<std::vector<std::string>>(alphabet));
        std::vector<std::string> texts;
        for (const auto& list : pieces) {
            texts.emplace_back();
            for (const auto& piece : list)
                texts.back() += piece;
        }
        const auto file = read_csv(sheet_csv(of_texts(texts)));
        RC_ASSERT(file.errors.empty());
        RC_ASSERT(file.rows.size() == texts.size() + 1);
        for (std::size_t i = 0; i < texts.size(); ++i) {
            RC_ASSERT(file.rows[i + 1].fields.size() == 2U);
            const std::string& read = file.rows[i + 1].fields[1].text;
            const auto first = read.find_first_not_of(" ");
            if (first != std::string::npos && std::string("=+-@|%\t\r\n").find(read[first]) != std::string::npos)
                RC_ASSERT(parse_decimal(read).has_value());
        }
    }));
}

TEST_CASE("R4: a cell is shown with the reader's decimal sign and nothing else of it is touched") {
    Reader german;
    german.language = "de";
    CHECK(shown_cell({"mean_mm", Cell::length}, "26.1041", german) == "26,1041");
    CHECK(shown_cell({"share_pct", Cell::percent}, "100.0", german) == "100,0");
    CHECK(shown_cell({"ends", Cell::count}, "1000000", german) == "1000000");
    CHECK(shown_cell({"lot", Cell::text}, "NH.3", german) == "NH.3");
    CHECK(shown_cell({"mean_mm", Cell::length}, "26.1041", {}) == "26.1041");
    CHECK(shown_cell({"since", Cell::time}, "2026-11-25T07:12:03.120Z", {}) == "2026-11-25T07:12:03.120Z");
    german.local_time = [](std::int64_t ms) { return std::to_string(ms); };
    // date -u -d 2026-11-25T07:12:03Z +%s says 1795590723.
    CHECK(shown_cell({"since", Cell::time}, "2026-11-25T07:12:03.120Z", german) == "1795590723120");
    CHECK(shown_cell({"since", Cell::time}, "no time", german) == "no time");
    CHECK(shown_cell({"since", Cell::time}, "2026-13-25T07:12:03.120Z", german) == "2026-13-25T07:12:03.120Z");
    CHECK(shown_cell({"reason", Cell::code}, "not_in_the_catalogue", german) == "not in the catalogue");
}
