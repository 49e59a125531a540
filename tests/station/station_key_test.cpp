// The key's file and the signing of the journal's head.
#include "station/daemon/station_key.h"

#include <sys/stat.h>

#include "station/daemon/checkpoint_signer.h"
#include "station/proof/checkpoint.h"
#include "station/proof/merkle.h"
#include "tests/station/desk_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;
using journal_kit::must;
using journal_kit::read_file;

namespace {

// A station's desk with a key, signing into two folders.
struct Signing {
    explicit Signing(bool hourly = true) {
        const auto opened =
            must(open_station_keys(kit.folder / "station.key", "bench-1", must(station_keys(kit.journal))));
        keys.emplace(opened.keys);
        const auto& key = keys->checkpoints.verifier();
        kit.desk->note(entries::KeyMade{key.name, key.text(), keys->tag_key_text()});
        settings.folders = {kit.folder / "checkpoints", kit.folder / "second"};
        settings.hourly = hourly;
        open();
    }
    void open() { signer.emplace(*kit.desk, kit.journal, kit.clock, keys->checkpoints, settings); }
    KeptCheckpoint sign() { return must(signer->sign("asked", "LD-1")); }
    void happen() { kit.desk->note(entries::StationStopped{"something"}); }
    std::string refused() {
        const auto signed_one = signer->sign("asked", "LD-1");
        return signed_one ? "signed" : signed_one.error().code;
    }
    Checkpoint opened(const std::string& note) {
        return must(open_checkpoint(note, keys->checkpoints.verifier())).checkpoint;
    }

    DeskKit kit{Bench()};
    std::optional<StationKeys> keys;
    CheckpointSigner::Settings settings;
    std::optional<CheckpointSigner> signer;
};

template <class T>
std::string code(const Result<T>& result) {
    return result ? "good" : result.error().code;
}

}  // namespace

TEST_CASE("the key's file is made once, for its user alone, and gives the same keys at every start") {
    journal_kit::Folder folder;
    const auto file = folder / "station.key";
    const auto made = must(open_station_keys(file, "bench-1", {}));
    CHECK(made.to_be_told);
    struct stat about = {};
    REQUIRE(::stat(file.c_str(), &about) == 0);
    CHECK((about.st_mode & 07777) == 0600);
    CHECK(read_file(file).starts_with("crimpgate-key-seed/1 "));
    CHECK_FALSE(std::filesystem::exists(folder / "station.key.part"));
    const StationKey known{1, "bench-1", made.keys.checkpoints.verifier().text(), made.keys.tag_key_text(), ""};
    const auto again = must(open_station_keys(file, "another name in the configuration", {known}));
    CHECK_FALSE(again.to_be_told);
    CHECK(again.keys.checkpoints.verifier() == made.keys.checkpoints.verifier());
    CHECK(again.keys.tags.verifier() == made.keys.tags.verifier());
    CHECK(made.keys.tags.verifier().key != made.keys.checkpoints.verifier().key);
}

TEST_CASE("a key that others can read is refused, and so is one that is missing, damaged or another's") {
    journal_kit::Folder folder;
    const auto file = folder / "station.key";
    const auto made = must(open_station_keys(file, "bench-1", {}));
    const std::vector<StationKey> known = {{1, "bench-1", made.keys.checkpoints.verifier().text(), "", ""}};
    for (const int mode : {0640, 0604, 0620, 0602, 0610, 0601, 0644}) {
        REQUIRE(::chmod(file.c_str(), static_cast<mode_t>(mode)) == 0);
        const auto opened = open_station_keys(file, "bench-1", known);
        INFO(mode);
        CHECK(code(opened) == "record.key_readable");
    }
    REQUIRE(::chmod(file.c_str(), 0640) == 0);
    CHECK(open_station_keys(file, "bench-1", known).error().detail("mode") == "640");
    REQUIRE(::chmod(file.c_str(), 0400) == 0);
    CHECK(code(open_station_keys(file, "bench-1", known)) == "good");
    CHECK(write_key_file(file, new_seed()).error().code == "record.key_exists");

    const std::string bytes = read_file(file);
    const auto put = [&](const std::string& text) {
        std::filesystem::remove(file);
        std::ofstream(file) << text;
        ::chmod(file.c_str(), 0600);
        return code(open_station_keys(file, "bench-1", known));
    };
    CHECK(put(bytes) == "good");
    CHECK(put(bytes.substr(0, bytes.size() - 1)) == "record.key_malformed");
    CHECK(put("") == "record.key_malformed");
    CHECK(put(bytes + bytes) == "record.key_malformed");
    CHECK(put(seed_text(new_seed())) == "record.other_key");
    std::filesystem::remove(file);
    CHECK(code(open_station_keys(file, "bench-1", known)) == "record.key_missing");
    CHECK_FALSE(std::filesystem::exists(file));  // never a new one in its place
    std::filesystem::create_symlink(folder / "elsewhere", file);
    CHECK(code(open_station_keys(file, "bench-1", {})) == "record.key_unreadable");
}

