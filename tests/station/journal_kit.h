// What the tests of the journal share: a folder that goes away, an invented shop's entries, a clock that only counts.
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include <sqlite3.h>
#include <boost/json.hpp>

#include "station/entries/entry_json.h"
#include "station/journal/journal.h"
#include "tests/support/catch.h"
#include "tests/support/temp_folder.h"

namespace journal_kit {

using namespace crimpgate;

using Folder = test::TempFolder;

inline Stamp at(std::int64_t n) {
    return {1'741'064'767'089 + n * 1000, 5'000'000'000 + n * 1'000'000'000, "1f0c8a52-0000-4000-8000-000000000001",
            true};
}

inline Draft draft(const EntryBody& body, std::string who = "OP-7") {
    return {std::string(type_of(body)), to_json(body), std::move(who)};
}

inline JournalOptions station(std::string name = "bench-1") {
    JournalOptions options;
    options.station = std::move(name);
    return options;
}

template <class T>
T must(Result<T> result) {
    if (!result) {
        std::string told = result.error().code;
        for (const auto& detail : result.error().details)
            told += " " + detail.name + "=" + detail.text;
        FAIL("refused: " << told);
    }
    if constexpr (!std::is_void_v<T>) return std::move(*result);
}

inline Journal open_journal(const std::filesystem::path& file, JournalOptions options = station()) {
    return must(Journal::open(file, std::move(options)));
}

// n small entries, one transaction each.
inline void fill(Journal& journal, int n) {
    for (int i = 0; i < n; ++i) {
        entries::StationStopped body;
        body.cause = "switched off, number " + std::to_string(i);
        must(journal.append({draft(body)}, at(i)));
    }
}

// Straight at the file, behind the journal's back, with every guard switched off: what an attacker or a bad disk does.
inline void behind_its_back(const std::filesystem::path& file, const std::string& sql) {
    sqlite3* database = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &database) == SQLITE_OK);
    char* error = nullptr;
    const int result = sqlite3_exec(database, sql.c_str(), nullptr, nullptr, &error);
    const std::string told = error != nullptr ? error : "";
    sqlite3_free(error);
    sqlite3_close(database);
    INFO(sql << ": " << told);
    REQUIRE(result == SQLITE_OK);
}

inline constexpr const char* without_guards =
    "DROP TRIGGER entries_are_never_changed; DROP TRIGGER entries_are_never_deleted; DROP TRIGGER "
    "entries_have_no_gaps;";

inline std::string read_file(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace journal_kit
