// What leaves the house and what does not: deliveries, and what is known of them when a gauge fails afterwards.
#include "station/bench/record_steps.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

std::string tagged(Bench& b) {
    const auto serial = b.good_assembly();
    if (!b.ask(RecordTag{entries::TagPrinting{serial, 0, "", "00", serial + ".pdf", ""}}, "").empty()) return {};
    if (!b.ask(RecordTag{entries::TagPrinted{serial, 0, ""}}, "").empty()) return {};
    return serial;
}

SendDelivery to_customer(const Bench& b, std::vector<std::string> serials) {
    SendDelivery send;
    send.customer = b.state.orders.at("A-100").order.customer;
    send.note_number = "LS-1";
    send.to = "Works gate 2";
    send.serials = std::move(serials);
    return send;
}

// The reasons that the bench gives for those serials, as codes.
std::vector<std::string> reasons(const Bench& b, const SendDelivery& send) {
    std::vector<std::string> out;
    for (const auto& fault : delivery_faults(b.state, send.customer, send.serials))
        out.push_back(fault.code);
    return out;
}

}  // namespace

TEST_CASE("R1: what passed and has its tag is sent by a lead, to the customer it was made for, and is known as gone") {
    Bench b = Bench::ready();
    const auto first = tagged(b), second = tagged(b);
    const auto send = to_customer(b, {first, second});
    CHECK(b.ask(send, "OPA") == "bench.not_a_lead");
    CHECK(b.ask(send, "SET") == "bench.not_a_lead");
    REQUIRE(b.ask(send, "LEA").empty());
    const auto* sent = b.last<entries::DeliverySent>();
    REQUIRE(sent != nullptr);
    CHECK(sent->delivery == "DL-1");
    CHECK(sent->date == b.now.local_date);
    CHECK(b.assembly(first).delivery == "DL-1");
    CHECK(reasons(b, send) == std::vector<std::string>{"delivery.gone_already"});
    CHECK(b.ask(send, "LEA") == "delivery.refused");
    // The state is the fold of the journal, so a restart knows as much.
    CHECK(dump(b.refolded()) == dump(b.state));
}

TEST_CASE("R1, R12: nothing leaves that is on hold, in work, without its tag, another customer's or unknown") {
    Bench b = Bench::ready();
    const auto good = tagged(b);
    const auto untagged = b.good_assembly();
    b.good_step();
    const auto in_work = b.serial();
    REQUIRE_FALSE(in_work.empty());
    REQUIRE(b.ask(HoldAssembly{"scratched", good}, "LEA").empty());
    const auto send = to_customer(b, {good, untagged, in_work, "K1-NONE", "K1-NONE"});
    const auto faults = delivery_faults(b.state, send.customer, send.serials);
    REQUIRE(faults.size() == 5);
    CHECK(faults[0].code == "delivery.on_hold");
    CHECK(faults[0].serials == std::vector<std::string>{good});
    CHECK(faults[1].code == "delivery.tag_not_printed");
    CHECK(faults[2].code == "delivery.not_passed");
    CHECK(faults[3].code == "delivery.not_known");
    CHECK(faults[4].code == "delivery.twice");
    REQUIRE(b.ask(send, "LEA") == "delivery.refused");
    CHECK(b.refusal->detail("count") == "5");
    CHECK(b.refusal->detail("of") == "5");
    CHECK(b.count<entries::DeliverySent>() == 0);
    auto other = to_customer(b, {untagged});
    other.customer = "Somebody Else (invented)";
    CHECK(reasons(b, other) == std::vector<std::string>{"delivery.other_customer"});
}

TEST_CASE("R1: an assembly that passed again after a hold goes only with its new tag") {
    Bench b = Bench::ready();
    const auto serial = tagged(b);
    REQUIRE(b.ask(HoldAssembly{"looked odd", serial}, "LEA").empty());
    b.quarantine(serial);
    b.settle_ok(serial, Settlement::remeasure);
    // Nothing was left to measure, so it passed again by that.
    REQUIRE(b.assembly(serial).stage == Stage::passed);
    const auto send = to_customer(b, {serial});
    CHECK(reasons(b, send) == std::vector<std::string>{"delivery.tag_not_printed"});
    REQUIRE(b.ask(RecordTag{entries::TagPrinting{serial, 1, "again", "00", serial + ".pdf", ""}}, "").empty());
    REQUIRE(b.ask(RecordTag{entries::TagPrinted{serial, 1, ""}}, "").empty());
    CHECK(b.ask(send, "LEA").empty());
}

