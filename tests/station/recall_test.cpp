// R12 and recalls: from one thing that is in doubt to every assembly that shares it, and to whoever has it.
#include "station/journal/recall.h"

#include <algorithm>
#include <set>

#include "station/bench/decide.h"
#include "station/entries/describe_entries.h"
#include "tests/station/kept_journal.h"
#include "tests/support/bench_fixture.h"

using namespace journal_kit;
using namespace crimpgate::commands;
using crimpgate::test::Bench;

namespace {

constexpr const char* second_customer = "Quillhaven Dredging (invented)";

std::vector<RecallRow> rows_of(const Journal& journal, const RecallAsked& asked, RecallFound* found = nullptr) {
    std::vector<RecallRow> rows;
    const auto made = must(recall(journal, asked, [&](const RecallRow& row) { rows.push_back(row); }));
    CHECK(made.assemblies == static_cast<std::int64_t>(rows.size()));
    if (found != nullptr) *found = made;
    return rows;
}

using Criteria = std::vector<entries::RecallCriterion>;

std::vector<std::string> serials(const Journal& journal, Criteria criteria,
                                 std::optional<std::int64_t> from = std::nullopt,
                                 std::optional<std::int64_t> to = std::nullopt) {
    RecallAsked asked;
    asked.criteria = std::move(criteria);
    asked.from_ms = from;
    asked.to_ms = to;
    std::vector<std::string> out;
    for (const auto& row : rows_of(journal, asked))
        out.push_back(row.serial);
    return out;
}

std::string refusal(const Journal& journal, Criteria criteria) {
    RecallAsked asked;
    asked.criteria = std::move(criteria);
    const auto made = recall(journal, asked, [](const RecallRow&) {});
    return made ? "" : made.error().code;
}

void print_tag(Bench& b, const std::string& serial) {
    b.ask(RecordTag{entries::TagPrinting{serial, 0, "", "00", serial + ".pdf", ""}}, "");
    b.ask(RecordTag{entries::TagPrinted{serial, 0, ""}}, "");
}

using Strings = std::vector<std::string>;

// Six assemblies: two in lot H-1 by OPA; the die set confirmed anew with another setting; two in lot H-2 by OPA; then
// CAL-2 and OPB, two more for another customer. One of each customer was delivered.
struct Story {
    Bench b = Bench::ready();
    Strings made;
    std::int64_t second_pair_from = 0, second_pair_to = 0;
    std::string customer;

    Story() {
        customer = b.state.orders.at("A-100").order.customer;
        b.ask(RegisterGauge{test::caliper("CAL-2")}, "SET");
        b.ask(GaugeReturned{"CAL-2"}, "");
        auto order = test::bench_order("B-200");
        order.customer = second_customer;
        b.ask(OpenOrder{order}, "SET");
        auto wide = test::bench_order("A-101");
        b.ask(OpenOrder{wide}, "SET");
        for (int i = 0; i < 2; ++i)
            assembly();
        b.now.utc_ms += 3'600'000;
        b.ask(ConfirmLots{"H-2", "FA-1", "FB-1"});
        b.good_setup();
        second_pair_from = b.now.utc_ms;
        assembly();
        b.ask(TakeOrder{"A-101"});
        settle_in("H-2");
        assembly();
        second_pair_to = b.now.utc_ms + 1;
        b.now.utc_ms += 60'000;  // less than an idle person is signed out after
        b.ask(SignOut{}, "OPA");
        b.ask(SignIn{}, "OPB");
        b.ask(TakeOrder{"B-200"}, "OPB");
        b.ask(ConfirmLots{"H-1", "FA-1", "FB-1"}, "OPB");
        b.ask(ConfirmDie{"D-26", "C-1", "4.3"}, "OPB");
        for (int i = 0; i < 2; ++i)
            assembly();
        for (const auto& serial : made)
            print_tag(b, serial);
        send(customer, made[0]);
        send(second_customer, made[4]);
    }

