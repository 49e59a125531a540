// Holds and assemblies as people read them: what was stopped, what speaks against it, what may be done and by whom.
#include "station/daemon/shown_holds.h"

#include <boost/json.hpp>

#include "tests/station/desk_kit.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
namespace json = boost::json;

namespace {

std::string text(const json::value& object, const char* member) {
    const auto* found = object.as_object().if_contains(member);
    return found == nullptr ? "" : std::string(found->as_string());
}

const json::object& choice(const json::object& assembly, std::string_view how) {
    for (const auto& one : assembly.at("may").as_array())
        if (one.at("how").as_string() == how) return one.as_object();
    FAIL("no choice " << how);
    return assembly;
}

std::vector<std::string> types(const json::object& assembly) {
    std::vector<std::string> out;
    for (const auto& told : assembly.at("history").as_array())
        out.push_back(text(told, "type"));
    return out;
}

Bench with_one_undersize() {
    auto b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter);
    b.press("25.10");
    return b;
}

}  // namespace

TEST_CASE("a stopped assembly comes with what speaks against it, in codes that every language has words for") {
    const Bench b = with_one_undersize();
    const std::string serial = b.state.stopped;
    REQUIRE_FALSE(serial.empty());
    DeskKit kit(b);
    const auto shown = journal_kit::must(shown_assembly(*kit.desk, kit.journal, serial));
    const auto& findings = shown.at("findings").as_array();
    REQUIRE(findings.size() == 1);
    CHECK(text(findings[0], "end") == "a");
    CHECK(text(findings[0].at("message"), "code") == "finding.crimp_below");
    // 25.5 - 0.2 = 25.3 mm is the lower limit; 25.10 mm lies 0.20 mm under it.
    CHECK(text(findings[0].at("message").at("details"), "distance") == "0.20");
    CHECK(shown.at("number") == 1);
    CHECK(text(shown.at("people"), "OPA") == b.state.people.at("OPA").name);
}

TEST_CASE("R7: what cannot be done about an undersize crimp is told with its reason") {
    const Bench b = with_one_undersize();
    DeskKit kit(b);
    const auto shown = journal_kit::must(shown_assembly(*kit.desk, kit.journal, b.state.stopped));
    CHECK(choice(shown, "recrimp").at("possible") == false);
    CHECK(text(choice(shown, "recrimp").at("why"), "code") == "bench.no_recrimp");
    CHECK(choice(shown, "scrap").at("possible") == true);
    CHECK_FALSE(choice(shown, "scrap").contains("why"));
    CHECK(choice(shown, "concession").at("possible") == true);
}

TEST_CASE("R9: whoever measured is not among those who may settle, unless the shop says so") {
    auto b = with_one_undersize();
    const std::string serial = b.state.stopped;
    const auto named = [&](const json::object& shown) {
        std::set<std::string> out;
        for (const auto& one : shown.at("may_settle").as_array())
            out.insert(text(one, "person"));
        return out;
    };
    SECTION("leads who did not measure") {
        DeskKit kit(b);
        const auto shown = journal_kit::must(shown_assembly(*kit.desk, kit.journal, serial));
        CHECK(named(shown) == std::set<std::string>{"LEA", "LEB"});
        CHECK(json::serialize(shown.at("measured_by")) == R"(["OPA"])");
    }
    SECTION("a lead who measured is left out") {
        auto led = Bench::ready();
        led.run(commands::SignOut{}, "OPA");
        led.run(commands::SignIn{}, "LEA");
        led.prove();
        led.work_to(Characteristic::crimp_diameter);
        led.press("25.10");
        REQUIRE_FALSE(led.state.stopped.empty());
        DeskKit kit(led);
        const auto shown = journal_kit::must(shown_assembly(*kit.desk, kit.journal, led.state.stopped));
        CHECK(named(shown) == std::set<std::string>{"LEB"});
    }
    SECTION("operators who did not measure may scrap where the shop allows it, and nothing else") {
        auto limits = limits_of(b.rules);
        limits.scrap_by_operator = true;
        REQUIRE(b.ask(commands::SetLimits{limits}, "SET") == "");
        DeskKit kit(b);
        const auto shown = journal_kit::must(shown_assembly(*kit.desk, kit.journal, serial));
        CHECK(named(shown) == std::set<std::string>{"LEA", "LEB", "OPB"});
        for (const auto& one : shown.at("may_settle").as_array())
            CHECK(one.as_object().contains("scrap_only") == (text(one, "person") == "OPB"));
    }
}

TEST_CASE("R3: the history of an assembly is told in the journal's order, each entry by a code and its person") {
    auto b = with_one_undersize();
    const std::string serial = b.state.stopped;
    b.quarantine(serial);
    b.settle_ok(serial, Settlement::scrap);
    DeskKit kit(b);
    const auto shown = journal_kit::must(shown_assembly(*kit.desk, kit.journal, serial));
    const auto told = types(shown);
    REQUIRE(told.size() >= 5);
    CHECK(told.front() == "assembly.started");
    CHECK(told.back() == "hold.settled");
    std::int64_t before = 0;
    for (const auto& one : shown.at("history").as_array()) {
        INFO(text(one, "type"));
        CHECK(one.at("seq").as_int64() > before);
        before = one.at("seq").as_int64();
        CHECK_THAT(text(one.at("message"), "code"), cqt::contains("told."));
        CHECK(text(one, "time").size() >= 20);
    }
    const auto& last = shown.at("history").as_array().back();
    CHECK(text(last, "who") == "LEA");
    CHECK(text(last.at("message").at("details"), "who") == b.state.people.at("LEA").name);
    CHECK_FALSE(shown.contains("may"));  // settled: nothing is left to be done
}