TEST_CASE("five hundred refused serials are one message: the first by name, and how many") {
    Bench b = Bench::ready();
    std::vector<std::string> serials;
    for (int i = 0; i < 500; ++i)
        serials.push_back("K1-" + std::to_string(1000 + i));
    REQUIRE(b.ask(to_customer(b, serials), "LEA") == "delivery.refused");
    CHECK(b.refusal->detail("count") == "500");
    CHECK(b.refusal->detail("serials") ==
          "K1-1000, K1-1001, K1-1002, K1-1003, K1-1004, K1-1005, K1-1006, K1-1007, ...");
    const auto faults = delivery_faults(b.state, "X", serials);
    REQUIRE(faults.size() == 1);
    CHECK(faults[0].told().detail("count") == "500");
}

TEST_CASE("a delivery says where it went and when: not nowhere, not tomorrow, not on a day that is none") {
    Bench b = Bench::ready();
    const auto serial = tagged(b);
    auto send = to_customer(b, {serial});
    send.to.clear();
    CHECK(b.ask(send, "LEA") == "bench.field_empty");
    send = to_customer(b, {serial});
    send.date = "2999-01-01";
    CHECK(b.ask(send, "LEA") == "delivery.in_future");
    send.date = "2026-02-30";
    CHECK_FALSE(b.ask(send, "LEA").empty());
    CHECK(b.ask(to_customer(b, {}), "LEA") == "delivery.nothing_in_it");
    send.date = b.now.local_date;
    send.note_number.clear();  // a shop without a paper of its own
    CHECK(b.ask(send, "LEA").empty());
}

TEST_CASE("R3: a delivery that did not go is taken back by a further entry, with a reason, and may go again") {
    Bench b = Bench::ready();
    const auto first = tagged(b), second = tagged(b);
    REQUIRE(b.ask(to_customer(b, {first, second}), "LEA").empty());
    CHECK(b.ask(TakeBackDelivery{"DL-1", {first}, ""}, "LEA") == "bench.field_empty");
    CHECK(b.ask(TakeBackDelivery{"DL-1", {first}, "stayed on the ramp"}, "OPA") == "bench.not_a_lead");
    CHECK(b.ask(TakeBackDelivery{"DL-2", {first}, "stayed on the ramp"}, "LEA") == "delivery.refused");
    REQUIRE(b.ask(TakeBackDelivery{"DL-1", {first}, "stayed on the ramp"}, "LEA").empty());
    CHECK(b.assembly(first).delivery.empty());
    CHECK(b.assembly(second).delivery == "DL-1");
    CHECK(b.ask(TakeBackDelivery{"DL-1", {first}, "again"}, "LEA") == "delivery.refused");
    REQUIRE(b.ask(to_customer(b, {first}), "LEA").empty());
    CHECK(b.assembly(first).delivery == "DL-2");  // a number is never given twice
    CHECK(b.count<entries::DeliverySent>() == 2);
}

TEST_CASE("R10: nothing is sent while the clock is in doubt: the day of a delivery must be right") {
    Bench b = Bench::ready();
    const auto serial = tagged(b);
    b.now.utc_ms -= 3'600'000;
    CHECK(b.ask(to_customer(b, {serial}), "LEA") == "bench.clock_in_doubt");
}

TEST_CASE("a delivered assembly that a failed proof makes suspect is on hold and still known as delivered") {
    Bench b = Bench::ready();
    const auto serial = tagged(b);
    REQUIRE(b.ask(to_customer(b, {serial}), "LEA").empty());
    b.prove("CAL-1", "25.30");  // 0.30 mm off
    CHECK(b.assembly(serial).stage == Stage::on_hold);
    CHECK(b.assembly(serial).delivery == "DL-1");
}

TEST_CASE("a recall is drawn by a lead, with a reason, and only when it found something") {
    Bench b = Bench::ready();
    DrawRecall draw;
    draw.recall.assemblies = 3;
    draw.recall.criteria = {{"hose_lot", "H-1"}};
    CHECK(b.ask(draw, "LEA") == "bench.field_empty");
    draw.recall.reason = "cover splits";
    CHECK(b.ask(draw, "AUD") == "bench.nobody");
    CHECK(b.ask(draw, "OPA") == "bench.not_a_lead");
    REQUIRE(b.ask(draw, "LEA").empty());
    CHECK(b.last<entries::RecallDrawn>()->recall == "RC-1");
    draw.recall.assemblies = 0;
    CHECK(b.ask(draw, "LEA") == "recall.nothing_found");
}
