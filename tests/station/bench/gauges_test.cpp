// Gauges: R1 (only one that is proved and in date measures), R8 (what is doubtful is refused aloud and kept), R10 (what
// is unclear stops the line).
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

Bench signed_in_on_shift() {
    Bench b = Bench::set_up();
    b.ask(SignIn{}, "OPA");
    b.ask(StartShift{}, "OPA");
    return b;
}

// The last refused reading keeps these bytes.
void check_kept_raw(const Bench& b, const std::string& mm) {
    const auto* refused = b.last<entries::ReadingRefused>();
    REQUIRE(refused != nullptr);
    std::string hex;
    for (const char c : "01A+" + mm + "\r\n") {
        hex += "0123456789abcdef"[(c >> 4) & 15];
        hex += "0123456789abcdef"[c & 15];
    }
    CHECK(refused->raw_hex == hex);
    CHECK(refused->gauge == "CAL-1");
}

}  // namespace

TEST_CASE("R1: a gauge that was not proved measures nothing, and its reading is kept as refused") {
    Bench b = signed_in_on_shift();
    CHECK(b.next().ask == Ask::proof);
    CHECK(b.press("25.50") == "bench.gauge_not_proved");
    check_kept_raw(b, "25.50");
    CHECK(b.count<entries::ReadingTaken>() == 0);
}

TEST_CASE("R1: a good proof lets a gauge measure until it has run out") {
    Bench b = Bench::ready();
    const auto valid_until = b.state.gauges.at("CAL-1").valid_until_utc_ms;
    b.now.utc_ms = valid_until - 1000;  // the press comes a second later, in its last millisecond
    CHECK(b.press("38.00").empty());
    const std::string serial = b.serial();
    CHECK(b.next().ask == Ask::confirm);
    b.now.utc_ms = valid_until - 999;
    CHECK(b.press("25.50") == "bench.proof_over");
    CHECK(b.next().ask == Ask::proof);
    CHECK(b.last<entries::ReadingRefused>()->serial == serial);
    check_kept_raw(b, "25.50");
    // Proved again, the work goes on where it stood.
    b.prove();
    CHECK(b.next().what == Characteristic::lubricant);
    b.finish();
    CHECK(b.was_passed(serial));
}

TEST_CASE("R1: a gauge measures up to and including its calibration's due date, and not a day longer") {
    Bench b = Bench::ready();
    b.now.local_date = "2027-02-28";
    CHECK(b.press("38.00").empty());
    b.yes(Characteristic::lubricant);
    b.see(Characteristic::mark_before, MarkSeen::at_edge);
    b.now.local_date = "2027-03-01";
    CHECK(b.press("25.50") == "bench.calibration_over");
    check_kept_raw(b, "25.50");
    // Not even a good proof helps.
    b.prove();
    CHECK(b.press("25.50") == "bench.calibration_over");
}

TEST_CASE("R1: a reference that is out of calibration proves no gauge") {
    Bench b = signed_in_on_shift();
    b.now.local_date = "2027-07-01";
    CHECK(b.ask(ProveGauge{"CAL-1", "RING-25"}) == "bench.reference_over");
    CHECK(b.ask(ProveGauge{"CAL-1", "RING-26"}) == "bench.no_reference");
    CHECK(b.ask(ProveGauge{"CAL-9", "RING-25"}) == "bench.no_gauge");
    CHECK(b.count<entries::ProofBegun>() == 0);
}

TEST_CASE("R5: a gauge too coarse for the row is refused by name, with what would do and which gauge here would") {
    Bench b = Bench::ready();
    b.ask(RegisterGauge{caliper("TAPE", 130_um)}, "SET");
    b.ask(GaugeReturned{"TAPE"}, "");
    b.prove("TAPE");
    CHECK(b.press("38.00", "TAPE") == "rule.gauge_too_coarse");
    CHECK(b.last<entries::ReadingRefused>()->why.detail("others") == "CAL-1");
    CHECK(b.serial().empty());
    CHECK(b.press("38.00", "CAL-1").empty());
}

TEST_CASE("R10: a gauge that goes stops the line, and must prove itself when it is back") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter);
    b.run(GaugeGone{"CAL-1", message("port.gone")}, "");
    CHECK(b.next().ask == Ask::gauge);
    CHECK(b.press("25.50") == "bench.gauge_gone");
    CHECK(b.ask(ProveGauge{"CAL-1", "RING-25"}) == "bench.gauge_gone");
    b.run(GaugeReturned{"CAL-1"}, "");
    CHECK(b.last<entries::GaugeBack>()->needs_proof);
    CHECK(b.next().ask == Ask::proof);
    CHECK(b.press("25.50") == "bench.gauge_not_proved");
    b.prove();
    CHECK(b.next().what == Characteristic::crimp_diameter);
}

