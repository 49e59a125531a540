// What a person outside the shop does with checkpoints, by the program itself: keep one, compare, countersign; and the
// key read back from its page.
#include <sys/stat.h>

#include "station/daemon/station_key.h"
#include "station/journal/checkpoints.h"
#include "station/proof/checkpoint.h"
#include "station/proof/recovery_text.h"
#include "station/proof/witness_key.h"
#include "tests/station/true_record.h"
#include "tests/tools/cli_kit.h"

using namespace cli_kit;

namespace json = boost::json;

namespace {

// A station's record that grows, signs itself, and may change its key.
class Record {
  public:
    explicit Record(const std::string& name = "j.sqlite", const std::string& first = "")
        : file((folder / name).string()), journal_(open_journal(file)) {
        write(entries::StationStopped{first.empty() ? "the beginning" : first});
        const auto key = test_station_key();
        write(entries::KeyMade{key.verifier().name, key.verifier().text(), to_base64(as_text(test_tag_key()))});
        write(entries::WitnessKnown{test_witness_key().verifier().text(), "Lea Brandt, at home"});
        grow(5);
    }

    void grow(int n) {
        for (int i = 0; i < n; ++i)
            write(entries::StationStopped{"entry " + std::to_string(written_)});
    }
    // A checkpoint file over all entries so far.
    std::string sign() {
        const auto size = must(journal_.last_seq());
        const Hash root = must(journal_.root(size));
        const auto note = sign_checkpoint(size, root, test_station_key(key_)).bytes();
        write(entries::CheckpointSigned{size, to_base64(root), note, "asked"});
        return save("checkpoint-" + std::to_string(size) + ".txt", note);
    }
    void countersign_last() {
        auto body = entries::CheckpointCountersigned{};
        const auto last = must(last_checkpoint(journal_));
        body.size = last->size;
        body.key = test_witness_key().verifier().text();
        body.signed_utc_s = 1'741'104'000;
        body.line = cosign_note(must(parse_note(last->note)).text, test_witness_key(), body.signed_utc_s).line();
        body.line.pop_back();
        write(body);
    }
    void hand_over() {
        const auto next = test_station_key(2).verifier();
        entries::KeyHandedOver body{next.name,   test_station_key().verifier().text(),
                                    next.text(), to_base64(as_text(test_tag_key(2))),
                                    "",          "a copy left the shop"};
        body.statement = sign_hand_over({next, test_tag_key(2)}, test_station_key());
        write(body);
        key_ = 2;
    }
    std::int64_t size() { return must(journal_.last_seq()); }
    std::string save(const std::string& name, const std::string& text) {
        const auto path = (folder / name).string();
        std::ofstream(path, std::ios::binary) << text;
        return path;
    }
    std::string proof(std::int64_t from, const std::string& to = "latest") {
        const auto made = run({"checkpoint", "proof", std::to_string(from), to, "--journal", file});
        INFO(made.err);
        REQUIRE(made.code == 0);
        return save("proof-" + std::to_string(from) + ".txt", made.out);
    }

    Folder folder;
    std::string file;

  private:
    void write(const EntryBody& body) { must(journal_.append({draft(body, "")}, at(written_++))); }
    std::int64_t written_ = 0;
    unsigned char key_ = 1;
    Journal journal_;
};

std::string shop_key(unsigned char n = 1) {
    return test_station_key(n).verifier().text();
}

std::int64_t size_in(const std::string& file) {
    const auto note = must(parse_note(read_file(file)));
    return must(read_checkpoint(note.text)).size;
}

unsigned mode_of(const std::string& file) {
    struct stat about = {};
    REQUIRE(::stat(file.c_str(), &about) == 0);
    return about.st_mode & 07777;
}

// The program with that on its standard input.
Run fed(const std::string& input, const std::vector<std::string>& arguments) {
    const Folder folder;
    std::ofstream(folder / "in") << input;
    std::string command = quoted(program);
    for (const auto& argument : arguments)
        command += " " + quoted(argument);
    command += " >" + quoted((folder / "out").string()) + " 2>" + quoted((folder / "err").string()) + " <" +
               quoted((folder / "in").string());
    const int status = std::system(command.c_str());
    return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, read_file(folder / "out"), read_file(folder / "err")};
}

}  // namespace

