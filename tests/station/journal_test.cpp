#include "station/journal/journal.h"

#include <cstdio>
#include <limits>
#include <thread>

#include <sys/wait.h>
#include <unistd.h>

#include "station/journal/database.h"
#include "station/json/canonical.h"
#include "tests/station/journal_kit.h"

using namespace journal_kit;

namespace {

entries::StationStopped stopped(std::string cause) {
    entries::StationStopped body;
    body.cause = std::move(cause);
    return body;
}

// What another program makes of 00 followed by the entry's bytes.
std::string hash_by_coreutils(const std::filesystem::path& file, const std::string& bytes) {
    {
        std::ofstream out(file, std::ios::binary);
        out.put('\0');
        out << bytes;
    }
    std::FILE* pipe = ::popen(("sha256sum '" + file.string() + "'").c_str(), "r");
    REQUIRE(pipe != nullptr);
    char text[65] = {};
    const auto got = std::fread(text, 1, 64, pipe);
    REQUIRE(::pclose(pipe) == 0);
    return {text, got};
}

}  // namespace

TEST_CASE("an entry says what, when, who and where in one line that any text tool can read") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    const auto written = must(journal.append({draft(stopped("Größe ⌀ \"12\"\n"), "OP-7")}, at(0)));
    REQUIRE(written.size() == 1);
    CHECK(written[0].bytes ==
          R"({"body":{"cause":"Größe ⌀ \"12\"\n"},"boot":"1f0c8a52-0000-4000-8000-000000000001","clock":"synced",)"
          R"("mono_us":5000000,"seq":1,"station":"bench-1","time":"2025-03-04T05:06:07.089Z","type":"station.stopped",)"
          R"("v":1,"who":"OP-7"})");
    const auto read = must(journal.entry(1));
    REQUIRE(read);
    CHECK(read->bytes == written[0].bytes);
    CHECK(read->hash == written[0].hash);
    CHECK(read->who == "OP-7");
    CHECK(read->station == "bench-1");
    CHECK(read->type == "station.stopped");
    CHECK(read->stamp == at(0));
    CHECK(read->body == written[0].body);
    CHECK_FALSE(must(journal.entry(2)));
}

// RFC 9162 section 2.1.1, d(0) = HASH(0x00 || d), recomputed by coreutils.
TEST_CASE("the hash of an entry is what sha256sum makes of it") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    const auto written = must(journal.append({draft(stopped("")), draft(stopped("ä\x01"))}, at(0)));
    for (const auto& entry : written)
        CHECK(to_hex(entry.hash) == hash_by_coreutils(folder / "leaf", entry.bytes));
    // The published leaf hashes of the empty leaf and of 00 (reference tree of RFC 6962 implementations).
    CHECK(to_hex(leaf_hash("")) == "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d");
    CHECK(to_hex(leaf_hash(std::string_view("\0", 1))) ==
          "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7");
}

TEST_CASE("entries are numbered from 1 without a gap, across transactions and restarts") {
    Folder folder;
    {
        Journal journal = open_journal(folder / "j.sqlite");
        CHECK(must(journal.last_seq()) == 0);
        const auto first = must(journal.append({draft(stopped("a")), draft(stopped("b")), draft(stopped("c"))}, at(0)));
        CHECK(first[0].seq == 1);
        CHECK(first[2].seq == 3);
        CHECK(must(journal.append({}, at(0))).empty());
    }
    Journal journal = open_journal(folder / "j.sqlite");
    CHECK(must(journal.last_seq()) == 3);
    CHECK(must(journal.append({draft(stopped("d"))}, at(1)))[0].seq == 4);
    std::vector<std::int64_t> seen;
    must(journal.for_each([&](const Entry& entry) {
        seen.push_back(entry.seq);
        return entry.seq < 3;
    }));
    CHECK(seen == std::vector<std::int64_t>{1, 2, 3});
    const auto from = must(journal.entries_from(2, 2));
    REQUIRE(from.size() == 2);
    CHECK(from[0].seq == 2);
    CHECK(from[1].seq == 3);
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("a clock that jumps back changes no order: both times stand, the number decides") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    must(journal.append({draft(stopped("after"))}, at(100)));
    Stamp back = at(0);
    back.clock_synced = false;
    const auto second = must(journal.append({draft(stopped("before"))}, back));
    CHECK(second[0].seq == 2);
    CHECK(second[0].bytes.find("\"clock\":\"unsynced\"") != std::string::npos);
    Stamp reset = at(0);
    reset.utc_ms = 0;  // a clock without a battery wakes in 1970
    CHECK(must(journal.append({draft(stopped("1970"))}, reset))[0].time == "1970-01-01T00:00:00.000Z");
    Stamp late = at(0);
    late.utc_ms = 2'147'483'648'000;  // one past the 32-bit end of time
    CHECK(must(journal.append({draft(stopped("2038"))}, late))[0].time == "2038-01-19T03:14:08.000Z");
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("a monotonic clock that has run for years still fits in an entry") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    Stamp old = at(0);
    old.mono_ns = 20LL * 366 * 24 * 3600 * 1'000'000'000 + 999;
    const auto written = must(journal.append({draft(stopped("still up"))}, old));
    CHECK(must(journal.entry(1))->stamp.mono_ns == old.mono_ns - 999);
    CHECK(written[0].stamp == must(journal.entry(1))->stamp);
}

