// check-table and check-order, on the files that stand in specs/examples.
#include "specs/spec_table.h"
#include "station/words/catalogue.h"
#include "tests/tools/cli_kit.h"

using namespace cli_kit;

namespace json = boost::json;

namespace {

const std::string table = source_file("specs/examples/demo_table.csv");
const std::string order = source_file("specs/examples/demo_order.csv");
const std::string hostile = source_file("specs/examples/bad/hostile.csv");

}  // namespace

TEST_CASE("A good spec table is summed up row by row, in millimetres whatever its unit") {
    const auto good = run({"check-table", table});
    CHECK(good.code == 0);
    CHECK(good.err.empty());
    CHECK(has(good.out, "no errors"));
    CHECK(has(good.out, "4 rows"));
    for (const char* id : {"NW-208-16S", "NW-208-G12"})
        CHECK(has(good.out, id));
    CHECK(has(good.out, "25.50 -0.20/+0.20"));
    const auto inches = run({"check-table", source_file("specs/examples/demo_table_in.csv")});
    CHECK(inches.code == 0);
    CHECK(has(inches.out, "2 rows"));
}

TEST_CASE("A hostile spec table is refused with every error named by line, column, found and expected") {
    const auto refused = run({"check-table", hostile});
    CHECK(refused.code == 1);
    const auto errors = parse_spec_table(read_file(hostile)).error();
    REQUIRE(errors.size() > 40);
    CHECK(count(refused.out, "\nline ") == errors.size());
    CHECK(has(refused.out, std::to_string(errors.size()) + " errors"));
    // A tolerance that is negative, inches among millimetres, and two makers without a written approval: counted by
    // hand in the file (the header is line 1, BAD-01 twice, then BAD-03 on line 4).
    for (const std::string place : {"line 4, column crimp_minus_mm", "line 5, column crimp_mm",
                                    "line 6, column crimp_mm", "line 7, column fitting_dash"}) {
        INFO(place);
        CHECK(has(refused.out, "\n" + place + "\n"));
    }
    CHECK(has(refused.out, "    found     -0.20\n"));
    CHECK(has(refused.out, "inches and millimetres seem to be mixed up"));
    CHECK(has(refused.out, "Oakhammer (invented)"));
    CHECK_FALSE(has(refused.out, "warning"));

    const auto machine = run({"check-table", hostile, "--json"});
    CHECK(machine.code == 1);
    const auto told = json::parse(machine.out).as_object();
    CHECK_FALSE(told.at("good").as_bool());
    const auto& list = told.at("errors").as_array();
    REQUIRE(list.size() == errors.size());
    for (std::size_t i = 0; i < list.size(); ++i) {
        CHECK(list[i].at("line").as_int64() == errors[i].line);
        CHECK(list[i].at("column").as_string() == std::string_view(errors[i].column));
        CHECK(list[i].at("code").as_string() == std::string_view(errors[i].why.code));
        CHECK(list[i].at("words").as_string() == std::string_view(say(errors[i].why)));
    }
}

TEST_CASE("A table that goes beyond the published hose standard is good, and its warnings are told") {
    const Folder folder;
    std::string text = read_file(table);
    const std::string rating = "EN 853 2SN,275,";  // 27.5 MPa is the published figure for size 8
    const auto at = text.find(rating);
    REQUIRE(at != std::string::npos);
    text.replace(at, rating.size(), "EN 853 2SN,300,");
    std::ofstream(folder / "t.csv", std::ios::binary) << text;
    const auto warned = run({"check-table", (folder / "t.csv").string()});
    CHECK(warned.code == 0);
    CHECK(has(warned.out, "must have seen"));
    CHECK(has(warned.out, "NW-208-16S: The hose is rated 300 bar"));
}

TEST_CASE("An order is held against the spec table: cut length, finished length and the weakest part") {
    const auto good = run({"check-order", order, "--table", table, "--on", "2026-11-25"});
    INFO(good.out << good.err);
    CHECK(good.code == 0);
    CHECK(has(good.out, "WO-2041 for Fennick Harvesters (invented)"));
    // 750 mm overall less the cut-offs of both rows of the table.
    const auto rows = parse_spec_table(read_file(table))->rows;
    Length cut = 750000_um;
    for (const auto& row : rows)
        if (row.spec_id == "NW-208-16S" || row.spec_id == "NW-208-G12") cut = cut - row.fitting.cut_off;
    CHECK(has(good.out, "cut the hose to " + cut.to_mm_text(2) + " mm"));
    CHECK(has(good.out, "working pressure 275.0 bar, 27.50 MPa, 3988 psi"));
}

TEST_CASE("An order whose hose is too old on the day, or whose spec row is not there, cannot be made") {
    const auto old = run({"check-order", order, "--table", table, "--on", "2031-01-02"});
    CHECK(old.code == 1);
    CHECK(has(old.out, "Hose of 2Q26 is too old on 2031-01-02"));
    CHECK(run({"check-order", order, "--table", table, "--on", "2031-01-02", "--hose-age", "6"}).code == 0);

    const auto none = run({"check-order", order, "--table", source_file("specs/examples/demo_table_in.csv"), "--on",
                           "2026-11-25", "--json"});
    CHECK(none.code == 1);
    const auto told = json::parse(none.out).as_object();
    CHECK(told.at("orders").as_array()[0].at("problems").as_array()[0].at("code").as_string() == "order.no_spec");

    CHECK(run({"check-order", order, "--table", hostile}).code == 1);
    CHECK(run({"check-order", table}).code == 1);  // no order file at all
}

TEST_CASE("Wrong use is told with the usage, and what cannot be read is told apart from what is wrong") {
    const auto no_file = run({"check-table", "/nowhere/table.csv"});
    CHECK(no_file.code == 3);
    CHECK(has(no_file.err, "/nowhere/table.csv"));
    CHECK(run({"check-table", source_file("specs")}).code == 3);  // a folder

    for (const std::vector<std::string>& wrong :
         {std::vector<std::string>{"check-table"}, {"check-table", table, "more"}, {"check-table", table, "--jsn"}}) {
        const auto told = run(wrong);
        CHECK(told.code == 2);
        CHECK(told.out.empty());
        CHECK(has(told.err, "crimpgate check-table FILE [--json]"));
    }
    CHECK(run({}).code == 2);
    CHECK(run({"chek-table", table}).code == 2);
    CHECK(run({"check-order", order, "--on", "25.11.2026"}).code == 2);
    CHECK(run({"check-order", order, "--hose-age", "many"}).code == 2);
    CHECK(run({"holds"}).code == 2);
    CHECK(run({"holds", "--journal", "a", "--station", "http://127.0.0.1:1"}).code == 2);
    CHECK(run({"holds", "--station", "127.0.0.1", "--person", "OP-7"}).code == 2);
    CHECK(run({"holds", "--station", "http://127.0.0.1:1"}).code == 2);
}

TEST_CASE("Every command has its page") {
    const auto all = run({"help"});
    CHECK(all.code == 0);
    for (const char* command :
         {"check-table", "check-order", "orders", "holds", "trace", "entries", "verify", "rebuild-views", "back-up"}) {
        INFO(command);
        CHECK(has(all.out, std::string("    ") + command + " "));
        const auto page = run({"help", command});
        CHECK(page.code == 0);
        CHECK(has(page.out, std::string("crimpgate ") + command + " - "));
        CHECK(run({command, "--help"}).out == page.out);
    }
    CHECK(run({"help", "nothing"}).code == 2);
}
