// How long an operator's press takes to become a record: from writing a frame's bytes on a pseudo-terminal to the
// committed judgement, through the real line, decoder, bench and journal; beside it a bare durable commit of the same
// bytes in SQLite on the same disk, turn by turn. Prints microseconds.
//
//     bench_latency SOURCE FOLDER [COUNT]      SOURCE: the project, for spec table and profile
#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <charconv>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "drivers/gauge_line.h"
#include "drivers/profile_file.h"
#include "specs/spec_table.h"
#include "station/daemon/desk.h"
#include "station/journal/database.h"
#include "station/words/catalogue.h"
#include "tools/caliper/simulated_caliper.h"

namespace {

using namespace crimpgate;
using Steady = std::chrono::steady_clock;

void report(const char* what, std::vector<double> taken) {
    std::sort(taken.begin(), taken.end());
    std::printf("%-34s median %7.0f us   99th percentile %7.0f us   worst %7.0f us   (%zu)\n", what,
                taken[taken.size() / 2], taken[taken.size() * 99 / 100], taken.back(), taken.size());
}

[[noreturn]] void give_up(const Message& why) {
    std::fprintf(stderr, "bench_latency: %s\n", say(why).c_str());
    std::exit(1);
}

void must(Desk& desk, const Command& command, const std::string& who) {
    if (auto ran = desk.run(command, who); ran.refusal) give_up(*ran.refusal);
}

void set_up(Desk& desk, const std::vector<SpecRow>& rows) {
    must(desk, commands::AddPerson{"ST", "Setter", Role::setter, "x"}, "");
    must(desk, commands::AddPerson{"OP", "Operator", Role::operator_, "x"}, "ST");
    entries::GaugeRegistered gauge;
    gauge.gauge = "g";
    gauge.resolution = 10_um;
    gauge.uncertainty = 12_um;
    gauge.proof_limit = 20_um;
    gauge.calibrated = "2026-01-01";
    gauge.calibration_due = "2099-01-01";
    must(desk, commands::RegisterGauge{gauge}, "ST");
    entries::ReferenceRegistered reference;
    reference.reference = "r";
    reference.size = 25000_um;
    reference.calibration_due = "2099-01-01";
    must(desk, commands::RegisterReference{reference}, "ST");
    must(desk, commands::AddPerson{"LE", "l", Role::lead, "-"}, "ST");
    must(desk, commands::ProposeTable{"t", "", rows, {}, true}, "ST");
    must(desk, commands::AdoptProposal{desk.state().last_seq}, "LE");
    entries::OrderOpened order;
    order.order = "o";
    order.customer = "c";
    order.quantity = 1'000'000;
    order.spec_a = rows.at(0).spec_id;
    order.spec_b = rows.at(1).spec_id;
    order.overall_length = 750000_um;
    order.length_rule = "din20066";
    order.hose_lots = {{"h", ""}};
    order.fitting_a_lots = order.fitting_b_lots = {{"f", ""}};
    must(desk, commands::OpenOrder{order}, "ST");
    must(desk, commands::SignIn{}, "OP");
    must(desk, commands::StartShift{}, "OP");
    must(desk, commands::GaugeReturned{"g"}, "");
}

}  // namespace

