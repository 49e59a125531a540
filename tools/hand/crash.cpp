// crimpgate-crash: kills the station with SIGKILL at random moments of the demo's work, again and again, and checks
// that nothing that was shown is missing and that no tag was made twice (R2, R11).
#include <boost/json.hpp>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <map>
#include <random>
#include <string>
#include <thread>

#include "drivers/profile_file.h"
#include "station/entries/entry_json.h"
#include "station/journal/journal.h"
#include "station/words/catalogue.h"
#include "tools/caliper/simulated_caliper.h"
#include "tools/hand/child.h"
#include "tools/hand/hand.h"
#include "tools/hand/shop.h"
#include "tools/shared/arguments.h"

namespace {

using namespace crimpgate;
namespace fs = std::filesystem;

constexpr const char* help = R"(NAME
    crimpgate-crash - kills the station at any moment and looks whether anything is missing

SYNOPSIS
    crimpgate-crash --daemon PROGRAM --source FOLDER --out FOLDER --times N [--seed N]

DESCRIPTION
    Works the demo's order over and over, each time in a fresh folder, until the station was killed N times. Prints the
    seed, so that the same moments can be tried again as far as the machine allows. Exit status 0: nothing was lost.
)";

struct Failure {
    std::string what;
};

struct Round {
    std::int64_t kills = 0;
    std::int64_t shown = 0;
    std::int64_t entries = 0;
    std::int64_t in_doubt = 0;
};

int give_up(const Message& why) {
    std::fprintf(stderr, "crash: %s\n", say(why).c_str());
    return 1;
}

// Kills one daemon after a while, from beside, so that any instruction may be its last.
class Killer {
  public:
    Killer(Child& station, std::chrono::microseconds after)
        : thread_([&station, after](std::stop_token stop) {
              const auto when = std::chrono::steady_clock::now() + after;
              while (std::chrono::steady_clock::now() < when) {
                  if (stop.stop_requested()) return;
                  std::this_thread::sleep_for(std::chrono::microseconds(200));
              }
              station.kill();
          }) {}

  private:
    std::jthread thread_;
};

// What the journal says when everything is over, against what was seen.
Result<std::vector<Failure>> judge(const std::string& folder, const Hand& hand, Round& round) {
    JournalOptions options;
    options.station = "bench-1";
    options.access = JournalAccess::read;
    auto journal = Journal::open(folder + "/journal.sqlite", options);
    if (!journal) return refuse(journal.error());
    std::vector<Failure> failures;
    std::map<std::int64_t, std::int64_t> readings;
    std::map<std::string, int> tags;
    std::map<std::string, int> passed;
    Result<void> understood;
    auto read = journal->for_each([&](const Entry& entry) {
        ++round.entries;
        const auto body = entry_body(entry.type, entry.body);
        if (!body) {
            understood = refuse(body.error());
            return false;
        }
        if (const auto* e = std::get_if<entries::ReadingTaken>(&*body)) readings[entry.seq] = e->value.nm();
        if (const auto* e = std::get_if<entries::AssemblyPassed>(&*body)) ++passed[e->serial];
        if (const auto* e = std::get_if<entries::TagPrinting>(&*body)) {
            ++tags[e->serial];
            if (e->copy != 0) failures.push_back({"a reprint that nobody asked for: " + e->serial});
        }
        return true;
    });
    if (!read) return refuse(read.error());
    if (!understood) return refuse(understood.error());
    for (const auto& [seq, value] : hand.shown()) {
        const auto found = readings.find(seq);
        if (found == readings.end())
            failures.push_back({"reading " + std::to_string(seq) + " was shown and is not in the journal"});
        else if (found->second != value)
            failures.push_back({"reading " + std::to_string(seq) + " was shown with another value"});
    }
    round.shown += static_cast<std::int64_t>(hand.shown().size());
    std::size_t files = 0;
    for (const auto& file : fs::directory_iterator(folder + "/tags"))
        files += file.path().extension() == ".pdf" ? 1 : 0;
    for (const auto& [serial, count] : tags)
        if (count != 1) failures.push_back({"the tag of " + serial + " was made " + std::to_string(count) + " times"});
    for (const auto& [serial, count] : passed)
        if (count != 1 || !tags.contains(serial)) failures.push_back({serial + " passed without its one tag"});
    const Expected expected;
    if (static_cast<std::int64_t>(passed.size()) != expected.passed || files != passed.size())
        failures.push_back(
            {std::to_string(passed.size()) + " passed and " + std::to_string(files) + " tags are there"});
    const auto verified = journal->verify();
    if (!verified) return refuse(verified.error());
    if (!verified->sound()) failures.push_back({"the journal is damaged: " + say(*verified->damage)});
    return failures;
}

}  // namespace

