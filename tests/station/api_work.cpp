#include "tests/station/api_work.h"

#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

namespace crimpgate::test {
namespace {

void run(ApiStation& station, const Command& command) {
    if (const auto code = station.run(command, "OPA"); !code.empty()) FAIL(code);
}

}  // namespace

void ready_for_work(ApiStation& station) {
    using namespace commands;
    const auto row = bench_row();
    run(station, SignIn{});
    run(station, StartShift{});
    run(station, ProveGauge{"CAL-1", "RING-25"});
    station.press("25.00");
    run(station, TakeOrder{"A-100"});
    run(station, ConfirmLots{"H-1", "FA-1", "FB-1"});
    run(station, ConfirmDie{row.die_set, row.crimper, row.setting});
    for (std::size_t i = 0; i < row.flats.size(); ++i)
        station.press("25.50");
}

void work_end(ApiStation& station, const std::string& first_place, bool whole) {
    using namespace commands;
    station.press("38.20");
    run(station, Confirm{Characteristic::lubricant, true, {}});
    run(station, Confirm{Characteristic::mark_before, {}, MarkSeen::at_edge});
    for (std::size_t i = 0; i < bench_row().flats.size(); ++i)
        station.press(i == 0 ? first_place : "25.50");
    if (!whole) return;
    run(station, Confirm{Characteristic::mark_after, {}, MarkSeen::at_edge});
    run(station, Confirm{Characteristic::bore_pin, true, {}});
}

std::string work_assembly(ApiStation& station) {
    work_end(station);
    work_end(station);
    std::string serial;
    for (const auto& entry : station.entries())
        if (entry.type == entries::AssemblyPassed::type) serial = std::string(entry.body.at("serial").as_string());
    if (serial.empty()) FAIL("nothing passed");
    return serial;
}

}  // namespace crimpgate::test