    void settle_in(const std::string& lot) { b.ask(ConfirmLots{lot, "FA-1", "FB-1"}, b.state.person); }
    void assembly() {
        const auto serial = b.good_assembly();
        if (serial.empty()) throw std::logic_error("the bench made none: " + test::dump(b.next()));
        made.push_back(serial);
    }
    void send(const std::string& to, const std::string& serial) {
        SendDelivery delivery;
        delivery.customer = to;
        delivery.note_number = "LS-" + serial;
        delivery.to = "Gate of " + to;
        delivery.serials = {serial};
        if (const auto code = b.ask(delivery, "LEA"); !code.empty()) throw std::logic_error(code);
    }
};

const Story& story() {
    static const Story made;
    return made;
}
KeptJournal& kept() {
    static KeptJournal journal(story().b);
    return journal;
}

Strings some(std::initializer_list<int> which) {
    Strings out;
    for (const int i : which)
        out.push_back(story().made.at(static_cast<std::size_t>(i)));
    return out;
}

}  // namespace

TEST_CASE("a recall of a hose lot finds every assembly of it, in the order of making, and says who has them") {
    RecallAsked asked;
    asked.criteria = {{"hose_lot", "H-1"}};
    RecallFound found;
    const auto rows = rows_of(kept().journal, asked, &found);
    Strings got;
    for (const auto& row : rows)
        got.push_back(row.serial);
    CHECK(got == some({0, 1, 4, 5}));
    CHECK(found.delivered == 2);
    REQUIRE(found.customers.size() == 2);
    CHECK(found.customers.at(story().customer) == RecallShare{2, 1});
    CHECK(found.customers.at(second_customer) == RecallShare{2, 1});
    CHECK(rows[0].delivery == "DL-1");
    CHECK(rows[0].to == "Gate of " + story().customer);
    CHECK(rows[0].note_number == "LS-" + rows[0].serial);
    CHECK(rows[0].delivered == story().b.now.local_date);
    CHECK(rows[1].delivery.empty());
    CHECK(rows[0].verdict == "conforms");
    CHECK(rows[0].spec_a == "NH-2SN-08");
    CHECK(rows[0].started_by == "OPA");
    CHECK(rows[4 - 2].started_by == "OPB");
    CHECK(rows[0].passed_ms > rows[0].started_ms);
}

TEST_CASE("the hash of a recall is that of its serials in order, one a line") {
    RecallAsked asked;
    asked.criteria = {{"hose_lot", "H-1"}};
    RecallFound found;
    std::string list;
    for (const auto& row : rows_of(kept().journal, asked, &found))
        list += row.serial + "\n";
    CHECK(found.list_sha256 == to_hex(sha256(list)));
}

TEST_CASE("each criterion of a recall finds what shares it and nothing else") {
    const auto& journal = kept().journal;
    CHECK(serials(journal, {{"hose_lot", "H-2"}}) == some({2, 3}));
    CHECK(serials(journal, {{"fitting_lot", "FB-1"}}) == some({0, 1, 2, 3, 4, 5}));
    CHECK(serials(journal, {{"order", "A-101"}}) == some({3}));
    CHECK(serials(journal, {{"customer", second_customer}}) == some({4, 5}));
    CHECK(serials(journal, {{"operator", "OPB"}}) == some({4, 5}));
    CHECK(serials(journal, {{"operator", "OPA"}}) == some({0, 1, 2, 3}));
    CHECK(serials(journal, {{"gauge", "CAL-1"}}) == story().made);
    CHECK(serials(journal, {{"gauge", "CAL-2"}}).empty());
    const auto row = test::bench_row();
    CHECK(serials(journal, {{"die_set", row.die_set}}) == story().made);
    CHECK(serials(journal, {{"crimper", row.crimper}}) == story().made);
    CHECK(serials(journal, {{"spec_row", row.spec_id}}) == story().made);
    CHECK(serials(journal, {{"spec_revision", row.revision}}) == story().made);
}

TEST_CASE("criteria of a recall narrow each other") {
    const auto& journal = kept().journal;
    CHECK(serials(journal, {{"hose_lot", "H-1"}, {"operator", "OPB"}}) == some({4, 5}));
    CHECK(serials(journal, {{"hose_lot", "H-1"}, {"gauge", "CAL-1"}, {"order", "A-100"}}) == some({0, 1}));
    CHECK(serials(journal, {{"hose_lot", "H-2"}, {"operator", "OPB"}}).empty());
    CHECK(serials(journal, {{"hose_lot", "H-1"}, {"hose_lot", "H-2"}}).empty());
    CHECK(serials(journal, {{"customer", second_customer}, {"hose_lot", "H-1"}}) == some({4, 5}));
}

