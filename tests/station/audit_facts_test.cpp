// From the journal to what an audit is reckoned from: which assemblies, and what belongs to them.
#include "tests/station/audit_facts_kit.h"

using namespace facts_kit;

TEST_CASE("a shift's audit has every assembly that was started in it, with what became of each") {
    const Day day;
    const auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
    REQUIRE(serials(facts) == std::set<std::string>{"K100A", "K100B", "K100C", "K100D", "K100E"});
    CHECK(facts.assemblies.front().serial == "K100A");
    const auto of = [&](const std::string& serial) {
        return *std::find_if(facts.assemblies.begin(), facts.assemblies.end(),
                             [&](const auto& a) { return a.serial == serial; });
    };
    CHECK(of("K100A").stage == "on_hold");  // passed, and suspect since its gauge failed
    CHECK(of("K100A").passed_seq > of("K100A").started_seq);
    CHECK(of("K100A").passed_ms >= of("K100A").started_ms);
    CHECK(of("K100A").person == "OP-7");
    CHECK(of("K100A").spec_a == "NH2-12/A");
    CHECK(of("K100A").revision_b == "2");
    CHECK(of("K100A").die_set_b == "D31");
    CHECK(of("K100A").crimper_a == "C1");
    CHECK(of("K100A").fitting_b_lot == "FB-1");
    CHECK(of("K100B").stage == "passed");
    CHECK(of("K100B").recrimps == 1);
    CHECK(of("K100C").stage == "scrapped");
    CHECK(of("K100C").passed_seq == 0);
    CHECK(of("K100D").concession_reference == "HN mail of 4 March");
    CHECK(of("K100E").stage == "on_hold");
    CHECK(in_order(facts.ends));
    CHECK(in_order(facts.readings));
    CHECK(in_order(facts.holds));
    CHECK(in_order(facts.refusals));
    CHECK(in_order(facts.proofs));
    CHECK(in_order(facts.happenings));
    CHECK(facts.journal.last_seq == must(day.journal.last_seq()));
    CHECK(facts.journal.last_hash == to_hex(must(day.journal.entry(facts.journal.last_seq))->hash));
    CHECK(facts.journal.station == "bench-1");
    CHECK(facts.journal.verified_seq == 0);
}

TEST_CASE("a voided reading stays among the facts with who voided it and why") {
    const Day day;
    const auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
    std::vector<audit::ReadingFact> voided;
    for (const auto& reading : facts.readings)
        if (reading.voided_seq > 0) voided.push_back(reading);
    REQUIRE(voided.size() == 1);
    CHECK(voided[0].serial == "K100A");
    CHECK(voided[0].value == 31020_um);
    CHECK(voided[0].void_reason == "slipped off the flat");
    CHECK(voided[0].voided_by == "OP-7");
    CHECK(voided[0].voided_ms >= voided[0].ms);
    CHECK(voided[0].lower == 30850_um);
    CHECK(voided[0].guard == 20_um);
    CHECK(voided[0].flat == 1);
    CHECK(voided[0].proof_seq > 0);
}

TEST_CASE("ends that conform have no findings, and one that failed says what of it") {
    const Day day;
    const auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
    REQUIRE(facts.ends.size() == 3);
    for (const auto& end : facts.ends) {
        INFO(end.serial << " " << end.end);
        CHECK(end.mean == 31020_um);
        CHECK(end.spread == 10_um);
        CHECK(end.findings.empty() == (end.verdict == "conforms"));
    }
    const auto& failed = facts.ends.back();
    CHECK(failed.serial == "K100B");
    REQUIRE(failed.findings.size() == 1);
    CHECK(failed.findings[0].what == "crimp_diameter");
    CHECK(failed.findings[0].verdict == "fails");
}

TEST_CASE("holds come with who settled them and how; open ones without") {
    const Day day;
    const auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
    REQUIRE(facts.holds.size() == 5);
    CHECK(facts.holds[0].how == "recrimp");
    CHECK(facts.holds[0].settled_by == "LD-1");
    CHECK(facts.holds[0].settled_seq > facts.holds[0].seq);
    CHECK(facts.holds[0].settle_reason == "seen by the lead");
    CHECK(facts.holds[2].customer_reference == "HN mail of 4 March");
    CHECK(facts.holds[3].serial == "K100A");
    CHECK(facts.holds[3].cause == "suspect");
    CHECK(facts.holds[3].settled_seq == 0);
    CHECK(facts.holds[3].settled_ms == 0);
}