TEST_CASE("R10: a gauge that goes in the middle of its proof has not proved itself") {
    Bench b = signed_in_on_shift();
    CHECK(b.ask(ProveGauge{"CAL-1", "RING-25"}).empty());
    CHECK(b.next().ask == Ask::proof_reading);
    b.run(GaugeGone{"CAL-1", message("port.gone")}, "");
    CHECK(b.press("25.00") == "bench.gauge_gone");
    b.run(GaugeReturned{"CAL-1"}, "");
    CHECK(b.press("25.00") == "bench.gauge_not_proved");
    CHECK(b.count<entries::GaugeProved>() == 0);
}

TEST_CASE("R4: a proof that is off by exactly its limit is good, one step more is not") {
    for (const char* good : {"25.02", "24.98"}) {
        Bench b = signed_in_on_shift();
        b.prove("CAL-1", good);
        CHECK(b.last<entries::GaugeProved>()->passed);
        CHECK(b.next().ask == Ask::order);
    }
    for (const char* bad : {"25.03", "24.97"}) {
        Bench b = signed_in_on_shift();
        b.prove("CAL-1", bad);
        CHECK_FALSE(b.last<entries::GaugeProved>()->passed);
        CHECK(b.last<entries::GaugeProved>()->error.abs() == 30_um);
        CHECK(b.next().ask == Ask::proof);
    }
}

TEST_CASE("R8: what the driver refused becomes an entry with its reason and its raw bytes, and never a reading") {
    Bench b = Bench::ready();
    b.work_to(Characteristic::crimp_diameter);
    const std::string serial = b.serial();
    const auto readings = b.count<entries::ReadingTaken>();
    Refusal wrong_unit{message("driver.unit_unexpected").with("sent", "in"), std::string("1.004in\r\0", 9), {}};
    wrong_unit.arrival.utc_ms = 17;
    b.run(GaugeSaid{"CAL-1", wrong_unit}, "");
    const auto* refused = b.last<entries::ReadingRefused>();
    REQUIRE(refused != nullptr);
    CHECK(refused->why.code == "driver.unit_unexpected");
    CHECK(refused->raw_hex == "312e303034696e0d00");
    CHECK(refused->serial == serial);
    CHECK(refused->arrived_utc_ms == 17);
    CHECK(b.count<entries::ReadingTaken>() == readings);
    CHECK(b.next().what == Characteristic::crimp_diameter);
    CHECK(b.next().flat == 1);
}

TEST_CASE("R8: a reading that nothing asked for is refused and kept, each time with what should come first") {
    Bench b = Bench::set_up();
    CHECK(b.press("25.50") == "bench.sign_in_first");
    b.ask(SignIn{}, "OPA");
    CHECK(b.press("25.50") == "bench.no_shift");
    b.ask(StartShift{}, "OPA");
    b.prove();
    CHECK(b.press("25.50") == "bench.take_order_first");
    b.ask(TakeOrder{"A-100"});
    CHECK(b.press("25.50") == "bench.lots_first");
    b.ask(ConfirmLots{"H-1", "FA-1", "FB-1"});
    CHECK(b.press("25.50") == "bench.die_first");
    CHECK(b.last<entries::ReadingRefused>()->why.detail("needed") == "D-26");
    CHECK(b.press("25.50", "CAL-9") == "bench.no_gauge");
    b.ask(ConfirmDie{"D-26", "C-1", "4.2"});
    b.good_setup();
    b.work_to(Characteristic::lubricant);
    CHECK(b.press("25.50") == "bench.confirm_first");
    b.work_to(Characteristic::crimp_diameter);
    b.press_crimps({"20.00"});
    CHECK(b.press("25.50") == "bench.quarantine_first");
    CHECK(b.count<entries::ReadingRefused>() == 8);
}

TEST_CASE("R8: while one gauge proves itself another one's reading is refused") {
    Bench b = Bench::ready();
    b.ask(RegisterGauge{caliper("CAL-2")}, "SET");
    b.ask(GaugeReturned{"CAL-2"}, "");
    b.ask(ProveGauge{"CAL-2", "RING-25"});
    CHECK(b.press("38.00", "CAL-1") == "bench.other_gauge_in_proof");
    CHECK(b.press("25.00", "CAL-2").empty());
    CHECK(b.last<entries::GaugeProved>()->gauge == "CAL-2");
}

TEST_CASE("R1: a gauge in use may not be registered with other figures before it was proved again") {
    Bench b = Bench::ready();
    b.press("38.00");
    CHECK(b.ask(RegisterGauge{caliper("CAL-1", 1_um)}, "SET") == "bench.prove_before_change");
    b.prove();
    CHECK(b.ask(RegisterGauge{caliper("CAL-1", 1_um)}, "SET").empty());
    CHECK(b.press("25.50") == "bench.gauge_not_proved");
}
