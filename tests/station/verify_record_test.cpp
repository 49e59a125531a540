// Verification of the tree, of keys, checkpoints and countersignatures: every kind of damage is found and named.
#include "station/journal/checkpoints.h"
#include "station/journal/database.h"
#include "station/proof/merkle.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;

namespace {

constexpr const char* without_node_guards =
    "DROP TRIGGER nodes_are_never_changed; DROP TRIGGER nodes_are_never_deleted; DROP TRIGGER nodes_have_no_gaps;";

// A day's journal, closed, damaged by hand, and opened again.
struct Damaged {
    explicit Damaged(const std::string& sql) {
        {
            Journal journal = open_journal(folder / "j.sqlite");
            live_through(journal);
        }
        behind_its_back(folder / "j.sqlite", std::string(without_guards) + without_node_guards + sql);
    }
    Verification verified(const VerifyOptions& options = {}) const {
        return must(open_journal(folder / "j.sqlite").verify(options));
    }
    Folder folder;
};

std::string told(const Verification& v) {
    return v.damage ? v.damage->code + " " + std::string(v.damage->detail("why")) : "sound";
}

// A journal in which somebody writes what the station would not: one entry after the other.
struct Writer {
    Writer() { fill(journal, 4); }
    void write(const EntryBody& body) { must(journal.append({draft(body, "")}, at(100 + n++))); }
    void key() {
        const auto key = test_station_key();
        write(entries::KeyMade{key.verifier().name, key.verifier().text(), to_base64(as_text(test_tag_key()))});
    }
    entries::CheckpointSigned checkpoint(const SigningKey& key = test_station_key()) {
        const auto size = must(journal.last_seq());
        const Hash root = must(journal.root(size));
        return {size, to_base64(root), sign_checkpoint(size, root, key).bytes(), "asked"};
    }
    entries::CheckpointCountersigned countersignature(const entries::CheckpointSigned& under) {
        std::string line = cosign_note(must(parse_note(under.note)).text, test_witness_key(), 1'741'104'000).line();
        line.pop_back();
        return {under.size, test_witness_key().verifier().text(), line, 1'741'104'000};
    }
    std::string verified() { return told(must(journal.verify())); }

    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    std::int64_t n = 0;
};

char other_digit(char c) {
    return c == 'A' ? 'B' : 'A';
}

// A base64 text with one of its letters changed.
std::string flipped(std::string text, std::size_t from_end) {
    char& c = text[text.size() - from_end];
    c = other_digit(c);
    return text;
}

}  // namespace

TEST_CASE("a sound journal says what was checked: entries, keys, checkpoints, countersignatures, the root") {
    const Damaged none("");
    const auto v = none.verified();
    CHECK(told(v) == "sound");
    CHECK(v.checkpoints == 1);
    CHECK(v.countersignatures == 1);
    CHECK(v.signed_size > 50);
    CHECK(v.keys ==
          std::vector<std::string>{test_station_key().verifier().text(), test_station_key(2).verifier().text()});
    CHECK(v.keys_without_hand_over == 0);
    CHECK(v.bytes > v.entries * 100);
    CHECK(v.entries_us > 0);
    const auto quick = none.verified({false, "", {}});
    CHECK(quick.root == v.root);
    CHECK(quick.entries == v.entries);
}

TEST_CASE("R3: every kind of byte is flipped, and what was flipped is named") {
    struct Kind {
        const char* what;
        const char* sql;
        const char* code;
        std::int64_t seq;  // that is named; -1: any
    };
    const Kind kinds[] = {
        {"a body",
         "UPDATE entries SET bytes = replace(bytes, '\"K1', '\"K2') WHERE seq = (SELECT min(seq) FROM "
         "entries WHERE bytes LIKE '%\"K1%');",
         "verify.hash", -1},
        {"a time in the bytes", "UPDATE entries SET bytes = replace(bytes, 'Z\"', 'z\"') WHERE seq = 9;", "verify.hash",
         9},
        {"a time in its column", "UPDATE entries SET time = replace(time, '2', '3') WHERE seq = 9;", "verify.column",
         9},
        {"a sequence in the bytes",
         "UPDATE entries SET bytes = replace(bytes, '\"seq\":9,', '\"seq\":8,') WHERE seq = 9;", "verify.hash", 9},
        {"a sequence in its column", "UPDATE entries SET seq = 90000 WHERE seq = 9;", "verify.gap", 9},
        {"a hash", "UPDATE entries SET hash = zeroblob(32) WHERE seq = 9;", "verify.hash", 9},
        {"a node of two", "UPDATE nodes SET hash = zeroblob(32) WHERE level = 1 AND idx = 4;", "verify.node", 9},
        {"a node of four", "UPDATE nodes SET hash = zeroblob(32) WHERE level = 2 AND idx = 2;", "verify.node", 9},
        {"the largest node", "UPDATE nodes SET hash = zeroblob(32) WHERE level = 6;", "verify.node", 1},
        {"a node taken out", "DELETE FROM nodes WHERE level = 1 AND idx = 4;", "verify.node", 9},
        {"a node too many", "INSERT INTO nodes VALUES(12, 0, zeroblob(32));", "verify.nodes", 0},
        {"a deleted row", "DELETE FROM entries WHERE seq = 9;", "verify.gap", 9},
        {"the last row deleted", "DELETE FROM entries WHERE seq = (SELECT max(seq) FROM entries);", "", -1},
        {"two rows swapped",
         "UPDATE entries SET seq = -1 WHERE seq = 9; UPDATE entries SET seq = 9 WHERE seq = 10;"
         "UPDATE entries SET seq = 10 WHERE seq = -1;",
         "verify.column", 9},
        {"a signed note in its entry",
         "UPDATE entries SET bytes = replace(bytes, 'test-station ', 'test-station  ') WHERE "
         "type = 'checkpoint.signed';",
         "verify.hash", -1},
        {"a signed note in its view", "UPDATE checkpoints SET note = replace(note, 'test-', 'rest-');", "verify.view",
         0},
        {"a countersignature in its view", "UPDATE countersignatures SET line = line || 'A';", "verify.view", 0},
        {"a view", "UPDATE assemblies SET stage = 'passed';", "verify.view", 0},
    };
    for (const auto& kind : kinds) {
        INFO(kind.what);
        const auto v = Damaged(kind.sql).verified();
        REQUIRE(v.damage);
        CHECK(v.damage->code.starts_with("verify."));
        if (*kind.code != '\0') CHECK(v.damage->code == kind.code);
        if (kind.seq >= 0) CHECK(v.damaged_seq == kind.seq);
    }
}

TEST_CASE("R3: an entry changed together with its hash is found by the tree") {
    Folder folder;
    std::string bytes;
    {
        Journal journal = open_journal(folder / "j.sqlite");
        fill(journal, 20);
        bytes = must(journal.entry(7))->bytes;
    }
    behind_its_back(folder / "j.sqlite", without_guards);
    bytes.replace(bytes.find("number 6"), 8, "number 7");
    Journal journal = open_journal(folder / "j.sqlite");
    journal.database().run("UPDATE entries SET bytes = ?, hash = ? WHERE seq = 7", bytes, leaf_hash(bytes));
    const auto v = must(journal.verify());
    CHECK(v.damage->code == "verify.node");
    CHECK(v.damaged_seq == 7);
    CHECK(v.damage->detail("last") == "8");
    CHECK(v.entries == 7);  // the pair is complete with the eighth
}

TEST_CASE("R3: a past that was written anew, nodes and views included, is found by the signed checkpoint") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    std::string bytes;
    {
        Journal journal = open_journal(file);
        live_through(journal);
        bytes = must(journal.entry(3))->bytes;
    }
    behind_its_back(file, std::string(without_guards) + without_node_guards + "DELETE FROM nodes;");
    Journal journal = open_journal(file);
    auto& database = journal.database();
    const auto at_time = bytes.find("\"mono_us\":") + 10;
    bytes[at_time] = bytes[at_time] == '9' ? '8' : '9';
    database.run("UPDATE entries SET bytes = ?, hash = ? WHERE seq = 3", bytes, leaf_hash(bytes));
    Frontier frontier;
    for (const auto& entry : must(journal.entries_from(1, 10'000)))
        for (const auto& node : frontier.append(entry.hash))
            database.run("INSERT INTO nodes VALUES(?, ?, ?)", static_cast<std::int64_t>(node.level), node.index,
                         node.hash);
    must(journal.rebuild_views());
    const auto v = must(journal.verify());
    CHECK(told(v) == "verify.checkpoint root");
    CHECK(v.damaged_seq == must(last_checkpoint(journal))->seq);
}

TEST_CASE("R3: a checkpoint whose signature, root, size or key is false is found and named") {
    {
        Writer w;
        w.key();
        w.write(w.checkpoint());
        CHECK(w.verified() == "sound");
    }
    {
        Writer w;
        w.write(w.checkpoint());
        CHECK(w.verified() == "verify.checkpoint no_key");
    }
    {
        Writer w;
        w.key();
        auto signed_one = w.checkpoint();
        signed_one.note = flipped(signed_one.note, 10);
        w.write(signed_one);
        CHECK(w.verified() == "verify.checkpoint note.bad_signature");
        CHECK(must(w.journal.verify()).damaged_seq == 6);
        CHECK(must(w.journal.verify()).entries == 5);
    }
    {
        Writer w;
        w.key();
        w.write(w.checkpoint(test_station_key(7)));
        CHECK(w.verified() == "verify.checkpoint checkpoint.unsigned");
    }
    {
        Writer w;
        w.key();
        auto other = w.checkpoint();
        other.note = sign_checkpoint(other.size, Hash{1}, test_station_key()).bytes();
        w.write(other);
        CHECK(w.verified() == "verify.checkpoint entry");
        other.root = to_base64(Hash{1});
        Writer v;
        v.key();
        v.write(other);
        CHECK(v.verified() == "verify.checkpoint root");
    }
    {
        Writer w;  // of entries that are yet to come
        w.key();
        auto early = w.checkpoint();
        early.size = 6;
        early.note = sign_checkpoint(6, Hash{1}, test_station_key()).bytes();
        early.root = to_base64(Hash{1});
        w.write(early);
        CHECK(w.verified() == "verify.checkpoint size");
    }
    {
        Writer w;  // smaller than one that was signed before
        w.key();
        const auto older = w.checkpoint();
        fill(w.journal, 1);
        w.write(w.checkpoint());
        w.write(older);
        CHECK(w.verified() == "verify.checkpoint size");
    }
}

TEST_CASE("R3: a false countersignature is found and named") {
    const auto with = [](const auto& change) {
        Writer w;
        w.key();
        const auto head = w.checkpoint();
        w.write(head);
        w.write(entries::WitnessKnown{test_witness_key().verifier().text(), "the lead's desk"});
        auto one = w.countersignature(head);
        change(w, one);
        w.write(one);
        return w.verified();
    };
    using One = entries::CheckpointCountersigned;
    CHECK(with([](Writer&, One&) {}) == "sound");
    CHECK(with([](Writer&, One& one) { one.line = flipped(one.line, 10); }) == "verify.countersignature signature");
    CHECK(with([](Writer&, One& one) { ++one.signed_utc_s; }) == "verify.countersignature signature");
    CHECK(with([](Writer&, One& one) { one.line = "no line"; }) == "verify.countersignature line");
    CHECK(with([](Writer&, One& one) { --one.size; }) == "verify.countersignature no_checkpoint");
    CHECK(with([](Writer&, One& one) { one.key = test_station_key().verifier().text(); }) ==
          "verify.countersignature key");
    CHECK(with([](Writer& w, One& one) {
              w.write(entries::WitnessForgotten{one.key, "sold"});
          }) == "verify.countersignature unknown_witness");
}

TEST_CASE("R3: a key that does not follow from the one before it is found; one made anew is counted") {
    const auto hand_over = [](unsigned char from, unsigned char to) {
        const HandOver next{test_station_key(to).verifier(), test_tag_key(to)};
        return entries::KeyHandedOver{"test-station",
                                      test_station_key(from).verifier().text(),
                                      next.next.text(),
                                      to_base64(as_text(next.next_tag_key)),
                                      sign_hand_over(next, test_station_key(from)),
                                      "the old machine was sold"};
    };
    {
        Writer w;
        w.key();
        w.write(hand_over(1, 2));
        w.write(w.checkpoint(test_station_key(2)));
        CHECK(w.verified() == "sound");
        w.write(w.checkpoint(test_station_key(1)));  // the old key has nothing to say any more
        CHECK(w.verified() == "verify.checkpoint checkpoint.unsigned");
    }
    {
        Writer w;
        w.key();
        w.write(hand_over(3, 2));
        CHECK(w.verified() == "verify.key old_key");
    }
    {
        Writer w;
        w.key();
        auto forged = hand_over(1, 2);
        forged.statement = sign_hand_over({test_station_key(2).verifier(), test_tag_key(2)}, test_station_key(3));
        w.write(forged);
        CHECK(w.verified() == "verify.key handover.unsigned");
    }
    {
        Writer w;
        w.key();
        auto other = hand_over(1, 2);
        other.key = test_station_key(3).verifier().text();
        w.write(other);
        CHECK(w.verified() == "verify.key another_key");
    }
    {
        Writer w;
        w.write(entries::KeyMade{"test-station", "test-station+00000001+AQ", "AA=="});
        CHECK(w.verified() == "verify.key malformed");
    }
    {
        Writer w;
        w.key();
        w.key();
        CHECK(w.verified() == "sound");
        CHECK(must(w.journal.verify()).keys_without_hand_over == 1);
    }
}

TEST_CASE("R3: entries cut off at the end with all their traces are found by a checkpoint that left the building") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    std::string note;
    {
        Journal journal = open_journal(file);
        live_through(journal);
        note = must(last_checkpoint(journal))->whole_note();
    }
    const auto key = test_station_key().verifier().text();
    const auto told_with = [&](const VerifyOptions& options) { return told(must(open_journal(file).verify(options))); };
    CHECK(told_with({true, key, {note}}) == "sound");
    CHECK(must(open_journal(file).verify({false, key, {note}})).outside == 1);
    CHECK(told_with({true, test_station_key(9).verifier().text(), {}}) == "verify.other_key ");
    CHECK(told_with({true, "", {"no note"}}) == "verify.outside note.malformed");
    CHECK(told_with({true, "", {flipped(note, 150)}}).starts_with("verify.outside"));
    const auto forged = sign_checkpoint(5, Hash{1}, test_station_key()).bytes();
    CHECK(told_with({true, "", {forged}}) == "verify.other_tree ");
    // The first entries of a journal: sound in themselves, and only the checkpoint kept elsewhere tells.
    Writer w;
    w.key();
    fill(w.journal, 3);
    const auto head = w.checkpoint();
    REQUIRE(head.size == 8);
    Journal shorter = open_journal(folder / "shorter.sqlite");
    for (const auto& entry : must(w.journal.entries_from(1, 6)))
        must(shorter.append({{entry.type, entry.body, entry.who}}, entry.stamp));
    CHECK(told(must(shorter.verify())) == "sound");
    const auto cut = must(shorter.verify({true, "", {head.note}}));
    CHECK(told(cut) == "verify.cut_off ");
    CHECK(cut.damage->detail("size") == "8");
    CHECK(cut.damage->detail("entries") == "6");
}

TEST_CASE("R10: a file that was cut short is refused or found, never called sound") {
    for (const int percent : {99, 90, 60, 30, 10}) {
        Folder folder;
        const auto file = folder / "j.sqlite";
        {
            Journal journal = open_journal(file);
            live_through(journal);
        }
        std::filesystem::resize_file(file,
                                     std::filesystem::file_size(file) * static_cast<std::uintmax_t>(percent) / 100);
        INFO(percent << " %");
        for (const auto access : {JournalAccess::read, JournalAccess::write}) {
            auto options = station();
            options.access = access;
            const auto journal = Journal::open(file, options);
            if (!journal) {
                CHECK(journal.error().code == "journal.damaged");
                continue;
            }
            const auto verified = journal->verify();
            CHECK((!verified || !verified->sound()));
            if (!verified) CHECK(verified.error().code == "journal.damaged");
        }
    }
}