TEST_CASE("beside the work stand refusals, set-ups, proofs, gauges and the shift with its signature") {
    const Day day;
    const auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
    REQUIRE(facts.refusals.size() == 1);
    CHECK(facts.refusals[0].serial == "K100C");
    CHECK(facts.refusals[0].why == message("driver.wrong_unit").with("unit", "in"));
    REQUIRE(facts.setups.size() == 1);
    CHECK(facts.setups[0].mean == 31005_um);
    CHECK(facts.setups[0].correction == -5_um);
    CHECK(facts.setups[0].passed);
    REQUIRE(facts.proofs.size() == 2);
    CHECK(facts.proofs[0].passed);
    CHECK_FALSE(facts.proofs[1].passed);
    CHECK(facts.proofs[1].error == 49_um);
    REQUIRE(facts.gauges.size() == 1);  // G2 was withdrawn before and measured nothing
    CHECK(facts.gauges[0].gauge == "G1");
    CHECK(facts.gauges[0].uncertainty == 11_um);  // as the study set it
    REQUIRE(facts.shifts.size() == 1);
    CHECK(facts.shifts[0].signed_off_by == "LD-1");
    CHECK(facts.shifts[0].remark == "one scrapped, seen");
    CHECK(facts.shifts[0].upto_seq < facts.shifts[0].signed_off_seq);
    CHECK(facts.shifts[0].ended_seq > 0);
    CHECK_FALSE(facts.shifts[0].running);
}

TEST_CASE("what happened in the shift is told in the journal's words; what came before it is not, its signature is") {
    const Day day;
    const auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
    const auto types = happened(facts);
    for (const auto* type : {"reading.voided", "hold.settled", "gauge.proved", "gauge.lost", "drift.warned",
                             "shift.ended", "shift.signed_off", "watch.set", "tag.printing"})
        CHECK(types.contains(type));
    // Settled before the shift began, and the everyday run of the work.
    for (const auto* type : {"table.adopted", "order.opened", "clock.accepted", "reading.taken", "reading.refused"})
        CHECK_FALSE(types.contains(type));
    const auto signature = std::find_if(facts.happenings.begin(), facts.happenings.end(),
                                        [](const auto& h) { return h.type == "shift.signed_off"; });
    CHECK(signature->person == "LD-1");
    CHECK(signature->told == words_of(entries::ShiftSignedOff{shift, "one scrapped, seen", 0}, "LD-1"));
}

TEST_CASE("a stream carries its spec row as the assemblies do, and frozen limits only while nobody released them") {
    const Day day;
    auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
    REQUIRE(facts.streams.size() == 1);
    CHECK(facts.streams[0].stream == "NH2-12/A|2|C1|D31");
    CHECK(facts.streams[0].stream == stream_of(invented_row("2")));
    CHECK(facts.streams[0].lower == 30850_um);
    CHECK(facts.streams[0].upper == 31150_um);
    CHECK(facts.streams[0].nominal == 31000_um);
    CHECK(facts.streams[0].places == 2);
    CHECK(facts.frozen.empty());
    CHECK(facts.watch_rules == entries::WatchSet{}.rules);
    CHECK_FALSE(facts.inches);

    Day other;
    entries::LimitsFrozen limits;
    limits.stream = "NH2-12/A|2|C1|D31";
    limits.chart = ChartOf::spreads;
    limits.centre = 20_um;
    limits.upper = 60_um;
    limits.sigma = 12_um;
    limits.points = 25;
    limits.reason = "first month";
    limits.left_out = {17, 23};
    entries::LimitsFrozen elsewhere = limits;
    elsewhere.stream = "ELSE|1|C1|D9";
    entries::LimitsSet inches;
    inches.shown_unit = ShownUnit::inch;
    entries::WatchSet watch;
    watch.rules = {"nine_on_one_side"};
    must(other.journal.append(
        {draft(limits, "LD-1"), draft(elsewhere, "LD-1"), draft(inches, "LD-1"), draft(watch, "LD-1")}, at(999)));
    facts = narrowed(other.journal, [](Scope& s) { s.shift = shift; });
    REQUIRE(facts.frozen.size() == 1);
    CHECK(facts.frozen[0].spreads);
    CHECK(facts.frozen[0].upper == 60_um);
    CHECK(facts.frozen[0].person == "LD-1");
    CHECK(facts.frozen[0].left_out == std::vector<std::int64_t>{17, 23});
    CHECK(facts.inches);
    CHECK(facts.watch_rules == std::vector<std::string>{"nine_on_one_side"});
}