TEST_CASE("checkpoints are listed, shown and proved from a journal's file") {
    Record record;
    const auto first = record.sign();
    record.countersign_last();
    record.grow(9);
    const auto second = record.sign();
    const auto list = run({"checkpoint", "list", "--journal", record.file});
    INFO(list.out << list.err);
    CHECK(list.code == 0);
    CHECK(list.out.find(std::to_string(size_in(second))) < list.out.find(std::to_string(size_in(first)) + " "));
    CHECK(has(list.out, "lead-desk 2025-03-04 16:00:00"));
    const auto whole = run({"checkpoint", "show", std::to_string(size_in(first)), "--journal", record.file});
    CHECK(whole.out.starts_with(read_file(first)));
    CHECK(has(whole.out, "\u2014 lead-desk "));
    CHECK(run({"checkpoint", "show", "latest", "--journal", record.file}).out == read_file(second));
    CHECK(run({"checkpoint", "show", "3", "--journal", record.file}).code == 3);
    CHECK(run({"checkpoint", "show", "0", "--journal", record.file}).code == 2);
    CHECK(run({"checkpoint", "--journal", record.file}).code == 2);
    CHECK(run({"checkpoint", "sign", "--journal", record.file}).code == 3);
    CHECK(json::parse(run({"checkpoint", "list", "--count", "1", "--journal", record.file, "--json"}).out)
              .at("checkpoints")
              .as_array()
              .size() == 1);
    CHECK(has(run({"checkpoint", "proof", std::to_string(size_in(first)), "latest", "--journal", record.file}).out,
              "crimpgate-consistency/1\nfrom " + std::to_string(size_in(first)) + "\n"));
}

TEST_CASE("two checkpoints are compared: one extends the other, by a proof file or by the journal") {
    Record record;
    const auto first = record.sign();
    record.grow(20);
    const auto second = record.sign();
    const auto proof = record.proof(size_in(first), std::to_string(size_in(second)));
    for (const auto& source : {std::vector<std::string>{"--proof", proof}, {"--journal", record.file}}) {
        std::vector<std::string> words{"compare", first, second, "--key", shop_key()};
        words.insert(words.end(), source.begin(), source.end());
        const auto good = run(words);
        INFO(good.out << good.err);
        CHECK(good.code == 0);
        CHECK(has(good.out, "extends " + first));
        CHECK(has(good.out, "not one was changed"));
    }
    CHECK(run({"compare", first, first, "--key", shop_key()}).code == 0);
    // Without a key, a proof or the right order there is no good answer.
    CHECK(run({"compare", first, second, "--proof", proof}).code == 2);
    const auto without = run({"compare", first, second, "--key", shop_key()});
    CHECK(without.code == 2);
    CHECK(has(without.err, "crimpgate checkpoint proof " + std::to_string(size_in(first))));
    CHECK(run({"compare", second, first, "--key", shop_key(), "--proof", proof}).code == 1);
    CHECK(run({"compare", first, second, "--key", shop_key(3), "--proof", proof}).code == 1);
    CHECK(run({"compare", first, second, "--key", to_base64(as_text(test_tag_key())), "--proof", proof}).code == 2);
    auto false_proof = read_file(proof);
    auto& digit = false_proof[false_proof.size() - 5];
    digit = digit == 'A' ? 'B' : 'A';
    CHECK(run({"compare", first, second, "--key", shop_key(), "--proof", record.save("false.txt", false_proof)}).code ==
          1);
}

TEST_CASE("a shop that signed two pasts is found out, with the journal of either past, and told so in plain words") {
    Record honest, rewritten("k.sqlite", "another beginning");
    const auto first = honest.sign();
    honest.grow(4);
    const auto second = honest.sign();
    rewritten.sign();
    rewritten.grow(12);
    const auto other = rewritten.sign();
    const auto told = run({"compare", first, other, "--key", shop_key(), "--journal", rewritten.file});
    INFO(told.out << told.err);
    CHECK(told.code == 1);
    CHECK(has(told.out, "NOT PROVED"));
    CHECK(has(told.out, "TWO PASTS"));
    const auto by_honest = run({"compare", first, other, "--key", shop_key(), "--journal", honest.file});
    CHECK(by_honest.code == 1);
    CHECK(has(by_honest.out, "but not the " + std::to_string(size_in(other)) + " of the newer one"));
    CHECK(has(run({"compare", first, second, "--key", shop_key(), "--journal", rewritten.file}).out,
              "under neither checkpoint"));
    // Of one size, the two files alone prove it.
    Record twin("l.sqlite", "a third beginning");
    const auto same_size = run({"compare", first, twin.sign(), "--key", shop_key()});
    CHECK(same_size.code == 1);
    CHECK(has(same_size.out, "the station signed two pasts"));
}

