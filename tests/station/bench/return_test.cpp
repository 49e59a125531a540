// A hose that came back, at the bench: opened, asked about, measured, concluded, and never a verdict changed.
#include <algorithm>

#include "station/bench/return_steps.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

std::string open(Bench& b, const std::string& serial, const std::string& who = "OPA") {
    OpenReturn c;
    c.opened.serial = serial;
    c.opened.customer = "Marlow Quarry";
    c.opened.reported = "oil at the shell";
    return b.ask(c, who);
}

std::string say(Bench& b, const std::string& question, const std::string& answer, const std::string& who = "OPA") {
    return b.ask(AnswerReturn{{"RT-1", question, answer, ""}}, who);
}

// One assembly that passed, and a return on it.
Bench came_back(std::string* serial = nullptr) {
    Bench b = Bench::ready();
    const auto made = b.good_assembly();
    if (const auto code = open(b, made); !code.empty()) throw std::logic_error(code);
    if (serial != nullptr) *serial = made;
    return b;
}

const ReturnState& returned(const Bench& b) {
    return b.state.record.returns.at("RT-1");
}

std::string answer_of(const Bench& b, const std::string& question) {
    const auto found = returned(b).answers.find(question);
    return found == returned(b).answers.end() ? "" : found->second.answer;
}

}  // namespace

TEST_CASE("a return is opened on a serial of the record, or without one on what is known of the hose") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    CHECK(open(b, "K1-NONE") == "returned.no_serial");
    CHECK(open(b, serial, "SET") == "bench.not_an_operator");
    REQUIRE(open(b, serial).empty());
    CHECK(returned(b).opened.received == b.now.local_date);
    CHECK(open(b, serial) == "returned.open_already");

    OpenReturn unknown;
    CHECK(b.ask(unknown) == "returned.nothing_known");
    unknown.opened.read_off = {{"standard", "EN 853 2SN"}, {"standard", "again"}};
    CHECK(b.ask(unknown) == "returned.read_twice");
    unknown.opened.read_off = {{"colour", "black"}};
    CHECK(b.ask(unknown) == "bench.no_such_choice");
    unknown.opened.read_off = {{"standard", "EN 853 2SN"}};
    unknown.opened.received = "2099-01-01";
    CHECK(b.ask(unknown) == "returned.in_future");
    unknown.opened.received = "";
    CHECK(b.ask(unknown).empty());
    CHECK(b.state.record.returns.contains("RT-2"));
}

TEST_CASE("R13: when somebody was hurt the question is answered at once; when nobody said so it stays a question") {
    Bench b = came_back();
    CHECK(answer_of(b, "hurt").empty());
    Bench hurt = Bench::ready();
    OpenReturn c;
    c.opened.reported = "a jet";
    c.opened.someone_hurt = true;
    REQUIRE(hurt.ask(c).empty());
    CHECK(answer_of(hurt, "hurt") == "yes");
}

TEST_CASE(
    "answers are held against the tables, several go together, and what nothing leads to any more does not count") {
    Bench b = came_back();
    CHECK(say(b, "colour", "black") == "returned.no_such_question");
    CHECK(say(b, "place", "somewhere") == "returned.no_such_answer");
    CHECK(say(b, "place", "body+between") == "returned.one_answer");
    CHECK(say(b, "grip", "none") == "returned.not_asked");  // only of a fitting that came off
    REQUIRE(say(b, "place", "came_off").empty());
    REQUIRE(say(b, "grip", "none").empty());
    REQUIRE(say(b, "cover", "cut+worn").empty());
    CHECK(answer_of(b, "cover") == "worn+cut");  // in the table's order
    CHECK(say(b, "cover", "unhurt+worn") == "returned.one_answer");
    CHECK(answered(answers_that_count(returned(b)), "grip", "none"));
    REQUIRE(say(b, "place", "body").empty());
    CHECK_FALSE(answered(answers_that_count(returned(b)), "grip", "none"));
    CHECK(answer_of(b, "grip") == "none");  // R3: it stays in the record
    REQUIRE(say(b, "cover", "not_known").empty());
    CHECK_FALSE(answered(answers_that_count(returned(b)), "cover", "worn"));
    CHECK(check_answers(answers_that_count(returned(b))));
}