TEST_CASE("a checkpoint is an entry first and then a file in every folder, and signs all entries before it") {
    Signing s;
    const auto one = s.sign();
    CHECK(one.size == one.seq - 1);
    CHECK(one.who == "LD-1");
    CHECK(one.cause == "asked");
    CHECK(s.opened(one.note).root == must(s.kit.journal.root(one.size)));
    CHECK(s.kit.desk->state().record.checkpoint_size == one.size);
    for (const char* folder : {"checkpoints", "second"})
        for (const auto& name : {std::to_string(one.size) + ".txt", std::string("latest.txt")})
            CHECK(read_file(s.kit.folder / folder / name) == one.note);
    CHECK(must(s.kit.journal.verify()).checkpoints == 1);
    // Nothing new: the same one is the answer, and no entry is made.
    CHECK(s.sign().seq == one.seq);
    s.happen();
    const auto two = s.sign();
    CHECK(two.size == one.seq + 1);
    CHECK(verify_consistency(one.size, two.size, must(s.kit.journal.consistency(one.size, two.size)),
                             s.opened(one.note).root, s.opened(two.note).root));
    CHECK(s.signer->unwritten().empty());
}

TEST_CASE("every hour a checkpoint is signed while entries arrive, and none when nothing came") {
    Signing s;
    CHECK_FALSE(s.signer->tend());
    s.kit.clock.pass_ms(3'599'000);
    CHECK_FALSE(s.signer->tend());
    s.kit.clock.pass_ms(1'000);
    const auto hourly = s.signer->tend();
    REQUIRE(hourly);
    CHECK(must(*hourly).cause == "hour");
    CHECK_FALSE(s.signer->tend());
    s.kit.clock.pass_ms(3'600'000);
    CHECK_FALSE(s.signer->tend());  // nothing but the checkpoint itself
    s.happen();
    s.kit.clock.pass_ms(3'600'000);
    CHECK(s.signer->tend());
    Signing never(false);
    never.kit.clock.pass_ms(36'000'000);
    CHECK_FALSE(never.signer->tend());
}

TEST_CASE(
    "R10: nothing is signed that does not continue what was signed before, and the refusal says where that lies") {
    Signing s;
    s.sign();
    s.happen();
    s.happen();
    const auto newest = s.sign();
    for (const char* folder : {"checkpoints", "second"}) {
        INFO(folder);
        const auto file = s.kit.folder / folder / "latest.txt";
        const std::string kept = read_file(file);
        const auto with = [&](const std::string& note) {
            std::ofstream(file, std::ios::trunc) << note;
            return s.refused();
        };
        // As after a journal was put back from a backup: the newest checkpoint lies beyond its end.
        CHECK(with(sign_checkpoint(newest.size + 50, Hash{1}, s.keys->checkpoints).bytes()) == "record.not_extending");
        CHECK(s.signer->sign("asked", "").error().detail("where") == file.string());
        CHECK(s.signer->sign("asked", "").error().detail("size") == std::to_string(newest.size + 50));
        // Of the same length, another past.
        CHECK(with(sign_checkpoint(newest.size, Hash{1}, s.keys->checkpoints).bytes()) == "record.not_extending");
        CHECK(with("scribble") == "record.foreign_checkpoint");
        const SigningKey stranger("bench-1", KeyType::ed25519, new_seed());
        CHECK(with(sign_checkpoint(1, must(s.kit.journal.root(1)), stranger).bytes()) == "record.foreign_checkpoint");
        CHECK(code(s.signer->extends_the_newest()) == "record.foreign_checkpoint");
        CHECK(with(kept) == "signed");
    }
    const auto before = must(s.kit.journal.last_seq());
    s.happen();
    std::ofstream(s.kit.folder / "second" / "latest.txt", std::ios::trunc) << "scribble";
    CHECK(s.refused() == "record.foreign_checkpoint");
    CHECK(must(s.kit.journal.last_seq()) == before + 1);  // no checkpoint.signed
}

TEST_CASE("a folder that cannot be written does not undo what was signed; the next signing writes it") {
    Signing s;
    std::ofstream(s.kit.folder / "second") << "a file where the folder should be";
    const auto one = s.sign();
    REQUIRE(s.signer->unwritten().size() == 1);
    CHECK(read_file(s.kit.folder / "checkpoints" / "latest.txt") == one.note);
    CHECK(must(last_checkpoint(s.kit.journal))->seq == one.seq);
    std::filesystem::remove(s.kit.folder / "second");
    CHECK(s.sign().seq == one.seq);
    CHECK(s.signer->unwritten().empty());
    CHECK(read_file(s.kit.folder / "second" / "latest.txt") == one.note);
}
