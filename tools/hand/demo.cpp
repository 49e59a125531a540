// crimpgate-demo: the main job, end to end, on a real pseudo-terminal, and told in plain sentences.
#include <boost/json.hpp>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <set>
#include <string>

#include "drivers/profile_file.h"
#include "station/entries/entry_json.h"
#include "station/words/catalogue.h"
#include "station/words/entry_words.h"
#include "tools/caliper/simulated_caliper.h"
#include "tools/hand/child.h"
#include "tools/hand/hand.h"
#include "tools/hand/outgoing.h"
#include "tools/hand/shop.h"
#include "tools/hand/visitor.h"
#include "tools/shared/arguments.h"

namespace {

using namespace crimpgate;
namespace json = boost::json;
namespace fs = std::filesystem;

constexpr const char* help = R"(NAME
    crimpgate-demo - works the demo's order with a simulated caliper

SYNOPSIS
    crimpgate-demo --daemon PROGRAM --source FOLDER --out FOLDER [--port N] [--serve] [--quiet]

OPTIONS
    --daemon PROGRAM  crimpgated
    --source FOLDER   the project: spec table, order and gauge profile come from there
    --out FOLDER      journal, tags and log go there; what an earlier demo left in it is removed
    --port N          of the station; any free one when not given
    --serve           then leave the station open in a browser, with an order of five and the caliper at this
                      terminal ("good", "small", "close" ...), until "stop" is typed or a signal comes
    --quiet           the sum only
)";

struct Tally {
    std::int64_t passed = 0, scrapped = 0, recrimped = 0, held = 0, refused = 0, uncertain = 0, lost = 0, tags = 0,
                 suspect = 0, proof_tested = 0, last_seq = 0;
};

int give_up(const Message& why) {
    std::fprintf(stderr, "demo: %s\n", say(why).c_str());
    return 1;
}

bool worth_telling(std::string_view type) {
    static const std::set<std::string_view> quiet = {"tag.printing", "end.judged", "gauge.proof_begun"};
    return !quiet.contains(type);
}

// Everything since the last call, in sentences, and counted.
Result<void> tell(ApiClient& api, Tally& tally, bool quiet) {
    for (;;) {
        const auto reply = api.get("/api/entries?from=" + std::to_string(tally.last_seq + 1) + "&limit=200");
        if (!reply) return refuse(reply.error());
        if (!reply->ok())
            return refuse(message("hand.refused").with("code", reply->code()).with("words", reply->words()));
        const auto& entries = reply->json.at("entries").as_array();
        if (entries.empty()) return {};
        for (const auto& value : entries) {
            const auto& entry = value.as_object();
            tally.last_seq = entry.at("seq").as_int64();
            const std::string type(entry.at("type").as_string());
            if (!entry.contains("body")) continue;
            const auto body = entry_body(type, entry.at("body").as_object());
            if (!body) return refuse(body.error());
            if (const auto* e = std::get_if<entries::AssemblyPassed>(&*body)) {
                ++tally.passed;
                tally.recrimped += e->recrimps > 0 ? 1 : 0;
            }
            if (const auto* e = std::get_if<entries::HoldSettled>(&*body))
                tally.scrapped += e->how == Settlement::scrap ? 1 : 0;
            if (const auto* e = std::get_if<entries::AssemblyHeld>(&*body))
                (e->cause == HoldCause::suspect ? tally.suspect : tally.held) += 1;
            if (const auto* e = std::get_if<entries::ReadingTaken>(&*body))
                tally.uncertain += e->verdict == Verdict::uncertain ? 1 : 0;
            if (const auto* e = std::get_if<entries::ProofTested>(&*body)) tally.proof_tested += e->passed ? 1 : 0;
            tally.refused += std::holds_alternative<entries::ReadingRefused>(*body) ? 1 : 0;
            tally.lost += std::holds_alternative<entries::GaugeLost>(*body) ? 1 : 0;
            if (const auto* e = std::get_if<entries::TagPrinted>(&*body)) tally.tags += e->copy == 0 ? 1 : 0;
            if (quiet || !worth_telling(type)) continue;
            const std::string who(entry.at("who").as_string());
            std::printf("%5lld  %s\n", static_cast<long long>(tally.last_seq), say(words_of(*body, who)).c_str());
            if (std::holds_alternative<entries::AssemblyPassed>(*body)) {
                if (tally.passed > 8) continue;
                std::string bar(static_cast<std::size_t>(tally.passed), '#');
                bar.resize(8, '.');
                std::printf("       [%s] %lld of 8 passed, %lld scrapped\n", bar.c_str(),
                            static_cast<long long>(tally.passed), static_cast<long long>(tally.scrapped));
            }
        }
        std::fflush(stdout);
    }
}

bool expect(bool good, const char* what) {
    std::printf("  %s  %s\n", good ? "as expected:" : "NOT AS EXPECTED:", what);
    return good;
}

std::size_t pdfs_in(const fs::path& folder) {
    std::size_t count = 0;
    for (const auto& file : fs::directory_iterator(folder))
        count += file.path().extension() == ".pdf" ? 1 : 0;
    return count;
}

