// A journal that lost its signed end: the station refuses, and the deliberate way out tells what was lost.
#include "station/daemon/lost_end.h"

#include "station/proof/checkpoint.h"
#include "tests/station/desk_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;
using journal_kit::must;
using journal_kit::read_file;

namespace {

template <class T>
std::string code(const Result<T>& result) {
    return result ? "good" : result.error().code;
}

// A station that signed further than its journal goes now: the journal was copied, worked on, and put back.
struct Lost {
    Lost() {
        const auto opened = must(open_station_keys(file, "bench-1", {}));
        keys.emplace(opened.keys);
        kit.desk->note(entries::KeyMade{"bench-1", keys->checkpoints.verifier().text(), keys->tag_key_text()});
        settings.folders = {kit.folder / "checkpoints", kit.folder / "second"};
        sign();
        must(kit.journal.back_up(kit.folder / "copy.sqlite"));
        for (int i = 0; i < 3; ++i) {
            kit.desk->note(entries::StationStopped{"work of the day " + std::to_string(i)});
            newest = sign();
        }
        journal.emplace(must(Journal::open(kit.folder / "copy.sqlite", journal_kit::station("bench-1"))));
        open();
        // Other work, so that the lost one cannot come back by itself.
        desk->note(entries::StationStopped{"work after the disk died"});
    }
    KeptCheckpoint sign() {
        CheckpointSigner signer(*kit.desk, kit.journal, kit.clock, keys->checkpoints, settings);
        return must(signer.sign("asked", "LD-1"));
    }
    void open() { desk = must(Desk::open(*journal, BenchRules{.station = "bench-1"}, kit.clock, "UTC")); }
    std::string signing() {
        CheckpointSigner signer(*desk, *journal, kit.clock, keys->checkpoints, settings);
        return code(signer.sign("asked", "LD-1"));
    }
    Result<WentOn> go_on(const std::string& reason = "The disk died; the copy is of last night.",
                         const std::string& who = "SET") {
        return go_on_after_loss(*desk, *journal, kit.clock, *keys, file, settings, reason, who, "2026-11-26");
    }

    DeskKit kit{Bench::set_up()};
    std::filesystem::path file = kit.folder / "station.key";
    std::optional<StationKeys> keys;
    CheckpointSigner::Settings settings;
    KeptCheckpoint newest;
    std::optional<Journal> journal;
    std::unique_ptr<Desk> desk;
};

}  // namespace

TEST_CASE(
    "R10: a journal without its signed end signs nothing until the loss is written down, and then with another key") {
    Lost lost;
    const auto old = lost.keys->checkpoints.verifier();
    CHECK(lost.signing() == "record.not_extending");
    CHECK(code(lost.go_on("")) == "bench.field_empty");
    CHECK(code(lost.go_on("a reason", "OPA")) == "bench.not_a_setter");
    CHECK(lost.signing() == "record.not_extending");

    const auto went_on = must(lost.go_on());
    CHECK(went_on.lost.front().size == lost.newest.size);
    CHECK(went_on.lost.size() == 8);  // three sizes and the latest, in two folders
    const auto now = lost.keys->checkpoints.verifier();
    CHECK(now != old);
    CHECK(open_checkpoint(went_on.first.note, now));
    // The lost ones are kept where they can be looked at.
    for (const char* folder : {"checkpoints", "second"}) {
        CHECK(read_file(lost.kit.folder / folder / "lost-2026-11-26" / "latest.txt") == lost.newest.note);
        CHECK(read_file(lost.kit.folder / folder / "latest.txt") == went_on.first.note);
    }
    // The old key signed nothing over what came now but its own end.
    const auto kept = must(checkpoints(*lost.journal, 100));
    const auto handed = must(station_keys(*lost.journal)).back();
    for (const auto& one : kept)
        CHECK(open_checkpoint(one.note, old).has_value() == (one.seq < handed.seq));

    // Verification holds, and tells it.
    const auto verified = must(lost.journal->verify());
    CHECK(verified.sound());
    CHECK(verified.keys_without_hand_over == 0);
    const auto told = must(told_losses(*lost.journal));
    REQUIRE(told.size() == 1);
    CHECK(told[0].size == lost.newest.size);
    CHECK(told[0].note == lost.newest.note);
    CHECK(told[0].reason == "The disk died; the copy is of last night.");
    CHECK(told[0].who == "SET");
    // The station works on, also beyond the size that was lost.
    for (int i = 0; i < 12; ++i)
        lost.desk->note(entries::StationStopped{"later " + std::to_string(i)});
    CHECK(lost.signing() == "good");
    CHECK(must(told_losses(*lost.journal)).size() == 1);
    CHECK(code(lost.go_on()) == "record.nothing_lost");
}

TEST_CASE("a way out that a power cut broke off goes on where it was, with one new key") {
    Lost lost;
    KeyKeeper keeper(*lost.desk, *lost.keys, lost.file);
    const auto notes = must(lost_notes(*lost.journal, lost.settings.folders));
    // The entry was written, and then the power went: the files still stand where they were.
    REQUIRE_FALSE(keeper.hand_over(loss_text("The disk died.", notes), "SET").refusal);
    CHECK(lost.signing() == "record.not_extending");
    const auto keys = must(station_keys(*lost.journal)).size();
    must(lost.go_on());
    CHECK(must(station_keys(*lost.journal)).size() == keys);
    CHECK(lost.signing() == "good");
}

TEST_CASE("a loss that did not happen, or that the old key never signed, is no loss") {
    Lost lost;
    const auto false_note = [&](const std::string& note) {
        KeyKeeper keeper(*lost.desk, *lost.keys, lost.file);
        const std::vector<LostNote> invented = {{"latest.txt", 9, note}};
        REQUIRE_FALSE(keeper.hand_over(loss_text("nothing but a wish", invented), "SET").refusal);
        return code(told_losses(*lost.journal));
    };
    SECTION("a checkpoint that the journal continues") {
        CHECK(false_note(must(last_checkpoint(*lost.journal))->note) == "record.false_loss");
    }
    SECTION("signed by somebody else") {
        const SigningKey other("bench-1", KeyType::ed25519, Seed{77});
        CHECK(false_note(sign_checkpoint(5000, Hash{1}, other).bytes()) == "record.false_loss");
    }
    SECTION("no checkpoint at all") {
        CHECK(false_note("anything\n") == "record.false_loss");
    }
}