TEST_CASE("step 8: suspects of one failed proof carry its number, and what is known of that gauge stands beside them") {
    auto b = Bench::ready();
    const auto first = b.good_assembly();
    const auto second = b.good_assembly();
    b.run(commands::ProveGauge{"CAL-1", "RING-25"}, "OPA");
    b.press("25.05");
    const auto* proved = b.last<entries::GaugeProved>();
    REQUIRE(proved != nullptr);
    REQUIRE_FALSE(proved->passed);
    DeskKit kit(b);
    const auto shown = journal_kit::must(shown_holds(*kit.desk, kit.journal, false));
    const auto& holds = shown.at("holds").as_array();
    REQUIRE(holds.size() == 2);
    CHECK(text(holds[0], "serial") == first);
    CHECK(text(holds[1], "serial") == second);
    const auto& doubts = shown.at("doubts").as_array();
    REQUIRE(doubts.size() == 1);
    CHECK(holds[0].at("doubt_seq") == doubts[0].at("seq"));
    CHECK(holds[1].at("doubt_seq") == doubts[0].at("seq"));
    CHECK(text(doubts[0], "kind") == "proof");
    CHECK(doubts[0].at("error_nm") == 50'000);
    CHECK(doubts[0].at("limit_nm") == 20'000);
    CHECK(doubts[0].at("good_seq").as_int64() < doubts[0].at("seq").as_int64());
    CHECK(text(holds[0], "shift") == b.state.shift);
    // The proof that failed is part of what happened to each of them.
    const auto told = types(journal_kit::must(shown_assembly(*kit.desk, kit.journal, first)));
    CHECK(std::count(told.begin(), told.end(), "gauge.proved") == 1);
}

TEST_CASE("step 8: a gauge that is withdrawn leaves suspects that name its withdrawal, with the reason") {
    auto b = Bench::ready();
    b.good_assembly();
    REQUIRE(b.ask(commands::WithdrawGauge{"CAL-1", "jaw bent"}, "LEA") == "");
    DeskKit kit(b);
    const auto shown = journal_kit::must(shown_holds(*kit.desk, kit.journal, false));
    REQUIRE(shown.at("doubts").as_array().size() == 1);
    CHECK(text(shown.at("doubts").at(0), "kind") == "withdrawn");
    CHECK(text(shown.at("doubts").at(0), "reason") == "jaw bent");
    CHECK_FALSE(shown.at("doubts").at(0).as_object().contains("error_nm"));
}

TEST_CASE("a suspicion that comes on top of an open hold is one hold to settle, and counts from the first") {
    auto b = with_one_undersize();
    const std::string serial = b.state.stopped;
    b.quarantine(serial);
    const auto first = b.assembly(serial).hold->seq;
    b.run(commands::ProveGauge{"CAL-1", "RING-25"}, "OPA");
    b.press("25.05");
    REQUIRE(b.assembly(serial).hold->cause == HoldCause::suspect);
    {
        DeskKit kit(b);
        const auto shown = journal_kit::must(shown_holds(*kit.desk, kit.journal, false));
        REQUIRE(shown.at("holds").as_array().size() == 1);
        CHECK(text(shown.at("holds").at(0), "cause") == "suspect");
        CHECK(shown.at("holds").at(0).at("first_held_seq") == first);
        CHECK(shown.at("holds").at(0).at("seq") == b.assembly(serial).hold->seq);
    }
    b.settle_ok(serial, Settlement::scrap);
    DeskKit kit(b);
    CHECK(journal_kit::must(shown_holds(*kit.desk, kit.journal, false)).at("holds").as_array().empty());
    CHECK(journal_kit::must(shown_holds(*kit.desk, kit.journal, true)).at("holds").as_array().size() == 2);
}

TEST_CASE("R9: a lead who is not at the bench puts what lies on the rack on hold, and the hold is theirs") {
    auto b = Bench::ready();
    const auto serial = b.good_assembly();
    REQUIRE(b.state.person == "OPA");
    CHECK(b.ask(commands::HoldAssembly{"", serial}, "LEA") == "bench.field_empty");
    CHECK(b.ask(commands::HoldAssembly{"dent in the shell", serial}, "SET") == "bench.not_an_operator");
    CHECK(b.ask(commands::HoldAssembly{"dent in the shell", serial}, "LEA") == "");
    DeskKit kit(b);
    const auto shown = journal_kit::must(shown_holds(*kit.desk, kit.journal, false));
    REQUIRE(shown.at("holds").as_array().size() == 1);
    CHECK(text(shown.at("holds").at(0), "cause") == "person");
    CHECK(text(shown.at("holds").at(0), "reason") == "dent in the shell");
    CHECK(text(shown.at("holds").at(0), "who") == "LEA");
    CHECK(b.ask(commands::HoldAssembly{"not mine to stop"}, "LEA") == "bench.not_signed_in");
}

TEST_CASE("an assembly that nobody made is refused by name") {
    const Bench b = Bench::ready();
    DeskKit kit(b);
    const auto unknown = shown_assembly(*kit.desk, kit.journal, "K100Z");
    REQUIRE_FALSE(unknown);
    CHECK(unknown.error().code == "trace.no_serial");
}