TEST_CASE("a recall of a time finds what was in work in it, of a gauge or a person what they read in it") {
    const auto& journal = kept().journal;
    const auto from = story().second_pair_from, to = story().second_pair_to;
    CHECK(serials(journal, {}, from, to) == some({2, 3}));
    CHECK(serials(journal, {{"gauge", "CAL-1"}}, from, to) == some({2, 3}));
    CHECK(serials(journal, {{"operator", "OPA"}}, from, to) == some({2, 3}));
    CHECK(serials(journal, {{"operator", "OPB"}}, from, to).empty());
    CHECK(serials(journal, {}, to, std::nullopt) == some({4, 5}));
    CHECK(serials(journal, {}, std::nullopt, from) == some({0, 1}));
    CHECK(serials(journal, {{"hose_lot", "H-1"}}, to, std::nullopt) == some({4, 5}));
    // An instant in the middle of an assembly's work is enough: it was under the gauge then.
    const auto row = rows_of(journal, {{{"order", "A-101"}}, std::nullopt, std::nullopt, 0}).at(0);
    CHECK(serials(journal, {}, row.started_ms + 1, row.started_ms + 2) == some({3}));
}

TEST_CASE("around a serial lies what was crimped in the same set-up, or so many before and after") {
    const auto& journal = kept().journal;
    CHECK(serials(journal, {{"around_serial", story().made[0]}}) == some({0, 1}));
    CHECK(serials(journal, {{"around_serial", story().made[3]}}) == some({2, 3}));
    CHECK(serials(journal, {{"around_serial", story().made[4]}}) == some({4, 5}));
    CHECK(serials(journal, {{"around_serial", story().made[2]}, {"around_count", "1"}}) == some({1, 2, 3}));
    CHECK(serials(journal, {{"around_serial", story().made[0]}, {"around_count", "2"}}) == some({0, 1, 2}));
    CHECK(serials(journal, {{"around_serial", story().made[4]}, {"around_count", "50"}, {"hose_lot", "H-2"}}) ==
          some({2, 3}));
}

TEST_CASE("a word mistyped is no empty list: what the record does not know is refused") {
    const auto& journal = kept().journal;
    for (const char* what : {"hose_lot", "fitting_lot", "die_set", "crimper", "gauge", "spec_row", "spec_revision",
                             "operator", "customer", "order", "around_serial"}) {
        INFO(what);
        CHECK(refusal(journal, {{what, "NO-SUCH"}}) == "recall.not_known");
    }
    CHECK(refusal(journal, {}) == "recall.nothing_asked");
    CHECK(refusal(journal, {{"colour", "black"}}) == "recall.bad_criterion");
    CHECK(refusal(journal, {{"around_count", "3"}}) == "recall.bad_criterion");
    CHECK(refusal(journal, {{"around_serial", story().made[0]}, {"around_count", "3x"}}) == "recall.bad_criterion");
    CHECK(refusal(journal, {{"around_serial", story().made[0]}, {"around_count", "0"}}) == "recall.bad_criterion");
    // Known to the record, though nothing was made of it.
    CHECK(refusal(journal, {{"gauge", "CAL-2"}}).empty());
}

TEST_CASE("the worst margin is that of the reading nearest to a limit, with its place; a voided one counts no more") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter, End::a, 1);
    b.press("25.65");  // conforms, 0.05 mm below the upper limit
    b.ask(VoidLast{"on the ridge"});
    {
        // Until the place is measured again only the depth counts.
        const KeptJournal open(b);
        const auto rows = rows_of(open.journal, {{{"hose_lot", "H-1"}}, std::nullopt, std::nullopt, 0});
        REQUIRE(rows.size() == 1);
        CHECK(rows[0].margin_what == "depth");
    }
    b.press("25.52");
    b.press("25.50");
    b.press("25.40");  // flat 4, 0.10 mm above the lower limit of 25.30
    b.finish();
    const auto serial = b.log.empty() ? std::string() : b.last<entries::AssemblyPassed>()->serial;
    const KeptJournal kept(b);
    const auto rows = rows_of(kept.journal, {{{"hose_lot", "H-1"}}, std::nullopt, std::nullopt, 0});
    REQUIRE(rows.size() == 1);
    CHECK(rows[0].serial == serial);
    REQUIRE(rows[0].margin_nm);
    CHECK(*rows[0].margin_nm == 100'000);
    CHECK(rows[0].margin_end == "a");
    CHECK(rows[0].margin_what == "crimp_diameter");
    CHECK(rows[0].margin_place == 4);
    REQUIRE(rows[0].spread_nm);
    CHECK(*rows[0].spread_nm == 120'000);
}

TEST_CASE("R7: after a re-crimp the margin is that of what was measured anew, and the re-crimp is counted") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter, End::a, 1);
    b.press("25.80");
    b.press("25.80");
    b.press("25.80");  // oversize: may be crimped again
    const auto held = b.state.stopped;
    REQUIRE_FALSE(held.empty());
    {
        const KeptJournal open(b);
        const auto rows = rows_of(open.journal, {{{"hose_lot", "H-1"}}, std::nullopt, std::nullopt, 0});
        REQUIRE(rows.size() == 1);
        CHECK(rows[0].stage == "on_hold");
        CHECK(rows[0].hold_cause == "failed");
        CHECK(*rows[0].margin_nm == -100'000);
        CHECK(rows[0].verdict == "fails");
        CHECK(rows[0].passed_ms == 0);
    }
    b.quarantine();
    b.settle_ok(held, Settlement::recrimp);
    b.ask(TakeUp{held});
    b.press_crimps({"25.50", "25.50", "25.50"});
    b.finish();
    const KeptJournal kept(b);
    const auto rows = rows_of(kept.journal, {{{"hose_lot", "H-1"}}, std::nullopt, std::nullopt, 0});
    REQUIRE(rows.size() == 1);
    CHECK(rows[0].stage == "passed");
    CHECK(rows[0].recrimps == 1);
    CHECK(*rows[0].margin_nm > 0);
    CHECK(rows[0].hold_cause.empty());
}

