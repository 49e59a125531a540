// People come, change and go; and what the shop's own limits change about who may do what.
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

AddPerson someone(const std::string& person, Role role = Role::operator_) {
    AddPerson add;
    add.person = person;
    add.name = "Nele Aske";
    add.role = role;
    add.pin_hash = "h";
    return add;
}

std::string limits(Bench& b, const entries::LimitsSet& set, const std::string& who = "SET") {
    return b.ask(SetLimits{set}, who);
}

// An assembly on hold for a depth that is too short, in quarantine; OPA measured it.
std::string held(Bench& b) {
    b.work_to(Characteristic::depth);
    b.press("36.00");
    const std::string serial = b.state.stopped;
    b.quarantine();
    return serial;
}

}  // namespace

TEST_CASE("R9: the first person sets the station up; everybody else is added by a setter") {
    Bench b;
    CHECK(b.ask(someone("LEA", Role::lead), "") == "bench.first_person_sets_up");
    CHECK(b.ask(someone("SET", Role::setter), "").empty());
    CHECK(b.ask(someone("TWO", Role::setter), "") == "bench.nobody");
    CHECK(b.ask(someone("OPA"), "SET").empty());
    CHECK(b.ask(someone("OPB"), "OPA") == "bench.not_a_setter");
    CHECK(b.ask(someone("OPA"), "SET") == "bench.person_known");
    CHECK(b.ask(someone(""), "SET") == "bench.field_empty");
    auto nameless = someone("NEW");
    nameless.name = "";
    CHECK(b.ask(nameless, "SET") == "bench.field_empty");
    auto open = someone("NEW");
    open.pin_hash = "";
    CHECK(b.ask(open, "SET") == "bench.field_empty");
    open.passphrase_hash = "h";
    open.language = "fr";
    CHECK(b.ask(open, "SET") == "bench.no_language");
    open.language = "de";
    CHECK(b.ask(open, "SET").empty());
    CHECK(b.state.people.at("NEW").language == "de");
    CHECK(b.state.people.at("NEW").pin_hash.empty());
}

TEST_CASE("R9: a badge opens for one person alone, and never for somebody whose id it says") {
    Bench b = Bench::set_up();
    CHECK(b.ask(GiveBadge{"OPA", "B-1"}, "LEA") == "bench.not_a_setter");
    CHECK(b.ask(GiveBadge{"OPA", "B-1"}, "SET").empty());
    CHECK(b.ask(GiveBadge{"OPB", "B-1"}, "SET") == "bench.badge_taken");
    CHECK(b.ask(GiveBadge{"OPB", "OPA"}, "SET") == "bench.badge_taken");
    CHECK(b.ask(GiveBadge{"OPB", ""}, "SET") == "bench.field_empty");
    CHECK(b.ask(GiveBadge{"NOBODY", "B-2"}, "SET") == "bench.no_person");
    CHECK(b.ask(someone("B-1"), "SET") == "bench.badge_taken");
    auto with_badge = someone("NEW");
    with_badge.badge = "B-1";
    CHECK(b.ask(with_badge, "SET") == "bench.badge_taken");

    CHECK(person_of_code(b.state, "B-1", Secret::pin)->first == "OPA");
    CHECK(person_of_code(b.state, "OPA", Secret::pin) == nullptr);  // the badge before opens nothing any more
    CHECK(person_of_code(b.state, "OPA", Secret::passphrase)->first == "OPA");
    CHECK(person_of_code(b.state, "OPB", Secret::pin)->first == "OPB");

    // The badge of somebody who has left may be given on; the id never names two people.
    CHECK(b.ask(RetirePerson{"OPA", "left"}, "SET").empty());
    CHECK(person_of_code(b.state, "B-1", Secret::pin) == nullptr);
    CHECK(person_of_code(b.state, "OPA", Secret::passphrase) == nullptr);
    CHECK(b.ask(GiveBadge{"OPB", "B-1"}, "SET").empty());
    CHECK(b.ask(GiveBadge{"OPB", "OPA"}, "SET") == "bench.badge_taken");
    CHECK(b.ask(someone("OPA"), "SET") == "bench.person_known");
}

