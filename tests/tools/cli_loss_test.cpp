// crimpgate go-on-after-loss by the program itself: a shop whose journal is of last night and whose checkpoints are
// not.
#include <sys/stat.h>

#include "station/daemon/checkpoint_signer.h"
#include "station/people/pins.h"
#include "tests/station/desk_kit.h"
#include "tests/tools/cli_kit.h"

using namespace cli_kit;
using namespace crimpgate::test;

namespace {

// The configuration of a station whose journal was put back from a copy, and what a setter needs to be believed.
struct Shop {
    Shop() {
        DeskKit kit{Bench::set_up()};
        REQUIRE_FALSE(kit.desk->run(commands::SetSecret{"SET", Secret::pin, hash_of_secret("503917")}, "SET").refusal);
        const auto opened = must(open_station_keys(folder / "station.key", "bench-1", {}));
        key = opened.keys.checkpoints.verifier().text();
        kit.desk->note(entries::KeyMade{"bench-1", key, opened.keys.tag_key_text()});
        CheckpointSigner::Settings settings;
        settings.folders = {folder / "checkpoints"};
        CheckpointSigner signer(*kit.desk, kit.journal, kit.clock, opened.keys.checkpoints, settings);
        must(signer.sign("asked", "SET"));
        must(kit.journal.back_up(folder / "journal.sqlite"));
        kit.desk->note(entries::StationStopped{"a day of work"});
        lost = must(signer.sign("asked", "SET"));
        std::ofstream(folder / "station.toml")
            << "[station]\nid = \"bench-1\"\nshop = \"Invented Hose Works\"\ntime_zone = \"Europe/Berlin\"\n"
               "serial_prefix = \"K1\"\n[journal]\nfile = \""
            << journal() << "\"\n[http]\nport = 0\n[tag]\nfolder = \"" << (folder / "tags").string() << "\"\n";
        std::ofstream(folder / "pin") << "503917\n";
        std::ofstream(folder / "wrong") << "503918\n";
        for (const char* name : {"pin", "wrong"})
            REQUIRE(::chmod((folder / name).c_str(), 0600) == 0);
    }
    std::string journal() const { return (folder / "journal.sqlite").string(); }
    Run go_on(const std::string& pin, const std::string& reason = "The disk died; this copy is of last night.",
              const std::string& person = "SET") const {
        return run({"go-on-after-loss", "--config", (folder / "station.toml").string(), "--person", person,
                    "--pin-file", (folder / pin).string(), "--reason", reason});
    }

    Folder folder;
    std::string key;
    KeptCheckpoint lost;
};

}  // namespace

TEST_CASE("R10: a setter writes down that the record's end is lost, and from then on every verification tells it") {
    const Shop shop;
    CHECK(shop.go_on("pin", "").code == 2);
    CHECK(shop.go_on("wrong").code == 3);
    CHECK(shop.go_on("pin", "a reason", "OPA").code == 3);
    const auto done = shop.go_on("pin");
    INFO(done.out << done.err);
    REQUIRE(done.code == 0);
    CHECK(has(done.out, "up to " + std::to_string(shop.lost.size) + " entries"));
    CHECK(read_file(shop.folder / "checkpoints" / "latest.txt") != shop.lost.note);
    const auto verified = run({"verify", "--journal", shop.journal(), "--key", shop.key});
    INFO(verified.out << verified.err);
    CHECK(verified.code == 0);
    CHECK(has(verified.out, "ITS END WAS LOST ONCE: " + std::to_string(shop.lost.size) + " entries had been signed"));
    CHECK(has(verified.out, "The disk died; this copy is of last night."));
    CHECK(has(verified.out, "Earlier key:  " + shop.key));
    // Who kept the lost checkpoint sees that it is not continued.
    const auto kept = (shop.folder / "kept.txt").string();
    std::ofstream(kept) << shop.lost.note;
    const auto held = run({"verify", "--journal", shop.journal(), "--checkpoint", kept});
    CHECK(held.code == 1);
    const auto again = shop.go_on("pin");
    CHECK(again.code == 3);
    CHECK(has(again.err, "nothing was lost"));
}
