// crimpgate return: at a station with a hose that came back, through the program itself.
#include <filesystem>

#include "terminal_kit.h"
#include "tests/reports/outside.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using cli_kit::has;

TEST_CASE("crimpgate return: opened, listed, shown with its sums, and its report on paper") {
    ApiStation station;
    station.set_up();
    const Terminal terminal(station);
    CHECK(has(terminal.ask("LEA", {"return", "list"}).out, "No hose has come back"));

    const auto nothing = cli_kit::run({"return", "open", "--station", "http://127.0.0.1:1", "--person", "LEA"});
    CHECK(nothing.code == 2);
    CHECK(has(nothing.err, "Nothing is known of this hose yet"));
    const auto wrong = terminal.ask("OPA", {"return", "open", "--serial", "K1-NONE"});
    CHECK(wrong.code == 3);
    CHECK(has(wrong.err, "K1-NONE is not in this station"));

    const auto opened = terminal.ask(
        "OPA", {"return", "open", "--customer", "Fennick (invented)", "--reported", "burst in the body", "--hurt"});
    INFO(opened.out << opened.err);
    REQUIRE(opened.code == 0);
    CHECK(has(opened.out, "RT-1 is open."));
    for (const auto& [question, answer] : {std::pair{"place", "body"}, {"opening", "clean_one"}, {"pressure", "over"}})
        REQUIRE(station.run(commands::AnswerReturn{{"RT-1", question, answer, ""}}, "OPA").empty());

    const auto list = terminal.ask("LEA", {"return", "list"});
    CHECK(has(list.out, "RT-1"));
    CHECK(has(list.out, "Fennick (invented)"));

    const auto shown = terminal.ask("LEA", {"return", "show", "RT-1"});
    INFO(shown.out << shown.err);
    REQUIRE(shown.code == 0);
    CHECK(has(shown.out, "surgical emergency"));          // R13
    CHECK(has(shown.out, "Clean nothing, cut nothing"));  // somebody was hurt
    CHECK(has(shown.out, "burst in the body"));
    CHECK(has(shown.out, "WHAT CANNOT BE KNOWN"));
    CHECK(has(shown.out, "  1. "));
    CHECK(has(shown.out, " +6  "));
    const auto all = terminal.ask("LEA", {"return", "show", "RT-1", "--all"});
    CHECK(all.out.size() > shown.out.size());
    const auto json = terminal.ask("LEA", {"return", "show", "RT-1", "--json"});
    CHECK(boost::json::parse(json.out).at("ranking").at("modes").at(0).at("mode") == "over_pressure");

    const auto pdf = (station.folder / "report.pdf").string();
    CHECK(terminal.ask("LEA", {"return", "report", "RT-1", "--pdf", pdf, "--language", "fr"}).code == 2);
    CHECK(terminal.ask("LEA", {"return", "report", "RT-1"}).code == 2);
    CHECK(terminal.ask("OPA", {"return", "report", "RT-1", "--pdf", pdf}).code == 3);  // the office's
    REQUIRE(terminal.ask("LEA", {"return", "report", "RT-1", "--pdf", pdf, "--language", "de"}).code == 0);
    std::ifstream in(pdf, std::ios::binary);
    const std::string bytes((std::istreambuf_iterator<char>(in)), {});
    const outside::PdfFile file(bytes);
    CHECK(file.text().find("Internes Papier") != std::string::npos);
    CHECK(cli_kit::run({"return", "list", "--journal", pdf}).code == 2);
    CHECK(cli_kit::run({"return"}).code == 2);
    CHECK(has(cli_kit::run({"help", "return"}).out, "Never feel for a leak by hand"));
}