TEST_CASE("R10: a clock that cannot be written down stops the entry, not the journal") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    Stamp broken = at(0);
    broken.utc_ms = std::numeric_limits<std::int64_t>::max();
    CHECK(journal.append({draft(stopped("x"))}, broken).error().code == "journal.clock_unusable");
    CHECK(must(journal.last_seq()) == 0);
    must(journal.append({draft(stopped("y"))}, at(0)));
}

TEST_CASE("R3: no statement changes or deletes an entry") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    Journal journal = open_journal(file);
    fill(journal, 3);
    const auto before = must(journal.entries_from(1, 10));
    for (const char* sql :
         {"UPDATE entries SET who = 'X' WHERE seq = 2", "DELETE FROM entries WHERE seq = 3", "DELETE FROM entries",
          "UPDATE entries SET seq = 9 WHERE seq = 3",
          "INSERT OR REPLACE INTO entries SELECT seq, time, type, 'X', bytes, hash FROM entries WHERE seq = 2",
          "REPLACE INTO entries SELECT seq, time, type, 'X', bytes, hash FROM entries WHERE seq = 3",
          "INSERT INTO entries SELECT seq, time, type, 'X', bytes, hash FROM entries WHERE seq = 1 "
          "ON CONFLICT(seq) DO UPDATE SET who = 'X'",
          "INSERT INTO entries SELECT 5, time, type, who, bytes, hash FROM entries WHERE seq = 1",
          "INSERT INTO entries SELECT NULL, time, type, who, bytes, zeroblob(31) FROM entries WHERE seq = 1"}) {
        INFO(sql);
        sqlite3* database = nullptr;
        REQUIRE(sqlite3_open(file.c_str(), &database) == SQLITE_OK);
        CHECK(sqlite3_exec(database, sql, nullptr, nullptr, nullptr) == SQLITE_CONSTRAINT);
        sqlite3_close(database);
    }
    const auto after = must(journal.entries_from(1, 10));
    REQUIRE(after.size() == before.size());
    for (std::size_t i = 0; i < before.size(); ++i)
        CHECK(after[i].bytes == before[i].bytes);
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("R2: all of a transaction or nothing: one draft that cannot be shown takes the others with it") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    fill(journal, 1);
    CHECK(journal.append({draft(stopped("a")), {"no.such_type", {}, ""}}, at(2)).error().code == "entry.unknown_type");
    Draft lacking = draft(stopped("b"));
    lacking.body.clear();
    CHECK(journal.append({draft(stopped("a")), lacking}, at(2)).error().code == "json.missing");
    CHECK(must(journal.last_seq()) == 1);
    CHECK(must(journal.append({draft(stopped("c"))}, at(3)))[0].seq == 2);
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("text that is not UTF-8 is a bug of ours: it throws, and the journal is as it was") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    CHECK_THROWS_AS(journal.append({draft(stopped("a")), draft(stopped("\xFF"))}, at(0)), std::logic_error);
    CHECK(must(journal.last_seq()) == 0);
    must(journal.append({draft(stopped("b"))}, at(1)));
}