TEST_CASE("what comes for a signed shift afterwards is among its facts") {
    Day day;
    const auto signed_at = must(day.journal.last_seq());
    std::int64_t held = 0;
    for (const auto& hold : narrowed(day.journal, [](Scope& s) { s.shift = shift; }).holds)
        if (hold.serial == "K100E") held = hold.seq;
    must(day.journal.append({draft(entries::HoldSettled{"K100E", Settlement::scrap, "bent", "", held}, "LD-1"),
                             draft(entries::OrderTaken{"O-1002"}, "OP-7")},
                            at(999)));
    const auto facts = narrowed(day.journal, [](Scope& s) { s.shift = shift; });
    const auto late = facts.happenings.back();
    CHECK(late.type == "hold.settled");
    CHECK(late.serial == "K100E");
    CHECK(late.seq > signed_at);
    CHECK(facts.holds.back().settled_seq == late.seq);
    CHECK(facts.assemblies.back().stage == "scrapped");
}

TEST_CASE("every member of a scope narrows, alone and together") {
    const test::Bench bench = two_shifts();
    const Folder folder;
    const Journal journal = test::journal_of(bench, folder / "j.sqlite");
    Scope all;
    all.order = "A-100";
    const auto whole = facts_of(journal, all);
    REQUIRE(whole.assemblies.size() == 3);
    std::vector<std::string> made;
    for (const auto& assembly : whole.assemblies)
        made.push_back(assembly.serial);
    const auto first = whole.assemblies[0].shift, second = whole.assemblies[2].shift;
    REQUIRE(first != second);
    using Set = std::set<std::string>;
    const auto of = [&](auto change) { return serials(narrowed(journal, change)); };
    CHECK(of([&](Scope& s) { s.shift = first; }) == Set{made[0], made[1]});
    CHECK(of([&](Scope& s) { s.shift = second; }) == Set{made[2]});
    CHECK(of([&](Scope& s) { s.hose_lot = "H-2"; }) == Set{made[1]});
    CHECK(of([&](Scope& s) { s.hose_lot = "H-1"; }) == Set{made[0], made[2]});
    CHECK(of([&](Scope& s) { s.hose_lot = "H-1", s.shift = first; }) == Set{made[0]});
    CHECK(of([&](Scope& s) { s.person = "OPB"; }) == Set{made[2]});
    CHECK(of([&](Scope& s) { s.person = "OPA"; }) == Set{made[0], made[1]});
    CHECK(of([&](Scope& s) { s.person = "SET"; }).empty());
    CHECK(of([&](Scope& s) { s.gauge = "CAL-1"; }).size() == 3);
    CHECK(of([&](Scope& s) { s.spec = "NH-2SN-08"; }).size() == 3);
    CHECK(of([&](Scope& s) { s.die_set = whole.assemblies[0].die_set_a; }).size() == 3);
    CHECK(of([&](Scope& s) { s.die_set = "another"; }).empty());
    CHECK(of([&](Scope& s) { s.customer = whole.assemblies[0].customer; }).size() == 3);
    CHECK(of([&](Scope& s) { s.customer = "nobody's"; }).empty());

    AuditAsked time;
    time.from_ms = whole.assemblies[1].started_ms;
    CHECK(serials(facts_of(journal, time)) == Set{made[1], made[2]});  // inclusive
    time.to_ms = whole.assemblies[2].started_ms;
    CHECK(serials(facts_of(journal, time)) == Set{made[1]});  // exclusive
}

TEST_CASE("a narrowed audit takes of the happenings what speaks of its assemblies, gauges, orders or streams") {
    const test::Bench bench = two_shifts();
    const Folder folder;
    const Journal journal = test::journal_of(bench, folder / "j.sqlite");
    const auto lot = narrowed(journal, [](Scope& s) { s.hose_lot = "H-2"; });
    REQUIRE(lot.assemblies.size() == 1);
    for (const auto& happening : lot.happenings) {
        INFO(happening.type);
        CHECK((happening.serial.empty() || happening.serial == lot.assemblies[0].serial));
        CHECK_FALSE(happening.type.starts_with("person."));
    }
    const auto types = happened(lot);
    CHECK(types.contains("reading.voided"));
    CHECK(types.contains("hold.settled"));
    REQUIRE(lot.holds.size() == 1);
    CHECK(lot.holds[0].how == "concession");
    CHECK_FALSE(lot.assemblies[0].concession_reference.empty());
    // The other shift's readings are none of its own.
    for (const auto& reading : lot.readings)
        CHECK((reading.purpose == "setup" || reading.serial == lot.assemblies[0].serial));
}