TEST_CASE("figures of the use are whole numbers within reason") {
    Bench b = came_back();
    CHECK(say(b, "use.pressure", "31000").empty());
    CHECK(say(b, "use.pressure", "310.5") == "returned.fact_not_whole");
    CHECK(say(b, "use.pressure", "-1") == "returned.fact_out_of_range");
    CHECK(say(b, "use.fluid", "hfd").empty());
    CHECK(say(b, "use.fluid", "beer") == "returned.no_such_answer");
    CHECK(say(b, "use.twist", "not_known").empty());
    CHECK(stated_facts(returned(b)).at("use.pressure") == "31000");
}

TEST_CASE("R1: what is measured on a returned hose is written down and changes no assembly's verdict") {
    std::string serial;
    Bench b = came_back(&serial);
    const auto before = b.state.assemblies.at(serial);
    const auto judged = b.count<entries::EndJudged>(), held = b.count<entries::AssemblyHeld>(),
               passed = b.count<entries::AssemblyPassed>(), taken = b.count<entries::ReadingTaken>();
    REQUIRE(b.ask(BeginReturn{"RT-1"}).empty());
    REQUIRE(b.next().ask == Ask::returned);
    CHECK(b.next().band->upper == 25'700_um);
    // Far out of its band, on every flat, and a mark that stands ten millimetres off.
    std::size_t pressed = 0;
    while (b.next().turn != 0) {
        REQUIRE(b.press(b.next().what == Characteristic::mark_after ? "10.00" : "27.00").empty());
        REQUIRE(++pressed <= 8);
    }
    CHECK(pressed == 8);  // two ends with three flats and a mark each
    CHECK(returned(b).measured.size() == 8);
    CHECK(returned(b).measured[0].uncertainty == 12_um);
    CHECK(returned(b).measured[0].proof_seq > 0);
    CHECK(b.press("25.50") == "returned.all_measured");
    const auto& after = b.state.assemblies.at(serial);
    CHECK(after.stage == Stage::passed);
    CHECK(after.ends[0].records.size() == before.ends[0].records.size());
    CHECK(after.hold.has_value() == before.hold.has_value());
    CHECK(b.count<entries::EndJudged>() == judged);
    CHECK(b.count<entries::AssemblyHeld>() == held);
    CHECK(b.count<entries::AssemblyPassed>() == passed);
    CHECK(b.count<entries::ReadingTaken>() == taken);
    REQUIRE(b.ask(LeaveReturn{}).empty());
    CHECK(b.next().ask == Ask::measure);
    CHECK(dump(b.state) == dump(b.refolded()));
}

TEST_CASE("R1: nor can it pass or fail the assembly that stands in work: that one must be off the bench first") {
    std::string serial;
    Bench b = came_back(&serial);
    b.good_step();
    REQUIRE_FALSE(b.serial().empty());
    CHECK(b.ask(BeginReturn{"RT-1"}) == "bench.assembly_in_work");
}

TEST_CASE("a gauge that is not proved or out of calibration measures no returned hose either") {
    Bench b = came_back();
    REQUIRE(b.ask(BeginReturn{"RT-1"}).empty());
    b.ask(RegisterGauge{caliper("CAL-2")}, "SET");
    b.ask(GaugeReturned{"CAL-2"}, "");
    CHECK(b.press("25.50", "CAL-2") == "bench.gauge_not_proved");
    b.ask(RegisterGauge{caliper("CAL-3", 200_um)}, "SET");
    b.ask(GaugeReturned{"CAL-3"}, "");
    b.prove("CAL-3");
    CHECK(b.press("25.50", "CAL-3") == "rule.gauge_too_coarse");
    CHECK(b.press("-0.10") == "returned.no_size");
    CHECK(b.press("0.00") == "returned.no_size");
    CHECK(returned(b).measured.empty());
    CHECK(b.press("25.50").empty());
    // A failed proof of the gauge puts nothing of a returned hose on hold.
    const auto held = b.count<entries::AssemblyHeld>();
    b.now.utc_ms += b.rules.proof_interval_ms + 1;
    CHECK(b.press("25.50") == "bench.proof_over");
    CHECK(b.count<entries::AssemblyHeld>() == held);
}

TEST_CASE("what the part has not is said and not asked for; an end is measured anew and the first readings stay") {
    Bench b = came_back();
    REQUIRE(say(b, "place", "came_off").empty());
    REQUIRE(say(b, "end", "b").empty());
    REQUIRE(b.ask(BeginReturn{"RT-1"}).empty());
    CHECK(b.next().end == End::b);  // the end that failed first
    REQUIRE(b.press("25.48").empty());
    REQUIRE(say(b, "measure.b", "again").empty());
    CHECK(b.next().flat == 1);
    CHECK_FALSE(still_counts(returned(b), 0));
    REQUIRE(b.press("25.61").empty());
    REQUIRE(b.press("25.62").empty());
    REQUIRE(b.press("25.63").empty());
    CHECK(b.next().what == Characteristic::mark_after);
    REQUIRE(say(b, "measure.b.mark_after", "not_possible").empty());
    CHECK(b.next().end == End::a);
    REQUIRE(say(b, "measure.a.crimp_diameter", "not_possible").empty());
    REQUIRE(say(b, "measure.a.mark_after", "not_possible").empty());
    CHECK(b.next().turn == 0);
    CHECK(returned(b).measured.size() == 4);  // R3
    CHECK(measured_at(returned(b), {End::b, Characteristic::crimp_diameter, 1})->value == 25'610_um);
    CHECK(say(b, "measure.b.depth", "not_possible") == "returned.no_such_question");
    CHECK(say(b, "measure.a.mark_after", "perhaps") == "returned.no_such_answer");
}

TEST_CASE("an unknown hose is measured on three flats without a band, outside any shift") {
    Bench b = Bench::set_up();
    OpenReturn c;
    c.opened.reported = "burst";
    REQUIRE(b.ask(c, "LEA").empty());
    b.ask(SignIn{}, "OPA");
    REQUIRE(b.ask(BeginReturn{"RT-1"}).empty());
    CHECK(b.next().ask == Ask::proof);
    b.prove();
    CHECK(b.next().ask == Ask::returned);
    CHECK_FALSE(b.next().band);
    REQUIRE(b.press("30.10").empty());
    CHECK(b.next().flat == 2);
}

TEST_CASE("studies, samples and returned hoses take turns at the bench") {
    Bench b = came_back();
    REQUIRE(b.ask(BeginReturn{"RT-1"}).empty());
    CHECK(b.ask(BeginReturn{"RT-1"}).empty());  // it runs already
    CHECK(b.count<entries::ReturnBegun>() == 1);
    CHECK(b.ask(BeginStudy{"GS-1"}) == "returned.running");
    CHECK(b.ask(BeginSample{"RM-1"}) == "returned.running");
    CHECK(b.ask(LeaveReturn{}).empty());
    CHECK(b.ask(LeaveReturn{}) == "returned.none_begun");
    CHECK(b.ask(BeginReturn{"RT-9"}) == "returned.no_return");
}

TEST_CASE("R9: a lead concludes, and not on what they measured themselves when it was made") {
    std::string serial;
    Bench b = came_back(&serial);
    ConcludeReturn c;
    c.concluded.return_ = "RT-1";
    c.concluded.cause = "not_pushed_home";
    CHECK(b.ask(c, "OPA") == "bench.not_a_lead");
    c.concluded.cause = "bad_luck";
    CHECK(b.ask(c, "LEA") == "bench.no_such_choice");
    c.concluded.cause = "";
    CHECK(b.ask(c, "LEA") == "returned.say_why");
    c.concluded.cause = "not_pushed_home";
    REQUIRE(b.ask(BeginReturn{"RT-1"}).empty());
    CHECK(b.ask(c, "LEA") == "returned.still_measured");
    b.ask(LeaveReturn{});
    b.assembly(serial).measured_by.insert("LEA");
    CHECK(b.ask(c, "LEA") == "returned.own_work");
    REQUIRE(b.ask(c, "LEB").empty());
    CHECK(returned(b).concluded->cause == "not_pushed_home");
    CHECK(b.log.back().facts.who == "LEB");
    CHECK(say(b, "hurt", "no") == "returned.concluded_already");
    CHECK(b.ask(BeginReturn{"RT-1"}) == "returned.concluded_already");
    CHECK(b.ask(ReopenReturn{"RT-1", ""}, "LEA") == "bench.field_empty");
    CHECK(b.ask(ReopenReturn{"RT-1", "pictures came"}, "OPA") == "bench.not_a_lead");
    REQUIRE(b.ask(ReopenReturn{"RT-1", "pictures came"}, "LEA").empty());
    CHECK(say(b, "hurt", "no").empty());
}
