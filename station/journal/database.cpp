#include "station/journal/database.h"

#include <cerrno>
#include <stdexcept>

#include <sqlite3.h>
#include <boost/json.hpp>

#include "station/json/canonical.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr int busy_timeout_ms = 5000;

int flags(Database::Access access) {
    return access == Database::Access::read ? SQLite::OPEN_READONLY : SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE;
}

void roll_back(Database& database) noexcept {
    if (!database.in_transaction()) return;  // SQLite has done it already, as after a full disk
    sqlite3_exec(database.raw().getHandle(), "ROLLBACK", nullptr, nullptr, nullptr);
}

}  // namespace

Message explain(const SQLite::Exception& error) {
    const int extended = error.getExtendedErrorCode();
    const auto told = [&](std::string_view code) {
        return Message{std::string(code), {}}.with("why",
                                                   std::string(error.what()) + " (" + std::to_string(extended) + ")");
    };
    switch (error.getErrorCode()) {
        case SQLITE_FULL:
            return told(message("journal.disk_full").code);
        case SQLITE_IOERR:
            // Growing the shared memory file fails as an I/O error; the reason may still be a full disk.
            if (extended == SQLITE_IOERR_SHMSIZE && errno == ENOSPC) return told(message("journal.disk_full").code);
            return told(message("journal.io_error").code);
        case SQLITE_CORRUPT:
        case SQLITE_NOTADB:
            return told(message("journal.damaged").code);
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return told(message("journal.busy").code);
        case SQLITE_READONLY:
        case SQLITE_PERM:
            return told(message("journal.read_only").code);
        case SQLITE_CANTOPEN:
            return told(message("journal.cannot_open").code);
        default:
            return told(message("journal.database").code);
    }
}

Database::Database(const std::filesystem::path& file, Access access, const std::string& vfs)
    : database_(file.string(), flags(access), busy_timeout_ms, vfs) {
    // Text in the file can neither call functions of ours nor change the schema behind our back.
    sqlite3_db_config(database_.getHandle(), SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(database_.getHandle(), SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
}

void Database::exec(const std::string& sql) {
    database_.exec(sql);
}

int Database::run_cells(const char* sql, const std::vector<Cell>& cells) {
    const Use use(*this, sql);
    int place = 0;
    for (const Cell& cell : cells) {
        ++place;
        if (const auto* whole = std::get_if<std::int64_t>(&cell))
            bind(use.statement, place, *whole);
        else if (const auto* text = std::get_if<std::string>(&cell))
            bind(use.statement, place, *text);
    }
    return use.statement.exec();
}

bool Database::in_transaction() const {
    return sqlite3_get_autocommit(database_.getHandle()) == 0;
}

SQLite::Statement& Database::kept(const char* sql) {
    const auto found = statements_.find(std::string_view(sql));
    if (found != statements_.end()) return found->second;
    return statements_.emplace(sql, SQLite::Statement(database_, sql)).first->second;
}

json::value Database::row_as_json(SQLite::Statement& row) {
    json::object out;
    for (int i = 0; i < row.getColumnCount(); ++i) {
        const SQLite::Column column = row.getColumn(i);
        if (column.isNull()) continue;
        const std::string_view name = row.getColumnName(i);
        if (name.ends_with("_json")) {
            auto parsed = parse_strict(column.getString());
            if (!parsed) throw std::logic_error("a view holds JSON that is none: " + parsed.error().code);
            out[name.substr(0, name.size() - 5)] = std::move(*parsed);
        } else if (name.ends_with("_yn")) {
            out[name.substr(0, name.size() - 3)] = column.getInt64() != 0;
        } else if (column.isInteger()) {
            out[name] = column.getInt64();
        } else {
            out[name] = column.getString();
        }
    }
    return out;
}

Transaction::Transaction(Database& database) : database_(database) {
    database_.exec("BEGIN IMMEDIATE");
}

Transaction::~Transaction() {
    roll_back(database_);
}

void Transaction::commit() {
    database_.exec("COMMIT");
}

Snapshot::Snapshot(Database& database) : database_(database), own_(!database.in_transaction()) {
    if (own_) database_.exec("BEGIN");
}

Snapshot::~Snapshot() {
    if (own_) roll_back(database_);
}

}  // namespace crimpgate