int main(int argc, char** argv) {
    std::size_t count = 2000;
    if (argc > 3) {
        const std::string_view text = argv[3];
        std::from_chars(text.data(), text.data() + text.size(), count);
    }
    if (argc < 3 || count == 0) {
        std::fputs("usage: bench_latency SOURCE FOLDER [COUNT]\n", stderr);
        return 2;
    }
    const std::string source = argv[1];
    const std::filesystem::path folder = argv[2];
    std::filesystem::create_directories(folder);
    for (const char* file : {"latency.sqlite", "bare.sqlite"})
        for (const char* part : {"", "-wal", "-shm", ".lock"})
            std::filesystem::remove(folder / (std::string(file) + part));

    std::ifstream table_file(source + "/specs/examples/demo_table.csv", std::ios::binary);
    const auto table = parse_spec_table(std::string(std::istreambuf_iterator<char>(table_file), {}));
    if (!table) give_up(table.error().front().why);
    const auto profile = load_profile(source + "/drivers/profiles/signed_decimal_unit.toml");
    if (!profile) give_up(profile.error());
    auto caliper = SimulatedCaliper::on_pty(*profile, (folder / "caliper").string());
    if (!caliper) give_up(caliper.error());

    JournalOptions options;
    options.station = "bench-1";
    auto journal = Journal::open(folder / "latency.sqlite", options);
    if (!journal) give_up(journal.error());
    const SystemClock clock;
    BenchRules rules;
    rules.station = "bench-1";
    auto desk = Desk::open(*journal, rules, clock, "Europe/Vienna");
    if (!desk) give_up(desk.error());
    Desk& bench = **desk;
    set_up(bench, table->rows);
    Database bare(folder / "bare.sqlite", Database::Access::write, "");
    bare.text("PRAGMA journal_mode = WAL");
    bare.exec("PRAGMA synchronous = FULL; CREATE TABLE entries(seq INTEGER PRIMARY KEY, bytes TEXT NOT NULL) STRICT");

    boost::asio::io_context io{1};
    std::optional<Steady::time_point> committed;
    std::string bytes;
    bench.on_entry([&](const Entry& entry) {
        if (entry.type != "reading.taken") return;
        committed = Steady::now();
        bytes = entry.bytes;
    });
    GaugeLine line(
        io, GaugeLineSettings{GaugeAddress::parse((*caliper)->address()).value(), *profile}, clock,
        [&](const GaugeEvent& event) {
            bench.run(commands::GaugeSaid{"g", event}, {});
        },
        [](const LineState&) {});
    line.start();
    while (!line.connected())
        io.run_one();

    std::vector<double> press_to_record;
    std::vector<double> bare_commit;
    std::int64_t wobble = 0;
    while (press_to_record.size() < count) {
        const auto step = next_step(bench.state(), bench.rules(), bench.now());
        const SpecRow* row = row_in_work(bench.state(), step);
        Length size = 25000_um;
        switch (step.ask) {
            case Ask::proof:
                must(bench, commands::ProveGauge{"g", "r"}, "OP");
                continue;
            case Ask::order:
                must(bench, commands::TakeOrder{"o"}, "OP");
                continue;
            case Ask::lots:
                must(bench, commands::ConfirmLots{"h", "f", "f"}, "OP");
                continue;
            case Ask::die:
                must(bench, commands::ConfirmDie{row->die_set, row->crimper, row->setting}, "OP");
                continue;
            case Ask::confirm: {
                commands::Confirm confirm;
                confirm.what = step.what;
                if (step.what == Characteristic::mark_before || step.what == Characteristic::mark_after)
                    confirm.seen = MarkSeen::at_edge;
                else
                    confirm.yes = true;
                must(bench, confirm, "OP");
                continue;
            }
            case Ask::proof_reading:
                break;
            case Ask::setup:
            case Ask::measure:
            case Ask::again:
                wobble = (wobble + 1) % 7;  // no two presses alike: the gauge's profile refuses a bounce
                size = step.band->middle() + Length::from_um((wobble - 3) * 10);
                break;
            default:
                std::fputs("bench_latency: the bench does not go on\n", stderr);
                return 1;
        }
        committed.reset();
        const auto from = Steady::now();
        if (auto sent = (*caliper)->press(size); !sent) give_up(sent.error());
        while (!committed)
            io.run_one();
        press_to_record.push_back(std::chrono::duration<double, std::micro>(*committed - from).count());
        const auto bare_from = Steady::now();
        Transaction transaction(bare);
        bare.run("INSERT INTO entries(bytes) VALUES(?)", bytes);
        transaction.commit();
        bare_commit.push_back(std::chrono::duration<double, std::micro>(Steady::now() - bare_from).count());
    }
    report("bare durable commit", bare_commit);
    report("frame's bytes to committed verdict", press_to_record);
    return 0;
}
