// SQLite as this folder uses it: one connection, statements kept, every error turned into words at the folder's edge.
//
// Nothing outside station/journal includes SQLite's or SQLiteCpp's headers or catches its exceptions.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <variant>
#include <vector>

#include <SQLiteCpp/SQLiteCpp.h>
#include <boost/json/array.hpp>

#include "specs/message.h"

namespace crimpgate {

// What SQLite refused, as "journal.disk_full", "journal.io_error", "journal.damaged", "journal.busy",
// "journal.read_only", "journal.cannot_open" or, for all else, "journal.database".
Message explain(const SQLite::Exception& error);

// Runs f and turns SQLite's exceptions into a refusal. f returns a Result or a plain value.
template <class F>
auto guarded(F&& f) {
    using Value = std::invoke_result_t<F>;
    constexpr bool plain = !requires(Value v) {
        v.error();
    };
    using Answer = std::conditional_t<plain, Result<std::conditional_t<plain, Value, int>>, Value>;
    try {
        if constexpr (std::is_void_v<Value>) {
            f();
            return Answer{};
        } else {
            return Answer(f());
        }
    } catch (const SQLite::Exception& error) {
        return Answer(refuse(explain(error)));
    }
}

// What one column of a row may be; monostate is NULL.
using Cell = std::variant<std::monostate, std::int64_t, std::string>;

class Database {
  public:
    enum class Access { write, read };
    // An empty path is a data base that is gone with the object: in memory as long as it fits SQLite's cache, beyond
    // that in a temporary file of SQLite's. Throws SQLite::Exception, as does everything here.
    Database(const std::filesystem::path& file, Access access, const std::string& vfs);

    // One statement or several, without parameters.
    void exec(const std::string& sql);

    // An INSERT, UPDATE or DELETE with its values in order; the number of rows touched.
    template <class... Values>
    int run(const char* sql, const Values&... values) {
        const Use use(*this, sql);
        bind_all(use.statement, values...);
        return use.statement.exec();
    }

    int run_cells(const char* sql, const std::vector<Cell>& cells);

    // A SELECT with its values in order; `row` is called with the statement for every row and may return false to stop.
    template <class Row, class... Values>
    void each(const char* sql, const Row& row, const Values&... values) {
        SQLite::Statement statement(database_, sql);  // not a kept one: `row` may ask the same again
        bind_all(statement, values...);
        while (statement.executeStep()) {
            if constexpr (std::is_same_v<std::invoke_result_t<Row, SQLite::Statement&>, bool>) {
                if (!row(statement)) return;
            } else {
                row(statement);
            }
        }
    }

    // The first column of the first row, 0 without one.
    template <class... Values>
    std::int64_t number(const char* sql, const Values&... values) {
        const Use use(*this, sql);
        bind_all(use.statement, values...);
        return use.statement.executeStep() ? use.statement.getColumn(0).getInt64() : 0;
    }

    // The same, as text; nothing without a row.
    template <class... Values>
    std::optional<std::string> text(const char* sql, const Values&... values) {
        const Use use(*this, sql);
        bind_all(use.statement, values...);
        if (!use.statement.executeStep()) return std::nullopt;
        return use.statement.getColumn(0).getString();
    }

    // Rows as JSON objects by column name: NULL is left out; a name ending in _yn is true or false and one ending in
    // _json holds JSON, both given without that ending.
    template <class... Values>
    boost::json::array rows(const char* sql, const Values&... values) {
        boost::json::array out;
        each(
            sql, [&](SQLite::Statement& row) { out.push_back(row_as_json(row)); }, values...);
        return out;
    }

    bool in_transaction() const;
    SQLite::Database& raw() { return database_; }

  private:
    // A kept statement, made ready and put back whatever happens.
    struct Use {
        Use(Database& database, const char* sql) : statement(database.kept(sql)) {}
        ~Use() {
            statement.tryReset();
            statement.clearBindings();
        }
        Use(const Use&) = delete;
        Use& operator=(const Use&) = delete;
        SQLite::Statement& statement;
    };

    template <class... Values>
    static void bind_all(SQLite::Statement& statement, const Values&... values) {
        int place = 0;
        (bind(statement, ++place, values), ...);
    }
    static void bind(SQLite::Statement& s, int place, std::int64_t value) { s.bind(place, value); }
    static void bind(SQLite::Statement& s, int place, bool value) { s.bind(place, value ? 1 : 0); }
    static void bind(SQLite::Statement& s, int place, const std::string& value) { s.bind(place, value); }
    static void bind(SQLite::Statement& s, int place, std::string_view value) { s.bind(place, std::string(value)); }
    template <class T>
    static void bind(SQLite::Statement& s, int place, const std::optional<T>& value) {
        if (value) {
            bind(s, place, *value);
        } else {
            s.bind(place);
        }
    }
    template <std::size_t N>
    static void bind(SQLite::Statement& s, int place, const std::array<unsigned char, N>& bytes) {
        s.bind(place, bytes.data(), static_cast<int>(N));
    }

    static boost::json::value row_as_json(SQLite::Statement& row);
    SQLite::Statement& kept(const char* sql);

    SQLite::Database database_;
    std::map<std::string, SQLite::Statement, std::less<>> statements_;
};

// BEGIN IMMEDIATE to COMMIT, rolled back when it goes out of scope without (deferred transactions fail at once when
// another connection writes, whatever the busy timeout).
class Transaction {
  public:
    explicit Transaction(Database& database);
    ~Transaction();
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    void commit();

  private:
    Database& database_;
};

// One unchanging picture of the data base for several reads.
class Snapshot {
  public:
    explicit Snapshot(Database& database);
    ~Snapshot();
    Snapshot(const Snapshot&) = delete;
    Snapshot& operator=(const Snapshot&) = delete;

  private:
    Database& database_;
    bool own_;
};

}  // namespace crimpgate
