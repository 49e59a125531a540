#include "station/journal/schema.h"

#include "station/journal/nodes.h"

namespace crimpgate {
namespace {

// The triggers stand in the way of mistakes of ours and of a curious hand; they are no lock. That an entry was changed
// all the same is found by its hash, and that one was cut off by the checkpoints that left the building.
//
// INSERT OR REPLACE deletes without asking the delete trigger; the gapless trigger refuses it, since it runs first.
constexpr std::string_view step_1 = R"sql(
CREATE TABLE notes(
  name TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
CREATE TABLE entries(
  seq INTEGER PRIMARY KEY,
  time TEXT NOT NULL,
  type TEXT NOT NULL,
  who TEXT NOT NULL,
  bytes TEXT NOT NULL,
  hash BLOB NOT NULL CHECK(length(hash) = 32)
) STRICT;
CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries
BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER entries_are_never_deleted BEFORE DELETE ON entries
BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER entries_have_no_gaps BEFORE INSERT ON entries
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entries)
BEGIN SELECT RAISE(ABORT, 'entries are numbered without a gap'); END;
)sql";

// The tree over the entries (station/proof/merkle.h): roots of perfect subtrees of two leaves and more, each once and
// for ever. Leaves are the entries' own hashes.
constexpr std::string_view step_2 = R"sql(
CREATE TABLE nodes(
  level INTEGER NOT NULL CHECK(level > 0),
  idx INTEGER NOT NULL,
  hash BLOB NOT NULL CHECK(length(hash) = 32),
  PRIMARY KEY(level, idx)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER nodes_are_never_changed BEFORE UPDATE ON nodes
BEGIN SELECT RAISE(ABORT, 'nodes are never changed'); END;
CREATE TRIGGER nodes_are_never_deleted BEFORE DELETE ON nodes
BEGIN SELECT RAISE(ABORT, 'nodes are never deleted'); END;
CREATE TRIGGER nodes_have_no_gaps BEFORE INSERT ON nodes
WHEN NEW.idx IS NOT (SELECT coalesce(max(idx), -1) + 1 FROM nodes WHERE level = NEW.level)
BEGIN SELECT RAISE(ABORT, 'nodes are numbered without a gap'); END;
)sql";

}  // namespace

const Schema& current_schema() {
    static const Schema schema{{step_1, step_2}};
    return schema;
}

std::int64_t schema_version(Database& database) {
    return database.number("PRAGMA user_version");
}

Result<Found> look_at(Database& database, const Schema& schema, const std::filesystem::path& file) {
    const auto kind = database.number("PRAGMA application_id");
    const auto version = schema_version(database);
    const auto objects = database.number("SELECT count(*) FROM sqlite_schema");
    if (kind == 0 && version == 0 && objects == 0) return Found::nothing;
    if (kind != journal_application_id) return refuse(message("journal.not_ours").with("file", file.string()));
    if (version > schema.version())
        return refuse(message("journal.newer")
                          .with("file", file.string())
                          .with("version", std::to_string(version))
                          .with("known", std::to_string(schema.version())));
    return Found::journal;
}

void migrate(Database& database, const Schema& schema, std::string_view station) {
    Transaction transaction(database);
    const bool is_new = schema_version(database) == 0;
    for (auto version = schema_version(database); version < schema.version(); ++version)
        database.exec(std::string(schema.steps[static_cast<std::size_t>(version)]));
    fill_nodes(database);
    database.exec("PRAGMA application_id = " + std::to_string(journal_application_id));
    database.exec("PRAGMA user_version = " + std::to_string(schema.version()));
    if (is_new) set_note(database, "station", station);
    transaction.commit();
}

std::optional<std::string> note(Database& database, std::string_view name) {
    return database.text("SELECT value FROM notes WHERE name = ?", name);
}

void set_note(Database& database, std::string_view name, std::string_view value) {
    database.run("INSERT INTO notes(name, value) VALUES(?, ?) ON CONFLICT(name) DO UPDATE SET value = excluded.value",
                 name, value);
}

}  // namespace crimpgate
