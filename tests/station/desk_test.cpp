#include "station/daemon/desk.h"

#include "station/daemon/local_time.h"
#include "tests/station/desk_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;

namespace {

GaugeEvent reading(const std::string& mm) {
    Reading r;
    r.value = Length::parse_mm(mm).value();
    r.resolution = 10_um;
    r.raw = "+" + mm + "mm\r\n";
    return r;
}

}  // namespace

TEST_CASE("R2: after a restart the bench asks for exactly what it asked for before") {
    Bench bench = Bench::ready();
    bench.work_to(Characteristic::crimp_diameter, End::a, 3);
    DeskKit kit(bench);
    CHECK(dump(kit.desk->state()) == dump(bench.state));
    const auto step = next_step(kit.desk->state(), bench.rules, bench.now);
    CHECK(dump(step) == dump(bench.next()));
}

TEST_CASE("R2: whoever listens hears of an entry only when another reader already finds it in the journal") {
    DeskKit kit(Bench::ready());
    std::vector<std::int64_t> heard;
    kit.desk->on_entry([&](const Entry& entry) {
        auto options = journal_kit::station("bench-1");
        options.access = JournalAccess::read;
        const auto other = journal_kit::must(Journal::open(kit.folder / "journal.sqlite", options));
        const auto found = journal_kit::must(other.entry(entry.seq));
        REQUIRE(found);
        CHECK(found->bytes == entry.bytes);
        heard.push_back(entry.seq);
    });
    const auto ran = kit.desk->run(commands::GaugeSaid{"CAL-1", reading("38.20")}, "");
    REQUIRE_FALSE(ran.refusal);
    REQUIRE(ran.entries.size() == 2);  // the serial is given, and the depth is taken
    CHECK(heard == std::vector<std::int64_t>{ran.entries[0].seq, ran.entries[1].seq});
}

TEST_CASE("R10: when the journal cannot be written nothing has happened, and the bench is as the journal has it") {
    const Bench bench = Bench::ready();
    journal_kit::Folder folder;
    TestClock clock;
    // Room for what there is and a few pages more.
    std::int64_t pages = 0;
    {
        Journal journal = journal_of(bench, folder / "journal.sqlite");
        pages = static_cast<std::int64_t>(std::filesystem::file_size(folder / "journal.sqlite") / 4096) + 40;
    }
    auto options = journal_kit::station("bench-1");
    options.max_pages = pages;
    auto journal = journal_kit::must(Journal::open(folder / "journal.sqlite", options));
    auto desk = journal_kit::must(Desk::open(journal, BenchRules{.station = "bench-1"}, clock, "UTC"));
    std::int64_t heard = 0;
    desk->on_entry([&](const Entry&) { ++heard; });

    std::optional<Message> refused;
    for (int i = 0; i < 2000 && !refused; ++i) {
        clock.pass_ms(1000);
        refused =
            desk->run(commands::GaugeSaid{"CAL-1", Refusal{message("driver.noise"), std::string(400, 'x'), {}}}, "")
                .refusal;
    }
    REQUIRE(refused);
    CHECK(refused->code == "journal.disk_full");
    const auto written = journal_kit::must(journal.last_seq());
    CHECK(heard == written - static_cast<std::int64_t>(bench.log.size()));
    // The next command finds the state rebuilt: no entry that was never written is counted on.
    desk->run(commands::SignOut{}, "nobody");
    CHECK(desk->state().last_seq == journal_kit::must(journal.last_seq()));
}

TEST_CASE("R10: a wall clock that is set back while the station runs stops the line, one set forward is noted") {
    DeskKit kit(Bench::ready());
    kit.clock.pass_ms(10'000);
    kit.desk->run(commands::GaugeSaid{"CAL-1", reading("38.20")}, "");
    CHECK(kit.all<entries::ClockStepped>().empty());

    kit.clock.set_utc_by_ms(3'600'000);
    kit.desk->run(commands::GaugeSaid{"CAL-1", reading("38.20")}, "");
    REQUIRE(kit.all<entries::ClockStepped>().size() == 1);
    CHECK_FALSE(kit.all<entries::ClockStepped>().front().stops_line);

    kit.clock.set_utc_by_ms(-3'600'000);
    kit.desk->run(commands::GaugeSaid{"CAL-1", reading("25.50")}, "");
    REQUIRE(kit.all<entries::ClockStepped>().size() == 2);
    CHECK(kit.all<entries::ClockStepped>().back().stops_line);
    CHECK(kit.all<entries::ReadingRefused>().back().why.code == "bench.clock_in_doubt");
}

TEST_CASE("Days follow the shop's time zone, entries are UTC") {
    CHECK(local_date(1'795'647'600'000, "UTC") == "2026-11-25");
    CHECK(local_date(1'795'647'600'000, "Europe/Vienna") == "2026-11-26");  // 00:00 there
    CHECK(local_date(1'795'647'599'000, "Europe/Vienna") == "2026-11-25");
    CHECK(check_time_zone("Europe/Nowhere").error().code == "time.unknown_zone");
}
