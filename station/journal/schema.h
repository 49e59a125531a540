// The numbered schema of the journal's file: what is in it for ever, apart from the views.
//
// PRAGMA application_id says that a file is a journal, PRAGMA user_version how many steps its schema has taken. Steps
// are only ever added. Views are not part of it: they are dropped and built again whenever their definition changed.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/journal/database.h"

namespace crimpgate {

inline constexpr std::int64_t journal_application_id = 0x43524A4C;  // "CRJL"

struct Schema {
    std::vector<std::string_view> steps;  // step n (from 1) takes a file from version n - 1 to n
    std::int64_t version() const { return static_cast<std::int64_t>(steps.size()); }
};

const Schema& current_schema();

// What is at that place, before anything is written to it.
enum class Found { nothing, journal };
// "journal.not_ours" for a data base of another kind, "journal.newer" for one of a newer program.
Result<Found> look_at(Database& database, const Schema& schema, const std::filesystem::path& file);

std::int64_t schema_version(Database& database);

// Takes the steps that are missing, in one transaction; a new file is given to that station in the same one, since a
// file without an owner is nobody's. Throws SQLite::Exception and leaves the file as it was.
void migrate(Database& database, const Schema& schema, std::string_view station);

// What the station wrote about the file itself.
std::optional<std::string> note(Database& database, std::string_view name);
void set_note(Database& database, std::string_view name, std::string_view value);

}  // namespace crimpgate
