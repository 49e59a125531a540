#include "station/journal/database.h"
#include "station/journal/views.h"
#include "station/json/canonical.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;

namespace {

// A day's journal, closed, then damaged by hand.
Verification verified_after(const std::string& damage) {
    Folder folder;
    const auto file = folder / "j.sqlite";
    {
        Journal journal = open_journal(file);
        live_through(journal);
    }
    behind_its_back(file, without_guards + damage);
    return must(open_journal(file).verify());
}

std::string code_of(const Verification& v) {
    return v.damage ? v.damage->code : "";
}

}  // namespace

TEST_CASE("a journal that nobody touched is sound, entry by entry") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    CHECK(must(journal.verify()).sound());
    CHECK(must(journal.verify()).entries == 0);
    live_through(journal);
    const auto v = must(journal.verify());
    CHECK(v.sound());
    CHECK(v.entries == must(journal.last_seq()));
    CHECK(verified_after("").sound());
}

TEST_CASE("R3: one changed byte in an entry is found and named") {
    // 31.02 mm made 31.03 mm, in a way that is still good JSON.
    const auto v = verified_after(
        "UPDATE entries SET bytes = replace(bytes, '\"value_nm\":31020000', '\"value_nm\":31030000') "
        "WHERE seq = (SELECT min(seq) FROM entries WHERE bytes LIKE '%\"value_nm\":31020000%');");
    CHECK(code_of(v) == "verify.hash");
    CHECK(v.damaged_seq > 20);
    CHECK(v.damage->detail("seq") == std::to_string(v.damaged_seq));
    CHECK(v.entries == v.damaged_seq - 1);
}

TEST_CASE("R3: any byte of any entry counts, flipped one after the other") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    std::string bytes;
    {
        Journal journal = open_journal(file);
        fill(journal, 3);
        bytes = must(journal.entry(2))->bytes;
    }
    behind_its_back(file, without_guards);
    Journal journal = open_journal(file);
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        std::string changed = bytes;
        changed[i] = static_cast<char>(changed[i] ^ 0x01);
        journal.database().run("UPDATE entries SET bytes = ? WHERE seq = 2", changed);
        const auto v = must(journal.verify());
        INFO("byte " << i);
        CHECK(code_of(v) == "verify.hash");
        CHECK(v.damaged_seq == 2);
    }
    journal.database().run("UPDATE entries SET bytes = ? WHERE seq = 2", bytes);
    CHECK(must(journal.verify()).sound());
}

TEST_CASE("R3: a changed byte with a hash made to match is caught by the form, the columns or the tree") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    std::string bytes;
    std::int64_t seq = 0;
    {
        Journal journal = open_journal(file);
        live_through(journal);
        must(journal.for_each([&](const Entry& entry) {
            if (entry.type != "reading.taken" || entry.bytes.find("\"verdict\":\"fails\"") == std::string::npos)
                return true;
            bytes = entry.bytes;
            seq = entry.seq;
            return false;
        }));
    }
    REQUIRE(seq > 0);
    behind_its_back(file, without_guards);
    Journal journal = open_journal(file);
    const auto put = [&](const std::string& changed) {
        journal.database().run("UPDATE entries SET bytes = ?, hash = ? WHERE seq = ?", changed, leaf_hash(changed),
                               seq);
        return must(journal.verify());
    };
    const auto replaced = [&](const std::string& what, const std::string& by) {
        std::string changed = bytes;
        changed.replace(changed.find(what), what.size(), by);
        return changed;
    };
    CHECK(put(bytes).sound());
    CHECK(code_of(put(bytes + " ")) == "verify.form");
    CHECK(code_of(put(replaced("\"v\":1", "\"v\": 1"))) == "verify.form");
    CHECK(code_of(put(replaced("\"v\":1", "\"v\":2"))) == "verify.form");
    CHECK(code_of(put(replaced("\"who\":\"OP-7\"", "\"who\":\"OP-8\""))) == "verify.column");
    CHECK(code_of(put(replaced("bench-1", "bench-2"))) == "verify.column");
    // Consistent in itself: the node of the tree above it tells.
    const auto v = put(replaced("\"verdict\":\"fails\"", "\"verdict\":\"conforms\""));
    CHECK(code_of(v) == "verify.node");
    CHECK(v.damaged_seq <= seq);
    CHECK(seq <= std::stoll(std::string(v.damage->detail("last"))));
}

