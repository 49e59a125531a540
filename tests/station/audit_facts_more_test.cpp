// Mountings, confirmations and tags among the audit's facts.
#include "tests/station/audit_facts_kit.h"

using namespace facts_kit;

TEST_CASE(
    "set-up pieces carry the mounting that they were made on: a new shift, die set or setting, and nothing else") {
    test::Bench b = two_shifts();
    const auto die = *b.last<entries::DieConfirmed>();
    // The first order is complete: another one, for pieces to be made to.
    REQUIRE(b.ask(commands::OpenOrder{test::bench_order("A-200")}, "SET").empty());
    REQUIRE(b.ask(commands::TakeOrder{"A-200"}, "OPB").empty());
    // Confirmed again as it was: the same mounting, and the set-up is still good.
    REQUIRE(b.ask(commands::ConfirmDie{die.die_set, die.crimper, die.setting}, "OPB").empty());
    REQUIRE(b.ask(commands::ConfirmLots{"H-2", "FA-1", "FB-1"}, "OPB").empty());
    b.good_setup();
    REQUIRE(b.ask(commands::ConfirmDie{die.die_set, die.crimper, die.setting + "1"}, "OPB").empty());
    b.good_setup();
    const Folder folder;
    const Journal journal = test::journal_of(b, folder / "j.sqlite");
    AuditAsked all;
    all.from_ms = 1;
    std::vector<std::int64_t> mountings;
    for (const auto& setup : facts_of(journal, all).setups)
        if (setup.passed) mountings.push_back(setup.mounting_seq);
    // First shift: lots H-1 and H-2; second: H-1, H-2 after the idle confirmation, H-2 at another setting.
    REQUIRE(mountings.size() == 5);
    CHECK(mountings[0] > 0);
    CHECK(mountings[1] == mountings[0]);
    CHECK(mountings[2] > mountings[1]);
    CHECK(mountings[3] == mountings[2]);
    CHECK(mountings[4] > mountings[3]);
}

TEST_CASE("who confirmed what of which end is among the facts, of the audit's assemblies alone") {
    const test::Bench bench = two_shifts();
    const Folder folder;
    const Journal journal = test::journal_of(bench, folder / "j.sqlite");
    Scope scope;
    scope.order = "A-100";
    const auto whole = facts_of(journal, scope);
    REQUIRE(whole.assemblies.size() == 3);
    REQUIRE_FALSE(whole.confirmations.empty());
    CHECK(in_order(whole.confirmations));
    std::size_t ours = 0;
    for (const auto& confirmation : whole.confirmations) {
        INFO(confirmation.seq);
        CHECK(confirmation.person == (confirmation.serial == whole.assemblies[2].serial ? "OPB" : "OPA"));
        CHECK((confirmation.end == "a" || confirmation.end == "b"));
        CHECK_FALSE(confirmation.what.empty());
        CHECK(confirmation.ms > 0);
        ours += confirmation.serial == whole.assemblies[1].serial;
    }
    const auto lot = narrowed(journal, [](Scope& s) { s.hose_lot = "H-2"; });
    CHECK(lot.confirmations.size() == ours);
}

TEST_CASE("R11: how a tag stands is a fact: failed, and printed once the same copy was made again") {
    Day day;
    const auto tag_of = [&] {
        const auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
        const auto found = std::find_if(facts.tags.begin(), facts.tags.end(),
                                        [](const auto& t) { return t.serial == "K100B" && t.copy == 5; });
        REQUIRE(found != facts.tags.end());
        CHECK(found->state_ms > 0);
        return *found;
    };
    entries::TagPrinting printing;
    printing.serial = "K100B";
    printing.copy = 5;
    printing.reason = "torn";
    must(day.journal.append({draft(printing, "OP-7")}, at(990)));
    CHECK(tag_of().state == "printing");
    must(day.journal.append({draft(entries::TagFailed{"K100B", 5, message("printer.gone")}, "")}, at(991)));
    const auto failed = tag_of();
    CHECK(failed.state == "failed");
    CHECK(failed.person == "OP-7");
    CHECK(failed.reason == "torn");
    must(day.journal.append({draft(printing, "OP-7"), draft(entries::TagPrinted{"K100B", 5, "job-9"}, "")}, at(992)));
    CHECK(tag_of().state == "printed");
    CHECK(tag_of().state_seq > failed.state_seq);
}