TEST_CASE("a witness countersigns what extends the last one, remembers it, and refuses a second past") {
    Record record, rewritten("k.sqlite", "another beginning");
    const auto first = record.sign();
    const auto key = (record.folder / "lead.key").string();
    const auto made = run({"witness-key", key, "--name", "lead-home"});
    INFO(made.err);
    REQUIRE(made.code == 0);
    CHECK(mode_of(key) == 0600);
    CHECK(run({"witness-key", key, "--name", "lead-home"}).code == 3);
    CHECK(run({"witness-key", key + "2", "--name", "two words"}).code == 2);
    const auto public_key = must(parse_verifier_key(made.out.substr(0, made.out.size() - 1)));
    CHECK(public_key.type == KeyType::cosignature);

    CHECK(run({"countersign", first, "--key", key}).code == 2);  // the station's key is not known yet
    CHECK(run({"countersign", first, "--key", key, "--log", shop_key(3)}).code == 1);
    const auto signed_first = run({"countersign", first, "--key", key, "--log", shop_key()});
    INFO(signed_first.err);
    REQUIRE(signed_first.code == 0);
    const auto opened = open_checkpoint(signed_first.out, test_station_key().verifier(), {public_key});
    REQUIRE(opened);
    CHECK(opened->countersigners.size() == 1);

    record.grow(7);
    const auto second = record.sign();
    const auto without = run({"countersign", second, "--key", key});
    CHECK(without.code == 2);
    CHECK(has(without.err,
              "crimpgate checkpoint proof " + std::to_string(size_in(first)) + " " + std::to_string(size_in(second))));
    const auto proof = record.proof(size_in(first), std::to_string(size_in(second)));
    CHECK(run({"countersign", second, "--key", key, "--proof", proof, "--to", record.save("out.txt", "")}).code == 0);
    CHECK(has(read_file(record.folder / "out.txt"), "\u2014 lead-home "));
    CHECK(run({"countersign", second, "--key", key}).code == 0);  // the same again needs no proof

    rewritten.sign();
    rewritten.grow(30);
    const auto other = rewritten.sign();
    const auto refused = run({"countersign", other, "--key", key, "--proof",
                              rewritten.proof(size_in(second), std::to_string(size_in(other)))});
    CHECK(refused.code == 1);
    CHECK(refused.out.empty());
    CHECK(run({"countersign", first, "--key", key}).code == 1);  // never back
    // What lies beside the key cannot be made to say something else.
    for (const auto& entry : std::filesystem::directory_iterator(record.folder / ""))
        if (entry.path().extension() == ".last") std::ofstream(entry.path()) << read_file(first);
    CHECK(run({"countersign", second, "--key", key, "--proof", proof}).code == 1);
    REQUIRE(::chmod(key.c_str(), 0644) == 0);
    CHECK(run({"countersign", second, "--key", key, "--proof", proof}).code == 3);
}

