#include "station/journal/schema.h"

#include "station/journal/database.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;

namespace {

// A program one version further: its last step adds a table that is there for ever.
Schema next_schema() {
    Schema schema = current_schema();
    schema.steps.push_back(
        "CREATE TABLE kept_heads(size INTEGER PRIMARY KEY, note TEXT NOT NULL) STRICT;"
        "INSERT INTO kept_heads SELECT max(seq), 'made by the step' FROM entries;");
    return schema;
}

JournalOptions with(const Schema& schema) {
    auto options = station();
    options.schema = &schema;
    return options;
}

}  // namespace

TEST_CASE("a new journal carries the program's mark and the version of its schema") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    CHECK(journal.database().number("PRAGMA application_id") == journal_application_id);
    CHECK(journal.database().number("PRAGMA user_version") == current_schema().version());
    CHECK(journal.database().number("SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND type = 'table' "
                                    "AND name NOT LIKE 'sqlite_%' AND NOT strict") == 0);
}

TEST_CASE("an older journal is copied first and then brought up to date, entries untouched") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    const Schema next = next_schema();
    std::vector<Entry> before;
    {
        Journal journal = open_journal(file);
        live_through(journal);
        before = must(journal.entries_from(1, 1000));
    }
    {
        Journal journal = open_journal(file, with(next));
        CHECK(schema_version(journal.database()) == next.version());
        CHECK(journal.database().number("SELECT size FROM kept_heads") == static_cast<std::int64_t>(before.size()));
        const auto after = must(journal.entries_from(1, 1000));
        REQUIRE(after.size() == before.size());
        for (std::size_t i = 0; i < before.size(); ++i)
            CHECK(after[i].bytes == before[i].bytes);
        CHECK(must(journal.verify()).sound());
        must(journal.rebuild_views());
        CHECK(journal.database().number("SELECT count(*) FROM kept_heads") == 1);  // no view: stays
        fill(journal, 1);
    }
    const auto copy = folder / ("j.sqlite.before-schema-" + std::to_string(next.version()));
    REQUIRE(std::filesystem::exists(copy));
    Journal old = open_journal(copy);  // the older program opens its own version
    CHECK(must(old.last_seq()) == static_cast<std::int64_t>(before.size()));
    CHECK(must(old.verify()).sound());
}

TEST_CASE("a journal of a newer program is refused in words and not touched") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    const Schema next = next_schema();
    {
        Journal journal = open_journal(file, with(next));
        fill(journal, 2);
    }
    const std::string before = read_file(file);
    for (const auto access : {JournalAccess::write, JournalAccess::read}) {
        auto options = station();
        options.access = access;
        const auto opened = Journal::open(file, options);
        REQUIRE_FALSE(opened);
        CHECK(opened.error().code == "journal.newer");
        CHECK(opened.error().detail("version") == std::to_string(next.version()));
        CHECK(opened.error().detail("known") == std::to_string(current_schema().version()));
    }
    CHECK(read_file(file) == before);
}

TEST_CASE("a step that fails leaves the older journal as it was, and its copy beside it") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    {
        Journal journal = open_journal(file);
        live_through(journal);
    }
    Schema bad = next_schema();
    bad.steps.push_back("CREATE TABLE half(a TEXT) STRICT; INSERT INTO no_such_table VALUES(1);");
    const auto opened = Journal::open(file, with(bad));
    REQUIRE_FALSE(opened);
    CHECK(opened.error().code == "journal.database");
    {
        Journal journal = open_journal(file);
        CHECK(journal.database().number("SELECT count(*) FROM sqlite_schema WHERE name IN ('half', 'kept_heads')") ==
              0);
        CHECK(must(journal.verify()).sound());
    }
    CHECK(std::filesystem::exists(folder / ("j.sqlite.before-schema-" + std::to_string(bad.version()))));
    CHECK_FALSE(Journal::open(file, with(bad)));
    CHECK(std::filesystem::exists(
        folder / ("j.sqlite.before-schema-" + std::to_string(bad.version()) + "-1")));  // never written over
}

TEST_CASE("a reader does not bring an older journal up to date, it says who must") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    const Schema next = next_schema();
    { Journal journal = open_journal(file); }
    auto reading = with(next);
    reading.access = JournalAccess::read;
    CHECK(Journal::open(file, reading).error().code == "journal.older");
}

TEST_CASE("a file of another kind is refused and not touched") {
    Folder folder;
    const auto other = folder / "addresses.sqlite";
    behind_its_back(other, "CREATE TABLE addresses(name TEXT); INSERT INTO addresses VALUES('x');");
    const auto before = read_file(other);
    CHECK(Journal::open(other, station()).error().code == "journal.not_ours");
    CHECK(read_file(other) == before);
    {
        std::ofstream text(folder / "notes.txt");
        text << std::string(5000, 'n');
    }
    CHECK(Journal::open(folder / "notes.txt", station()).error().code == "journal.damaged");
    auto reading = station();
    reading.access = JournalAccess::read;
    CHECK(Journal::open(folder / "none.sqlite", reading).error().code == "journal.cannot_open");
    CHECK_FALSE(std::filesystem::exists(folder / "none.sqlite"));
    CHECK(Journal::open(folder / "no-folder/j.sqlite", station()).error().code == "journal.no_folder");
    CHECK(Journal::open(folder / "new.sqlite", station("")).error().code == "journal.not_ours");
}

TEST_CASE("a journal of another station is refused by name; without a name it is read as whose it is") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    {
        Journal journal = open_journal(file);
        fill(journal, 1);
    }
    const auto opened = Journal::open(file, station("bench-2"));
    REQUIRE_FALSE(opened);
    CHECK(opened.error().code == "journal.other_station");
    CHECK(opened.error().detail("owner") == "bench-1");
    auto any = station("");
    any.access = JournalAccess::read;
    CHECK(open_journal(file, any).station() == "bench-1");
}

// Written by the first schema and kept for ever: whatever comes later must read it. (Its views were dropped, to keep it
// small; they come back when it is opened.)
TEST_CASE("the journal kept from schema version 1 opens, is sound, and takes a further entry") {
    Folder folder;
    const auto kept = std::filesystem::path(CRIMPGATE_SOURCE_DIR) / "tests/data/journal_schema1.sqlite";
    REQUIRE(std::filesystem::exists(kept));
    const auto file = folder / "j.sqlite";
    std::filesystem::copy_file(kept, file);
    Journal journal = open_journal(file);
    const auto last = must(journal.last_seq());
    CHECK(last == 6);
    CHECK(to_hex(must(journal.entry(1))->hash) == "fd77c763e8ae38dd464fa05f746680bf0c98766d6790ea4f21994f2b90ec7450");
    CHECK(must(journal.verify()).sound());
    // The tree of an older file is filled from its entries, and goes on growing.
    CHECK(journal.database().number("SELECT count(*) FROM nodes") == 3 + 1);
    fill(journal, 1);
    CHECK(must(journal.verify()).entries == last + 1);
    fill(journal, 1);
    CHECK(journal.database().number("SELECT count(*) FROM nodes") == 4 + 2 + 1);
    CHECK(must(journal.verify()).sound());
}