TEST_CASE("a recall up to an entry gives the list as it was then") {
    RecallAsked asked;
    asked.criteria = {{"hose_lot", "H-1"}};
    for (std::size_t i = 0; i < story().b.log.size(); ++i)
        if (const auto* started = std::get_if<entries::AssemblyStarted>(&story().b.log[i].body);
            started != nullptr && started->serial == story().made[4])
            asked.upto_seq = story().b.log[i].facts.seq - 1;
    REQUIRE(asked.upto_seq > 0);
    const auto rows = rows_of(kept().journal, asked);
    CHECK(rows.size() == 2);
}

TEST_CASE("a time range finds its entries also where the clock was put back in between") {
    Bench b = Bench::ready();
    const auto first = b.good_assembly();
    b.now.utc_ms -= 5 * 3'600'000LL;  // five hours back
    b.ask(SignIn{}, "OPA");
    b.ask(AcceptClock{}, "LEA");
    REQUIRE_FALSE(b.state.clock_doubted);
    b.ask(SignIn{}, "OPA");
    b.prove();
    const auto from = b.now.utc_ms;
    const auto second = b.good_assembly();
    REQUIRE_FALSE(second.empty());
    const auto to = b.now.utc_ms + 1;
    const KeptJournal kept(b);
    CHECK(serials(kept.journal, {{"gauge", "CAL-1"}}, from, to) == Strings{second});
    CHECK(serials(kept.journal, {{"operator", "OPA"}}, from, to) == Strings{second});
}

TEST_CASE("a recall reads a back-up without a station, and leaves nothing behind in it") {
    Folder folder;
    must(kept().journal.back_up(folder / "copy.sqlite"));
    const auto before = read_file(folder / "copy.sqlite");
    auto options = station();
    options.access = JournalAccess::read;
    {
        const auto copy = open_journal(folder / "copy.sqlite", options);
        CHECK(serials(copy, {{"hose_lot", "H-2"}}) == some({2, 3}));
    }
    CHECK(read_file(folder / "copy.sqlite") == before);
}

TEST_CASE("R3: a delivery that was taken back is no delivery in a recall") {
    Bench b = Bench::ready();
    const auto serial = b.good_assembly();
    print_tag(b, serial);
    SendDelivery send;
    send.customer = b.state.orders.at("A-100").order.customer;
    send.to = "gate";
    send.serials = {serial};
    REQUIRE(b.ask(send, "LEA").empty());
    REQUIRE(b.ask(TakeBackDelivery{"DL-1", {serial}, "left behind"}, "LEA").empty());
    const KeptJournal kept(b);
    RecallFound found;
    const auto rows = rows_of(kept.journal, {{{"hose_lot", "H-1"}}, std::nullopt, std::nullopt, 0}, &found);
    REQUIRE(rows.size() == 1);
    CHECK(rows[0].delivery.empty());
    CHECK(found.delivered == 0);
    CHECK(must(kept.journal.verify()).sound());
}
