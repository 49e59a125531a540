// Die set and setting: what makes a set-up new.
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::test;

TEST_CASE("Another setting of the crimper asks for another set-up piece") {
    Bench bench = Bench::ready();
    REQUIRE(bench.next().ask == Ask::measure);
    const SpecRow row = bench_row();
    CHECK(bench.ask(commands::ConfirmDie{row.die_set, row.crimper, row.setting}).empty());
    CHECK(bench.next().ask == Ask::measure);  // the same once more changes nothing
    CHECK(bench.ask(commands::ConfirmDie{row.die_set, row.crimper, row.setting + "1"}).empty());
    CHECK(bench.next().ask == Ask::setup);
    bench.good_setup();
    CHECK(bench.next().ask == Ask::measure);
}

TEST_CASE("A new shift confirms the die set and makes a set-up piece: nobody knows what was done in between") {
    Bench bench = Bench::ready();
    bench.good_assembly();
    bench.prove();
    REQUIRE(bench.ask(commands::EndShift{}).empty());
    REQUIRE(bench.ask(commands::StartShift{}).empty());
    bench.prove();
    REQUIRE(bench.ask(commands::TakeOrder{"A-100"}).empty());
    REQUIRE(bench.ask(commands::ConfirmLots{"H-1", "FA-1", "FB-1"}).empty());
    CHECK(bench.next().ask == Ask::die);
    const SpecRow row = bench_row();
    REQUIRE(bench.ask(commands::ConfirmDie{row.die_set, row.crimper, row.setting}).empty());
    CHECK(bench.next().ask == Ask::setup);
}
