// The journal's tree: roots and proofs from stored nodes, and what the views know of keys and checkpoints.
#include "station/journal/checkpoints.h"
#include "station/journal/database.h"
#include "station/proof/merkle.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;

namespace {

// RFC 9162 section 2.1.1, word for word, over the entries' bytes.
Hash plain_root(const std::vector<Entry>& entries, std::size_t begin, std::size_t count) {
    if (count == 0) return sha256("");
    if (count == 1) return sha256(std::string(1, '\0') + entries[begin].bytes);
    std::size_t k = 1;
    while (k * 2 < count)
        k *= 2;
    return node_hash(plain_root(entries, begin, k), plain_root(entries, begin + k, count - k));
}

std::int64_t nodes_of(std::int64_t entries) {
    std::int64_t nodes = 0;
    for (std::int64_t n = entries / 2; n > 0; n /= 2)
        nodes += n;
    return nodes;
}

}  // namespace

TEST_CASE("R3: the journal gives the root of every size and proofs that a stranger can verify") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    CHECK(must(journal.root(0)) == empty_tree_hash());
    live_through(journal);
    const auto entries = must(journal.entries_from(1, 1000));
    const auto last = static_cast<std::int64_t>(entries.size());
    REQUIRE(last > 90);
    CHECK(journal.database().number("SELECT count(*) FROM nodes") == nodes_of(last));
    const Hash head = must(journal.root(last));
    for (std::int64_t size = 1; size <= last; ++size) {
        const Hash root = must(journal.root(size));
        INFO("size " << size);
        REQUIRE(root == plain_root(entries, 0, static_cast<std::size_t>(size)));
        REQUIRE(verify_consistency(size, last, must(journal.consistency(size, last)), root, head));
        const Entry& entry = entries[static_cast<std::size_t>(size - 1)];
        REQUIRE(verify_inclusion(size - 1, last, leaf_hash(entry.bytes), must(journal.inclusion(size, last)), head));
        REQUIRE(verify_inclusion(0, size, entries[0].hash, must(journal.inclusion(1, size)), root));
    }
}

TEST_CASE("a tree that the journal does not have is refused in words") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    fill(journal, 5);
    const auto code = [](const auto& result) { return result ? "given" : result.error().code; };
    CHECK(code(journal.root(5)) == "given");
    CHECK(code(journal.root(6)) == "journal.no_such_tree");
    CHECK(journal.root(6).error().detail("entries") == "5");
    CHECK(code(journal.root(-1)) == "journal.no_such_tree");
    CHECK(code(journal.inclusion(0, 5)) == "journal.no_such_tree");
    CHECK(code(journal.inclusion(5, 4)) == "journal.no_such_tree");
    CHECK(code(journal.inclusion(4, 6)) == "journal.no_such_tree");
    CHECK(code(journal.inclusion(5, 5)) == "given");
    CHECK(code(journal.consistency(0, 5)) == "journal.no_such_tree");
    CHECK(code(journal.consistency(5, 5)) == "given");
}

TEST_CASE("R2: nodes come and go with the entries that they stand on") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    {
        Journal journal = open_journal(file);
        fill(journal, 3);
        // A transaction whose second entry is refused leaves no node of its first.
        Draft bad = draft(entries::StationStopped{"x"});
        bad.type = "no.such.type";
        CHECK_FALSE(journal.append({draft(entries::StationStopped{"y"}), bad}, at(4)));
        CHECK(journal.database().number("SELECT count(*) FROM nodes") == nodes_of(3));
        fill(journal, 1);
        CHECK(journal.database().number("SELECT count(*) FROM nodes") == nodes_of(4));
        CHECK(must(journal.verify()).sound());
    }
    Journal journal = open_journal(file);  // goes on from the stored nodes
    fill(journal, 9);
    CHECK(must(journal.verify()).sound());
    const Hash reckoned = must(journal.verify()).root;
    CHECK(reckoned == must(journal.root(13)));
}

TEST_CASE("R3: nodes are never changed, deleted or skipped") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    fill(journal, 6);
    auto& database = journal.database();
    for (const char* sql :
         {"UPDATE nodes SET hash = zeroblob(32)", "DELETE FROM nodes", "INSERT INTO nodes VALUES(1, 5, zeroblob(32))",
          "INSERT INTO nodes VALUES(0, 0, zeroblob(32))", "INSERT OR REPLACE INTO nodes VALUES(1, 0, zeroblob(32))"}) {
        INFO(sql);
        CHECK_THROWS_AS(database.run(sql), SQLite::Exception);
    }
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("the views know keys, witnesses and checkpoints, and hand a checkpoint out with its countersignatures") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    CHECK_FALSE(must(last_checkpoint(journal)));
    live_through(journal);
    const auto last = must(last_checkpoint(journal));
    REQUIRE(last);
    REQUIRE(last->countersignatures.size() == 1);
    CHECK(last->cause == "shift_end");
    const auto opened =
        must(open_checkpoint(last->whole_note(), test_station_key().verifier(), {test_witness_key().verifier()}));
    CHECK(opened.checkpoint.size == last->size);
    CHECK(opened.checkpoint.root == must(journal.root(last->size)));
    REQUIRE(opened.countersigners.size() == 1);
    CHECK(opened.countersigners[0].unix_seconds == last->countersignatures[0].signed_utc_s);
    CHECK(must(checkpoint_of_size(journal, last->size))->seq == last->seq);
    CHECK_FALSE(must(checkpoint_of_size(journal, last->size - 1)));
    CHECK(must(checkpoint_covering(journal, 1))->seq == last->seq);
    CHECK(must(checkpoint_covering(journal, last->size))->seq == last->seq);
    CHECK_FALSE(must(checkpoint_covering(journal, last->size + 1)));
    CHECK(must(checkpoints(journal, 10)).size() == 1);
    const auto keys = must(station_keys(journal));
    REQUIRE(keys.size() == 2);
    CHECK(keys[0].statement.empty());
    CHECK(must(open_hand_over(keys[1].statement, test_station_key().verifier())).next.text() == keys[1].key);
    CHECK(must(witnesses(journal)).empty());  // known, and forgotten again
    CHECK(must(last_seq_to_sign(journal)) == must(journal.last_seq()));
}