TEST_CASE("R3: an entry taken out is found and named, also the last one") {
    const auto middle = verified_after("DELETE FROM entries WHERE seq = 7;");
    CHECK(code_of(middle) == "verify.gap");
    CHECK(middle.damaged_seq == 7);
    CHECK(middle.damage->detail("found") == "8");
    CHECK(code_of(verified_after("DELETE FROM entries WHERE seq = 1;")) == "verify.gap");
    // The last one leaves its traces: a node of the tree, or, where it completed none, a row of a view.
    for (const auto& [entries, code] : {std::pair{4, "verify.nodes"}, std::pair{5, "verify.view"}}) {
        Folder folder;
        const auto file = folder / "j.sqlite";
        {
            Journal journal = open_journal(file);
            fill(journal, entries);
        }
        behind_its_back(
            file, std::string(without_guards) + "DELETE FROM entries WHERE seq = " + std::to_string(entries) + ";");
        const auto end = must(open_journal(file).verify());
        CHECK(code_of(end) == code);
        CHECK(end.entries == entries - 1);
    }
}

TEST_CASE("R3: an entry whose body is not what its type asks for is found, though everything else fits") {
    Folder folder;
    Journal journal = open_journal(folder / "j.sqlite");
    fill(journal, 2);
    Entry third = must(journal.entry(2)).value();
    std::string bytes = third.bytes;
    bytes.replace(bytes.find("\"seq\":2"), 7, "\"seq\":3");
    bytes.replace(bytes.find("\"cause\""), 7, "\"kause\"");
    journal.database().run("INSERT INTO entries VALUES(3, ?, ?, ?, ?, ?)", third.time, third.type, third.who, bytes,
                           leaf_hash(bytes));
    const auto v = must(journal.verify());
    CHECK(code_of(v) == "verify.form");
    CHECK(v.damaged_seq == 3);
    CHECK(v.entries == 2);
}

TEST_CASE("R3: two entries that changed places are found and named") {
    const auto v = verified_after(
        "UPDATE entries SET seq = -1 WHERE seq = 5; UPDATE entries SET seq = 5 WHERE seq = 6;"
        "UPDATE entries SET seq = 6 WHERE seq = -1;");
    CHECK(code_of(v) == "verify.column");
    CHECK(v.damaged_seq == 5);
    CHECK(v.damage->detail("column") == "seq");
}

TEST_CASE("a column changed beside its entry is found and named") {
    for (const char* column : {"time", "type", "who"}) {
        const auto v = verified_after(std::string("UPDATE entries SET ") + column + " = 'x' WHERE seq = 4;");
        INFO(column);
        CHECK(code_of(v) == "verify.column");
        CHECK(v.damaged_seq == 4);
        CHECK(v.damage->detail("column") == column);
    }
    const auto v = verified_after("UPDATE entries SET hash = zeroblob(32) WHERE seq = 4;");
    CHECK(code_of(v) == "verify.hash");
    CHECK(v.damaged_seq == 4);
}

TEST_CASE("a view edited by hand is found, named with both rows, and put right by a rebuild") {
    for (const auto& [view, damage] : std::vector<std::pair<std::string, std::string>>{
             {"holds", "UPDATE holds SET settled_seq = 99 WHERE settled_seq IS NULL"},
             {"assemblies", "UPDATE assemblies SET stage = 'passed' WHERE serial = 'K100C'"},
             {"assemblies", "DELETE FROM assemblies WHERE serial = 'K100E'"},
             {"refusals", "DELETE FROM refusals"},
             {"people", "INSERT INTO people VALUES('ZZ', 'Nobody', 'lead', NULL, NULL, 0, NULL, 1, 't', 'w')"},
             {"readings", "UPDATE readings SET value_nm = value_nm + 1 WHERE seq = (SELECT max(seq) FROM readings)"},
             {"readings", "UPDATE readings SET verdict = NULL"},
             {"tags", "ALTER TABLE tags ADD COLUMN more TEXT"}}) {
        Folder folder;
        const auto file = folder / "j.sqlite";
        {
            Journal journal = open_journal(file);
            live_through(journal);
        }
        behind_its_back(file, damage + ";");
        Journal journal = open_journal(file);
        INFO(damage);
        const auto v = must(journal.verify());
        CHECK(code_of(v) == "verify.view");
        CHECK(v.damage->detail("view") == view);
        CHECK(v.damage->detail("found") != v.damage->detail("expected"));
        CHECK(v.entries == must(journal.last_seq()));
        must(journal.rebuild_views());
        CHECK(must(journal.verify()).sound());
    }
}

TEST_CASE("R10: a file whose pages are damaged is refused when it is opened") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    {
        Journal journal = open_journal(file);
        live_through(journal);
    }
    const auto size = std::filesystem::file_size(file);
    {
        std::fstream out(file, std::ios::binary | std::ios::in | std::ios::out);
        out.seekp(4096);  // behind the first page: the tables themselves
        const std::string noise(static_cast<std::size_t>(size) - 4096, '\x5A');
        out << noise;
    }
    const auto opened = Journal::open(file, station());
    REQUIRE_FALSE(opened);
    CHECK(opened.error().code == "journal.damaged");
    CHECK(opened.error().detail("file") == file.string());
}