int run(const Arguments& arguments) {
    const bool quiet = arguments.has("--quiet");
    std::uint16_t port = 0;
    if (arguments.has("--port")) {
        const auto given = arguments.number("--port", 1024, 65535);
        if (!given) return give_up(given.error());
        port = static_cast<std::uint16_t>(*given);
    }
    ShopPlaces places;
    places.source = fs::absolute(arguments.value("--source")).string();
    places.folder = fs::absolute(arguments.value("--out")).string();
    places.gauge_port = places.folder + "/caliper";
    // Only what a demo makes: a folder named by mistake must not lose anything else.
    fs::create_directories(places.folder);
    for (const char* name :
         {"journal.sqlite", "journal.sqlite-wal", "journal.sqlite-shm", "journal.sqlite.lock", "journal.sqlite.state",
          "station.key", "checkpoints", "certificates", "outgoing", "tags", "station.toml", "station.log", "caliper"})
        fs::remove_all(fs::path(places.folder) / name);

    const auto profile = load_profile(places.source + "/drivers/profiles/signed_decimal_unit.toml");
    if (!profile) return give_up(profile.error());
    auto caliper = SimulatedCaliper::on_pty(*profile, places.gauge_port);
    if (!caliper) return give_up(caliper.error());
    const auto configuration = write_configuration(places, port);
    if (!configuration) return give_up(configuration.error());

    std::printf("The station starts: journal, tags and log go to %s\n", places.folder.c_str());
    auto station = Child::start(arguments.value("--daemon"), *configuration, places.folder + "/station.log");
    if (!station) return give_up(station.error());
    const auto settings = shop_settings();
    if (auto ready = set_up(places, station->port(), station->first_code(), settings); !ready)
        return give_up(ready.error());

    ApiClient office("127.0.0.1", station->port());
    if (auto in = office.sign_in(settings.crew.setter_id, settings.crew.setter_pin); !in) return give_up(in.error());
    Tally tally;
    Hand hand(settings, **caliper);
    hand.open(station->port());
    for (;;) {
        const auto turn = hand.turn();
        if (!turn) return give_up(turn.error());
        if (auto told = tell(office, tally, quiet); !told) return give_up(told.error());
        if (*turn == Hand::Turn::finished) break;
    }

    const auto verified = office.post("/api/journal/verify");
    if (!verified) return give_up(verified.error());
    if (auto told = tell(office, tally, quiet); !told) return give_up(told.error());
    std::puts("");
    const Expected expected;
    bool good = expect(tally.passed == expected.passed, "eight assemblies passed");
    good &= expect(tally.scrapped == expected.scrapped, "two were scrapped: one undersize, one pushed in too short");
    good &= expect(tally.recrimped == expected.recrimped, "one was too large, was crimped again and passed");
    good &= expect(tally.uncertain >= 1, "one reading was too close to a limit to call, and was taken again");
    good &= expect(tally.refused >= 1, "one press in the wrong unit was refused");
    good &= expect(tally.lost == 1 && tally.suspect == 0, "the caliper was unplugged, came back and proved itself");
    good &= expect(tally.tags == 8 && pdfs_in(places.folder + "/tags") == 8, "eight tags, and not one more");
    const auto* sound = verified->json.if_contains("sound");
    good &= expect(verified->ok() && sound != nullptr && sound->is_bool() && sound->get_bool(), "the journal is sound");
    if (auto worked = work_tested_order(places, **caliper, station->port(), settings); !worked)
        return give_up(worked.error());
    if (auto told = tell(office, tally, quiet); !told) return give_up(told.error());
    const auto gone = send_out(places, station->port(), settings);
    if (!gone) return give_up(gone.error());
    if (auto told = tell(office, tally, quiet); !told) return give_up(told.error());
    std::puts("");
    good &= expect(tally.proof_tested == 2 && tally.passed == expected.passed + 2,
                   "two more, for another customer, passed after their proof test");
    good &=
        expect(gone->first == expected.passed && gone->second == 2, "each customer was sent their own and no other");
    std::printf("\nSent:    %s/outgoing has the certificate %s and the customer's link\n", places.folder.c_str(),
                gone->certificate.c_str());
    std::printf("Tags:    %s/tags\nJournal: %s/journal.sqlite (%lld entries)\nLog:     %s/station.log\n",
                places.folder.c_str(), places.folder.c_str(), static_cast<long long>(tally.last_seq),
                places.folder.c_str());
    if (arguments.has("--serve") && good)
        if (auto received = receive_visitor(**caliper, station->port(), places.source, settings); !received)
            return give_up(received.error());
    good &= expect(station->stop() == 0, "the station stopped cleanly");
    return good ? 0 : 1;
}

}  // namespace

int main(int argc, char* argv[]) {
    const auto arguments =
        Arguments::parse(argc, argv, {"--daemon", "--source", "--out", "--port"}, {"--serve", "--quiet", "--help"});
    if (!arguments) {
        std::fprintf(stderr, "demo: %s\n", say(arguments.error()).c_str());
        return 2;
    }
    if (arguments->has("--help")) {
        std::fputs(help, stdout);
        return 0;
    }
    for (const char* needed : {"--daemon", "--source", "--out"})
        if (!arguments->has(needed)) {
            std::fprintf(stderr, "demo: give %s; --help explains\n", needed);
            return 2;
        }
    return run(*arguments);
}