TEST_CASE("R7: of each gauge come the last good proof before the shift and the first one after it") {
    const test::Bench bench = two_shifts();
    const Folder folder;
    const Journal journal = test::journal_of(bench, folder / "j.sqlite");
    Scope scope;
    scope.order = "A-100";
    const auto shifts = facts_of(journal, scope).shifts;
    REQUIRE(shifts.size() == 2);
    CHECK_FALSE(shifts[0].running);
    CHECK(shifts[1].running);
    const auto first = narrowed(journal, [&](Scope& s) { s.shift = shifts[0].shift; });
    const auto second = narrowed(journal, [&](Scope& s) { s.shift = shifts[1].shift; });
    // Two in the first shift (its beginning and its end), one at the beginning of the second.
    REQUIRE(first.proofs.size() == 3);
    CHECK(first.proofs.back().seq > shifts[0].ended_seq);
    REQUIRE(second.proofs.size() == 2);
    CHECK(second.proofs.front().seq == first.proofs[1].seq);
    CHECK(second.proofs.front().seq < shifts[1].started_seq);
    for (const auto& reading : second.readings)
        CHECK(reading.proof_seq == second.proofs.back().seq);
}

TEST_CASE("R7: every assembly that a failed gauge casts doubt on is suspect in the audit") {
    test::Bench b = test::Bench::ready();
    const auto made = b.good_assembly();
    b.prove("CAL-1", "25.10");
    const Folder folder;
    const Journal journal = test::journal_of(b, folder / "j.sqlite");
    const auto facts = narrowed(journal, [&](Scope& s) { s.gauge = "CAL-1"; });
    REQUIRE(facts.holds.size() == 1);
    CHECK(facts.holds[0].serial == made);
    CHECK(facts.holds[0].cause == "suspect");
    CHECK(facts.holds[0].gauge == "CAL-1");
    CHECK(facts.assemblies[0].stage == "on_hold");
    CHECK_FALSE(facts.proofs.back().passed);
}

TEST_CASE("what the journal does not know is refused by name, not answered with an empty audit") {
    const Day day;
    const auto code = [&](auto change) {
        AuditAsked asked;
        change(asked.scope);
        const auto facts = audit_facts(day.journal, asked, words_of);
        return facts ? std::string() : facts.error().code;
    };
    CHECK(code([](Scope& s) { s.shift = "2025-03-04/2"; }) == "audit.no_shift");
    CHECK(code([](Scope& s) { s.order = "O-1"; }) == "audit.no_order");
    CHECK(code([](Scope& s) { s.spec = "NH"; }) == "audit.no_spec");
    CHECK(code([](Scope& s) { s.gauge = "G3"; }) == "audit.no_gauge");
    CHECK(code([](Scope& s) { s.person = "OP-8"; }) == "audit.no_person");
    CHECK(code([](Scope& s) { s.order = "O-1002"; }).empty());  // opened, and nothing made of it yet
}

TEST_CASE("days are the shop's: from midnight to midnight in its zone, however long that is") {
    // Europe/Berlin in 2025: UTC+1, from 30 March UTC+2 (the EU's rule: last Sunday of March, 01:00 UTC).
    CHECK(utc_ms_of("2025-03-04") == 1'741'042'800'000);  // 2025-03-03T23:00:00Z
    CHECK(utc_ms_of("2025-03-31") - utc_ms_of("2025-03-30") == 23 * 3'600'000);
    CHECK(local_time_text(1'741'064'767'089, "Europe/Berlin") == "2025-03-04 06:06:07");
    const Day day;
    const AuditSetting setting{"", 1'741'100'000'000, ShownUnit::mm};
    Scope scope;
    scope.from_day = scope.to_day = "2025-03-04";
    const auto facts = must(audit_facts_of(day.journal, scope, setting));
    CHECK(facts.time_zone == "Europe/Berlin");  // of station.started
    CHECK(facts.today == "2025-03-04");
    CHECK(facts.now_ms == setting.now_ms);
    CHECK(facts.assemblies.size() == 5);
    CHECK(facts.shifts.size() == 1);
    scope.from_day = scope.to_day = "2025-03-05";
    CHECK(must(audit_facts_of(day.journal, scope, setting)).assemblies.empty());
    scope.to_day = "2025-03-04";
    CHECK(audit_facts_of(day.journal, scope, setting).error().code == "audit.days_reversed");
    scope.to_day = "2025-02-30";
    CHECK(audit_facts_of(day.journal, scope, setting).error().code == "date.no_such_day");
    CHECK(audit_facts_of(day.journal, Scope{}, setting).error().code == "audit.scope_empty");
}

TEST_CASE("an audit of a file opened for reading leaves nothing behind in it") {
    const Folder folder;
    const auto file = folder / "j.sqlite";
    {
        Journal journal = open_journal(file);
        live_through(journal);
    }
    auto options = station("");
    options.access = JournalAccess::read;
    const Journal reading = open_journal(file, options);
    const auto once = narrowed(reading, [](Scope& s) { s.shift = shift; });
    const auto again = narrowed(reading, [](Scope& s) { s.shift = shift; });
    CHECK(once.assemblies.size() == 5);
    CHECK(again.happenings.size() == once.happenings.size());
    CHECK(again.readings.size() == once.readings.size());
}