TEST_CASE("R10: a full disk refuses the entry in words, leaves the journal whole, and works again when there is room") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    std::int64_t acknowledged = 0;
    {
        auto options = station();
        options.max_pages = 140;
        Journal journal = open_journal(file, options);
        Result<std::vector<Entry>> last;
        for (int i = 0; i < 1000; ++i) {
            last = journal.append({draft(stopped(std::string(900, 'x'))), draft(stopped("second of two"))}, at(i));
            if (!last) break;
            acknowledged = last->back().seq;
        }
        REQUIRE_FALSE(last);
        CHECK(last.error().code == "journal.disk_full");
        CHECK(last.error().detail("file") == file.string());
        CHECK(acknowledged > 10);
        CHECK(acknowledged % 2 == 0);
        CHECK(must(journal.last_seq()) == acknowledged);
        CHECK(must(journal.verify()).sound());
        CHECK(journal.append({draft(stopped(std::string(9000, 'x')))}, at(0)).error().code == "journal.disk_full");
    }
    Journal journal = open_journal(file);
    CHECK(must(journal.append({draft(stopped("room again"))}, at(0)))[0].seq == acknowledged + 1);
    CHECK(must(journal.verify()).entries == acknowledged + 1);
}

TEST_CASE("R10: little room on the disk is told before it is none") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    CHECK(journal.check_room(1));
    const auto refused = journal.check_room(std::numeric_limits<std::int64_t>::max());
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "journal.little_room");
    CHECK_FALSE(refused.error().detail("free_mb").empty());
}

TEST_CASE("one writer: a second one is refused and told who has the file; readers are welcome") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    std::filesystem::create_directory(folder / "elsewhere");
    std::filesystem::create_symlink(file, folder / "elsewhere/other-name.sqlite");
    {
        Journal journal = open_journal(file);
        fill(journal, 1);
        for (const auto& name : {file, folder / "elsewhere/../j.sqlite", folder / "elsewhere/other-name.sqlite"}) {
            const auto second = Journal::open(name, station());
            REQUIRE_FALSE(second);
            CHECK(second.error().code == "journal.in_use");
            CHECK(second.error().detail("holder") == std::to_string(::getpid()));
        }
        auto reading = station();
        reading.access = JournalAccess::read;
        Journal reader = open_journal(file, reading);
        CHECK(must(reader.last_seq()) == 1);
        fill(journal, 1);
        CHECK(must(reader.last_seq()) == 2);
        CHECK(reader.append({draft(stopped("x"))}, at(0)).error().code == "journal.read_only");
        CHECK(must(reader.verify()).sound());
    }
    fill(*std::make_unique<Journal>(open_journal(file)), 1);  // let go with the journal that held it
}

TEST_CASE("a reader sees a whole transaction or none of it, however busy the writer") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    Journal journal = open_journal(file);
    fill(journal, 2);
    std::thread writing([&] {
        for (int i = 0; i < 200; ++i)
            if (!journal.append({draft(stopped("a")), draft(stopped("b"))}, at(i))) return;
    });
    auto reading = station();
    reading.access = JournalAccess::read;
    Journal reader = open_journal(file, reading);
    bool even = true;
    bool sound = true;
    for (int i = 0; i < 20; ++i) {
        even = even && must(reader.last_seq()) % 2 == 0;
        sound = sound && must(reader.verify()).sound();
    }
    writing.join();
    CHECK(even);
    CHECK(sound);
    CHECK(must(reader.last_seq()) == 402);
}

TEST_CASE("R2: a writer that is killed leaves every entry that it had acknowledged") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    int acknowledged[2];
    REQUIRE(::pipe(acknowledged) == 0);
    const pid_t child = ::fork();
    if (child == 0) {  // plain writes only from here: this process is to die in the middle of it
        auto journal = Journal::open(file, station());
        for (int i = 0; journal; ++i) {
            const auto written = journal->append({draft(stopped("x"))}, at(i));
            if (!written || ::write(acknowledged[1], "+", 1) != 1) break;
        }
        ::_exit(1);
    }
    ::close(acknowledged[1]);
    std::int64_t told = 0;
    char mark = 0;
    while (told < 50 && ::read(acknowledged[0], &mark, 1) == 1)
        ++told;
    REQUIRE(::kill(child, SIGKILL) == 0);
    while (::read(acknowledged[0], &mark, 1) == 1)
        ++told;
    ::close(acknowledged[0]);
    int status = 0;
    ::waitpid(child, &status, 0);
    REQUIRE(WIFSIGNALED(status));
    REQUIRE(told >= 50);
    Journal journal = open_journal(file);  // the kernel has let go of the lock
    const auto kept = must(journal.last_seq());
    CHECK(kept >= told);
    CHECK(kept <= told + 1);  // at most the one that was committed and not yet told
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("durability is asked for and read back") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    CHECK(journal.database().text("PRAGMA journal_mode") == "wal");
    CHECK(journal.database().number("PRAGMA synchronous") == 2);
    CHECK(Journal::open(":memory:/x", station()).error().code == "journal.no_folder");
}
