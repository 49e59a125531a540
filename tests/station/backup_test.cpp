#include "station/journal/database.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;

TEST_CASE("a backup is whole while the station goes on working, and opens as a journal of its own") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);  // still in the write-ahead log, which a copy of the file would leave behind
    const auto entries = must(journal.entries_from(1, 1000));
    must(journal.back_up(folder / "backup.sqlite"));
    fill(journal, 1);
    CHECK_FALSE(std::filesystem::exists(folder / "backup.sqlite.part"));
    Journal restored = open_journal(folder / "backup.sqlite");
    const auto there = must(restored.entries_from(1, 1000));
    REQUIRE(there.size() == entries.size());
    for (std::size_t i = 0; i < entries.size(); ++i)
        CHECK(there[i].bytes == entries[i].bytes);
    CHECK(must(restored.verify()).sound());
    CHECK(must(restored.verify()).entries == static_cast<std::int64_t>(entries.size()));
    fill(restored, 1);  // the guards came along
    CHECK_THROWS(restored.database().exec("DELETE FROM entries"));
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("a plain copy of the file would have lost what the backup holds") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    live_through(journal);
    std::filesystem::copy_file(folder / "j.sqlite", folder / "copied.sqlite");
    auto copied = Journal::open(folder / "copied.sqlite", station());
    const auto entries = copied ? must(copied->last_seq()) : 0;
    CHECK(entries < must(journal.last_seq()));
}

TEST_CASE("a backup never replaces a file, and what a cut-short one left behind is no obstacle") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    fill(journal, 2);
    {
        std::ofstream out(folder / "taken.sqlite");
        out << "somebody's";
    }
    const auto refused = journal.back_up(folder / "taken.sqlite");
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "backup.exists");
    CHECK(read_file(folder / "taken.sqlite") == "somebody's");
    CHECK(journal.back_up(folder / "j.sqlite").error().code == "backup.exists");
    {
        std::ofstream out(folder / "b.sqlite.part");
        out << "half a backup";
    }
    must(journal.back_up(folder / "b.sqlite"));
    CHECK_FALSE(std::filesystem::exists(folder / "b.sqlite.part"));
}

TEST_CASE("a backup that cannot be written is refused in words and leaves nothing half done") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    fill(journal, 2);
    const auto refused = journal.back_up(folder / "no-such-folder/b.sqlite");
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "backup.failed");
    CHECK_FALSE(refused.error().detail("why").empty());
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("a backup of a journal with damaged pages is thrown away") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    {
        Journal journal = open_journal(file);
        live_through(journal);
    }
    behind_its_back(file, "PRAGMA wal_checkpoint(TRUNCATE);");
    Journal journal = open_journal(file);
    {
        std::fstream out(file, std::ios::binary | std::ios::in | std::ios::out);
        out.seekp(4096);
        out << std::string(std::filesystem::file_size(file) - 4096, '\x5A');
    }
    journal.database().exec("PRAGMA cache_size = 0; PRAGMA shrink_memory");
    const auto refused = journal.back_up(folder / "b.sqlite");
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "backup.failed");
    CHECK_FALSE(std::filesystem::exists(folder / "b.sqlite"));
    CHECK_FALSE(std::filesystem::exists(folder / "b.sqlite.part"));
}