int main(int argc, char* argv[]) {
    const auto given = Arguments::parse(argc, argv, {"--daemon", "--source", "--out", "--times", "--seed"}, {"--help"});
    if (!given) {
        give_up(given.error());
        return 2;
    }
    if (given->has("--help")) {
        std::fputs(help, stdout);
        return 0;
    }
    const auto times = given->number("--times", 1, 100'000);
    if (!times) return give_up(times.error());
    unsigned seed = std::random_device{}();
    if (given->has("--seed")) {
        const auto chosen = given->number("--seed", 0, 2'000'000'000);
        if (!chosen) return give_up(chosen.error());
        seed = static_cast<unsigned>(*chosen);
    }
    std::printf("crash: seed %u\n", seed);
    std::mt19937 random(seed);
    Round sum;
    for (int round = 1; sum.kills < *times; ++round) {
        ShopPlaces places;
        places.source = fs::absolute(given->value("--source")).string();
        places.folder = fs::absolute(given->value("--out")).string() + "/round-" + std::to_string(round);
        places.gauge_port = places.folder + "/caliper";
        fs::remove_all(places.folder);
        fs::create_directories(places.folder);
        const auto profile = load_profile(places.source + "/drivers/profiles/signed_decimal_unit.toml");
        if (!profile) return give_up(profile.error());
        auto caliper = SimulatedCaliper::on_pty(*profile, places.gauge_port);
        if (!caliper) return give_up(caliper.error());
        const auto configuration = write_configuration(places, 0);
        if (!configuration) return give_up(configuration.error());
        const auto settings = shop_settings();
        Hand hand(settings, **caliper);
        bool set_up_done = false;
        bool finished = false;
        std::int64_t refusals = 0;
        while (!finished) {
            auto station = Child::start(given->value("--daemon"), *configuration, places.folder + "/station.log");
            if (!station) return give_up(station.error());
            hand.open(station->port());
            // Once there were enough, the order is worked to its end in peace.
            const bool kill = sum.kills < *times;
            std::optional<Killer> killer;
            if (kill) {
                // Set-up is a few calls; the work some hundred. Spread over both, and now and then very early.
                std::uniform_int_distribution<int> any(0, set_up_done ? 900'000 : 300'000);
                killer.emplace(*station, std::chrono::microseconds(any(random)));
            }
            if (!set_up_done)
                set_up_done = set_up(places, station->port(), station->first_code(), settings).has_value();
            while (set_up_done) {
                const auto turn = hand.turn();
                if (!turn) {
                    // Refused by a living station is a fault; a dead one is what we are here for.
                    if (turn.error().code != "hand.refused") break;
                    if (++refusals > 200) return give_up(turn.error());
                    continue;
                }
                if (*turn == Hand::Turn::finished) {
                    finished = true;
                    break;
                }
            }
            if (killer) {
                killer.reset();  // waits for it, or calls it off
                ++sum.kills;
            }
            station->kill();
        }
        auto failures = judge(places.folder, hand, sum);
        if (!failures) return give_up(failures.error());
        std::printf("crash: round %d, %lld kills so far, %zu readings shown\n", round,
                    static_cast<long long>(sum.kills), hand.shown().size());
        for (const auto& failure : *failures)
            std::printf("crash: LOST OR DOUBLED: %s\n", failure.what.c_str());
        if (!failures->empty()) {
            std::printf("crash: everything is in %s\n", places.folder.c_str());
            return 1;
        }
        fs::remove_all(places.folder);
    }
    std::printf("crash: killed %lld times, %lld readings had been shown and all are there, no tag was made twice\n",
                static_cast<long long>(sum.kills), static_cast<long long>(sum.shown));
    return 0;
}
