// Measuring results for metrology software through a customer's link: of one assembly and of a certificate, held
// against the standard's schema, against what that lets pass, and value by value against the same assembly's record.
#include "tests/support/catch.h"

#include <fstream>

#include "station/http/results_file.h"
#include "tests/reports/outside.h"
#include "trace_page_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;

namespace {

// As tests/outside/qif.py judges it; nothing in it that the other customer could be told by.
void holds_up(const TraceStation& s, const std::string& results, const std::string& record) {
    const auto file = s.station.folder / "results.qif", told = s.station.folder / "record.json";
    std::ofstream(file, std::ios::binary) << results;
    std::ofstream(told, std::ios::binary) << record;
    const auto judged =
        outside::run("/usr/bin/python3 " + std::string(CRIMPGATE_SOURCE_DIR) + "/tests/outside/qif.py " +
                     file.string() + (record.empty() ? "" : " --record " + told.string()));
    INFO(judged.out);
    if (judged.exit_code == 77) {
        WARN("skipped: the standard's schema is not in ../shared/reference/data/third_party");
    } else {
        CHECK(judged.exit_code == 0);
    }
}

}  // namespace

TEST_CASE("R12: results through a link are QIF 3.0 and say what the record says, of the customer's own alone") {
    TraceStation s;
    const auto &one = s.made[0], &six = s.made[2];
    const auto link = s.link(one.customer), others = s.link(six.customer);
    const auto results = s.look(link.token, "/results/" + one.serial);
    INFO(results.text);
    REQUIRE(results.status == 200);
    CHECK(results.header("content-type") == "application/xml");
    CHECK(results.header("content-disposition") == "attachment; filename=\"" + one.serial + ".qif\"");
    holds_up(s, results.text, s.look(link.token, "/record/" + one.serial).text);
    CHECK_THAT(results.text, cqt::contains("<OtherStandardsOrganization>"));
    CHECK_THAT(results.text, cqt::contains("value=\"" + one.order + "\""));
    // 25.50 by a caliper that shows hundredths, three places at either end.
    std::size_t diameters = 0;
    for (std::size_t at = 0; (at = results.text.find(">25.50</Value>", at)) != std::string::npos; ++at)
        ++diameters;
    CHECK(diameters == 6);
    // The same bytes another day, and by another link of the same customer.
    CHECK(s.look(link.token, "/results/" + one.serial, 3'600'000).text == results.text);
    CHECK(s.look(s.link(one.customer, one.delivery).token, "/results/" + one.serial).text == results.text);
    CHECK(s.look(link.token, "/results/" + six.serial).status == 404);
    CHECK(s.look(others.token, "/results/" + one.serial).status == 404);
    CHECK(s.look(others.token, "/certificate/" + one.certificate + ".qif").code() == "trace_page.not_there");
    const auto theirs = s.look(others.token, "/results/" + six.serial).text;
    for (const auto& word : one.telling())
        CHECK_THAT(theirs, !cqt::contains(word));
    CHECK_THAT(theirs, !cqt::contains(one.customer));
}

TEST_CASE("results of a certificate come from its kept evidence under its number, and each look is in the journal") {
    TraceStation s;
    const auto& one = s.made[0];
    const auto link = s.link(one.customer);
    const auto before = s.station.last_seq();
    const auto results = s.look(link.token, "/certificate/" + one.certificate + ".qif");
    INFO(results.text);
    REQUIRE(results.status == 200);
    CHECK(s.station.last_seq() == before + 1);
    CHECK(results.header("content-disposition") == "attachment; filename=\"" + one.certificate + ".qif\"");
    CHECK_THAT(results.text, cqt::contains("<ReportNumber>" + one.certificate + "</ReportNumber>"));
    holds_up(s, results.text, s.look(link.token, "/record/" + one.serial).text);
    CHECK(s.look(link.token, "/certificate/" + one.certificate + ".qif").text == results.text);
}

TEST_CASE("R1: what is in question has no results to hand out, not even those of its certificate") {
    TraceStation s;
    const auto& one = s.made[0];
    const auto link = s.link(one.customer);
    s.run(commands::HoldAssembly{"the caliper was dropped", one.serial}, "LEA");
    for (const auto& path : {"/results/" + one.serial, "/certificate/" + one.certificate + ".qif"}) {
        const auto answer = s.look(link.token, path);
        INFO(path << " " << answer.text);
        CHECK(answer.status == 409);
        CHECK(answer.code() == "trace_page.no_results");
        CHECK_THAT(answer.text, cqt::contains("in question"));
        CHECK_THAT(answer.text, !cqt::contains("dropped"));
    }
    CHECK(s.look(link.token, "/results/" + s.made[1].serial).status == 200);
}

TEST_CASE("a name of a thing is a UUID of version 8, the same for ever and no other station's") {
    const auto name = named_uuid("kestrel-1+aaaa", "qif", "A0001M");
    // RFC 9562 section 5.8: version 8, variant 10.
    CHECK(name.size() == 36);
    CHECK(name[14] == '8');
    CHECK(std::string("89ab").find(name[19]) != std::string::npos);
    CHECK(name == named_uuid("kestrel-1+aaaa", "qif", "A0001M"));
    CHECK(name != named_uuid("kestrel-1+aaab", "qif", "A0001M"));
    CHECK(name != named_uuid("kestrel-1+aaaa", "lot", "A0001M"));
}