TEST_CASE("a witness goes on with the station's new key by the old one's word, and not without it") {
    Record record;
    const auto first = record.sign();
    const auto key = (record.folder / "lead.key").string();
    REQUIRE(run({"witness-key", key, "--name", "lead-home"}).code == 0);
    REQUIRE(run({"countersign", first, "--key", key, "--log", shop_key()}).code == 0);
    record.hand_over();
    record.grow(3);
    const auto second = record.sign();
    const auto proof = record.proof(size_in(first), std::to_string(size_in(second)));
    const auto refused = run({"countersign", second, "--key", key, "--proof", proof});
    CHECK(refused.code == 1);
    CHECK(has(refused.err, "--handovers"));
    const auto notes = run({"key", "handovers", "--journal", record.file});
    REQUIRE(notes.code == 0);
    const auto handovers = record.save("handovers.txt", notes.out);
    const auto made = run({"countersign", second, "--key", key, "--proof", proof, "--handovers", handovers});
    INFO(made.err);
    REQUIRE(made.code == 0);
    record.grow(3);
    const auto third = record.sign();
    CHECK(run({"countersign", third, "--key", key, "--proof", record.proof(size_in(second))}).code == 0);
    CHECK(run({"compare", first, third, "--key", shop_key(), "--journal", record.file}).code == 0);
    CHECK(run({"compare", first, third, "--key", shop_key(), "--proof", record.proof(size_in(first))}).code == 1);
    const auto shown = run({"key", "show", "--journal", record.file});
    CHECK(has(shown.out, shop_key(2)));
    CHECK(has(shown.out, "with the word of the key before it"));
    // The tag's key in the form that crimpgate verify CODE --key takes.
    const VerifierKey tags{"test-station", KeyType::ed25519, test_tag_key(2)};
    CHECK(has(shown.out, tags.text()));
}

TEST_CASE("R3: verify tells a journal's keys and signatures, and holds it against what was kept elsewhere") {
    Record record, rewritten("k.sqlite", "another beginning");
    const auto first = record.sign();
    record.countersign_last();
    record.grow(4);
    const auto second = record.sign();
    const auto good =
        run({"verify", "--journal", record.file, "--key", shop_key(), "--checkpoint", first + "," + second});
    INFO(good.out << good.err);
    CHECK(good.code == 0);
    CHECK(has(good.out, "Key in force: " + shop_key()));
    CHECK(has(good.out, "2 checkpoints and 1 countersignatures are good"));
    CHECK(has(good.out, "It extends the 2 checkpoints that were given from outside."));
    CHECK(has(good.out, " MB/s"));
    CHECK(run({"verify", "--journal", record.file, "--key", shop_key(3)}).code == 1);
    rewritten.grow(30);
    rewritten.sign();
    const auto other = run({"verify", "--journal", rewritten.file, "--checkpoint", first});
    CHECK(other.code == 1);
    CHECK(has(other.out, "its past was written anew"));
    CHECK(run({"verify", "--journal", record.file, "--checkpoint", record.file + ".none"}).code == 3);
    const auto object = json::parse(run({"verify", "--journal", record.file, "--json"}).out).as_object();
    CHECK(object.at("checkpoints") == 2);
    CHECK(object.at("keys").as_array().size() == 1);
}

TEST_CASE("the station's key comes back from what is typed off the recovery page, and every mistake is named") {
    Record record;
    const auto file = (record.folder / "restored.key").string();
    std::string typed;
    const auto groups = recovery_text(Seed{1});
    for (const auto& group : groups)
        typed += group + (typed.size() % 2 == 0 ? "\n" : " ");
    auto wrong = groups;
    wrong[6][1] = wrong[6][1] == 'A' ? 'B' : 'A';
    wrong[11].pop_back();
    std::string mistyped;
    for (const auto& group : wrong)
        mistyped += group + " ";
    const auto refused = fed(mistyped, {"key", "restore", file});
    CHECK(refused.code == 1);
    CHECK(has(refused.err, "Group 7 was mistyped"));
    CHECK(has(refused.err, "Group 12 has 4 characters"));
    CHECK_FALSE(std::filesystem::exists(file));

    const auto back = fed(typed, {"key", "restore", file, "--journal", record.file});
    INFO(back.out << back.err);
    CHECK(back.code == 0);
    CHECK(has(back.out, shop_key()));
    CHECK(mode_of(file) == 0600);
    CHECK(must(read_key_file(file)) == Seed{1});
    CHECK(fed(typed, {"key", "restore", file}).code == 3);  // never over one that is there
    std::filesystem::remove(file);
    const auto alone = fed(typed, {"key", "restore", file});
    CHECK(alone.code == 0);
    CHECK(shop_key().ends_with(alone.out.substr(alone.out.rfind('\n', alone.out.size() - 2) + 1,
                                                alone.out.size() - alone.out.rfind('\n', alone.out.size() - 2) - 2)));
    std::filesystem::remove(file);
    record.hand_over();
    const auto older = fed(typed, {"key", "restore", file, "--journal", record.file});
    CHECK(older.code == 1);
    CHECK(has(older.err, "an older page"));
    CHECK_FALSE(std::filesystem::exists(file));
}