TEST_CASE("R3: whoever retires stays in the record and does nothing any more; the last setter cannot go") {
    Bench b = Bench::ready();
    b.ask(commands::SetSecret{"OPA", Secret::pin, "n"}, "OPA");
    CHECK(b.ask(RetirePerson{"OPA", ""}, "SET") == "bench.field_empty");
    CHECK(b.ask(RetirePerson{"OPA", "left"}, "LEA") == "bench.not_a_setter");
    CHECK(b.ask(RetirePerson{"OPA", "left"}, "SET").empty());
    CHECK(b.state.person.empty());  // signed out with it
    CHECK(b.last<entries::SignedOut>()->person == "OPA");
    CHECK(b.state.people.at("OPA").name == "Opal Reed");
    CHECK(b.ask(SignIn{}, "OPA") == "bench.nobody");
    CHECK(b.ask(ChooseLanguage{"de"}, "OPA") == "bench.nobody");
    CHECK(b.ask(commands::SetSecret{"OPA", Secret::pin, "n"}, "OPA") == "bench.nobody");
    for (const auto& code :
         {b.ask(RetirePerson{"OPA", "again"}, "SET"), b.ask(GiveRole{"OPA", Role::lead}, "SET"),
          b.ask(GiveBadge{"OPA", "B-3"}, "SET"), b.ask(commands::SetSecret{"OPA", Secret::pin, "n"}, "SET")})
        CHECK(code == "bench.no_person");

    CHECK(b.ask(RetirePerson{"SET", "tired"}, "SET") == "bench.last_setter");
    CHECK(b.ask(GiveRole{"SET", Role::auditor}, "SET") == "bench.last_setter");
    CHECK(b.ask(GiveRole{"LEB", Role::setter}, "SET").empty());
    CHECK(b.ask(RetirePerson{"SET", "tired"}, "SET").empty());
    CHECK(b.ask(RetirePerson{"LEB", "tired too"}, "LEB") == "bench.last_setter");
}

TEST_CASE("R9: a role that may not measure is not at the bench") {
    Bench b = Bench::ready();
    CHECK(b.ask(GiveRole{"OPA", Role::lead}, "SET").empty());
    CHECK(b.state.person == "OPA");
    CHECK(b.ask(GiveRole{"OPA", Role::auditor}, "LEA") == "bench.not_a_setter");
    CHECK(b.ask(GiveRole{"OPA", Role::auditor}, "SET").empty());
    CHECK(b.state.person.empty());
    CHECK(b.ask(SignIn{}, "OPA") == "bench.not_an_operator");
}

TEST_CASE("a secret is set by a setter or by oneself, and nobody else's by anybody") {
    Bench b = Bench::set_up();
    CHECK(b.ask(commands::SetSecret{"OPA", Secret::passphrase, "p"}, "OPB") == "bench.not_a_setter");
    CHECK(b.ask(commands::SetSecret{"OPA", Secret::passphrase, "p"}, "LEA") == "bench.not_a_setter");
    CHECK(b.ask(commands::SetSecret{"OPA", Secret::passphrase, ""}, "SET") == "bench.field_empty");
    CHECK(b.ask(commands::SetSecret{"OPA", Secret::passphrase, "p"}, "OPA").empty());
    CHECK(b.state.people.at("OPA").passphrase_hash == "p");
    const auto pin = b.state.people.at("OPA").pin_hash;
    CHECK_FALSE(pin.empty());
    CHECK(b.ask(commands::SetSecret{"OPA", Secret::pin, "q"}, "SET").empty());
    CHECK(b.state.people.at("OPA").pin_hash == "q");
    CHECK(b.state.people.at("OPA").passphrase_hash == "p");
}

TEST_CASE("R2: wrong PINs in a row, badges, languages and who has retired are the same after a restart") {
    Bench b = Bench::set_up();
    const auto wrong = [&](const std::string& person) {
        const Facts facts{b.state.last_seq + 1, b.now.utc_ms, ""};
        const EntryBody body = entries::SignInRefused{person};
        apply(b.state, facts, body);
        b.log.push_back({facts, body});
    };
    const auto right = [&](const EntryBody& body) {
        const Facts facts{b.state.last_seq + 1, b.now.utc_ms, ""};
        apply(b.state, facts, body);
        b.log.push_back({facts, body});
    };
    for (int i = 0; i < 5; ++i)
        wrong("OPA");
    wrong("unknown");
    CHECK(b.state.people.at("OPA").wrong_in_a_row == 5);
    CHECK_FALSE(b.state.people.contains("unknown"));
    right(entries::SessionBegun{"OPA", Secret::pin, true});
    CHECK(b.state.people.at("OPA").wrong_in_a_row == 0);
    for (const char* person : {"OPA", "OPB", "OPB", "LEA", "LEB"})
        wrong(person);
    b.ask(SignIn{}, "OPA");
    b.ask(commands::SetSecret{"LEA", Secret::pin, "n"}, "SET");
    b.ask(GiveBadge{"OPA", "B-1"}, "SET");
    b.ask(ChooseLanguage{"de"}, "OPA");
    b.ask(GiveRole{"LEA", Role::auditor}, "SET");
    b.ask(RetirePerson{"LEB", "left"}, "SET");
    const auto again = b.refolded();
    CHECK(dump(again) == dump(b.state));
    CHECK(again.people.at("OPA").wrong_in_a_row == 0);
    CHECK(again.people.at("OPB").wrong_in_a_row == 2);
    CHECK(again.people.at("LEA").wrong_in_a_row == 0);
    CHECK(again.people.at("LEB").wrong_in_a_row == 1);
    CHECK(again.people.at("OPA").badge == "B-1");
    CHECK(again.people.at("OPA").language == "de");
    CHECK(again.people.at("LEA").role == Role::auditor);
    CHECK(again.people.at("LEB").retired);
}

TEST_CASE("R9: who did not come back is signed out, and the order in work stays") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter);
    const auto serial = b.serial();
    CHECK(b.ask(SignOutIdle{}, "").empty());
    CHECK(b.state.person.empty());
    CHECK(b.last<entries::SignedOut>()->cause == "idle");
    CHECK(b.serial() == serial);
    CHECK(b.next().ask == Ask::sign_in);
    CHECK_FALSE(b.press("25.50").empty());  // under nobody's name nothing is measured
    const auto count = b.count<entries::SignedOut>();
    CHECK(b.ask(SignOutIdle{}, "").empty());
    CHECK(b.count<entries::SignedOut>() == count);
    b.ask(SignIn{}, "OPB");
    b.finish();
    CHECK(b.was_passed(serial));
}

TEST_CASE("limits: a setter sets them, each within what makes sense, and they hold from the next step on") {
    Bench b = Bench::ready();
    entries::LimitsSet set = limits_of(b.rules);
    CHECK(limits(b, set, "LEA") == "bench.not_a_setter");
    struct Case {
        std::int64_t entries::LimitsSet::*field;
        std::int64_t below, least, most, above;
    };
    const Case cases[] = {{&entries::LimitsSet::proof_interval_min, 4, 5, 1440, 1441},
                          {&entries::LimitsSet::repeats_allowed, -1, 0, 5, 6},
                          {&entries::LimitsSet::hose_age_years, 0, 1, 10, 11},
                          {&entries::LimitsSet::sign_out_after_min, -1, 0, 480, 481}};
    for (const auto& c : cases)
        for (const auto& [value, code] :
             {std::pair(c.below, "bench.out_of_range"), {c.least, ""}, {c.most, ""}, {c.above, "bench.out_of_range"}}) {
            auto one = set;
            one.*c.field = value;
            CHECK(limits(b, one) == code);
        }
    CHECK(limits(b, set).empty());
    CHECK(limits_of(rules_in_force(b.rules, b.state)) == set);

    // No repeat of an uncertain reading any more: 25.69 mm lies between limit and guard (25.70 - 0.0198).
    set.repeats_allowed = 0;
    CHECK(limits(b, set).empty());
    b.work_to(Characteristic::crimp_diameter);
    b.press("25.69");
    CHECK(b.last<entries::ReadingTaken>()->verdict == Verdict::uncertain);
    CHECK(b.count<entries::AssemblyHeld>() == 1);
    CHECK(dump(b.refolded()) == dump(b.state));
}

TEST_CASE(
    "R9: an operator scraps a failed part that they did not measure, where the shop lets them, and nothing more") {
    Bench b = Bench::ready();
    const auto serial = held(b);
    CHECK(b.ask(SettleHold{serial, Settlement::scrap, "short", ""}, "OPB") == "bench.not_a_lead");
    auto set = limits_of(b.rules);
    set.scrap_by_operator = true;
    REQUIRE(limits(b, set).empty());
    CHECK(b.ask(SettleHold{serial, Settlement::scrap, "short", ""}, "OPA") == "bench.own_hold");
    for (const auto how : {Settlement::recrimp, Settlement::remeasure, Settlement::concession})
        CHECK(b.ask(SettleHold{serial, how, "short", "MAIL-1"}, "OPB") == "bench.not_a_lead");
    CHECK(b.ask(SettleHold{serial, Settlement::scrap, "short", ""}, "SET") == "bench.not_an_operator");
    CHECK(b.ask(SettleHold{serial, Settlement::scrap, "", ""}, "OPB") == "bench.field_empty");
    CHECK(b.ask(SettleHold{serial, Settlement::scrap, "short", ""}, "OPB").empty());
    CHECK(b.assembly(serial).stage == Stage::scrapped);
}

TEST_CASE("R9: where a concession needs two, the second is another lead or a setter who is still here") {
    Bench b = Bench::ready();
    const auto serial = held(b);
    auto set = limits_of(b.rules);
    set.concession_needs_second = true;
    REQUIRE(limits(b, set).empty());
    b.ask(RetirePerson{"LEB", "left"}, "SET");
    const auto settle = [&](const std::string& second) {
        return b.ask(SettleHold{serial, Settlement::concession, "accepted", "MAIL-1", second}, "LEA");
    };
    for (const char* nobody : {"", "LEA", "OPB", "LEB", "NOBODY"}) {
        INFO(nobody);
        CHECK(settle(nobody) == "bench.second_signature");
    }
    CHECK(settle("SET").empty());
    CHECK(b.last<entries::HoldSettled>()->second == "SET");
    CHECK(dump(b.refolded()) == dump(b.state));

    // Anything else needs no second, and says none.
    const auto other = held(b);
    CHECK(b.ask(SettleHold{other, Settlement::scrap, "short", "", "SET"}, "LEA").empty());
    CHECK_FALSE(b.last<entries::HoldSettled>()->second.has_value());
}

TEST_CASE("R9: whoever only looks on prints no tag, not even one whose first print failed") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    b.ask(someone("AUD", Role::auditor), "SET");
    entries::TagPrinting tag;
    tag.serial = serial;
    tag.reason = "first one jammed";
    REQUIRE(b.ask(RecordTag{tag}, "").empty());
    REQUIRE(b.ask(RecordTag{entries::TagFailed{serial, 0, message("printer.refused")}}, "").empty());
    CHECK(b.ask(RecordTag{tag}, "AUD") == "bench.not_an_operator");
    CHECK(b.ask(RecordTag{tag}, "OPA").empty());
}
