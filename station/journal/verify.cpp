// Reading the whole journal again and believing nothing: what an auditor's program would do.
//
// Found: a changed, swapped or missing entry, a column that tells otherwise than its entry, a view that shows otherwise
// than the entries. Not found here, because nothing in the file could tell: entries cut off at the end together with
// their traces in the views. Against that stand the signed checkpoints that have left the building.
#include <sqlite3.h>

#include "station/journal/schema.h"
#include "station/journal/state.h"
#include "station/journal/views.h"

namespace crimpgate {
namespace {

Message damage_of(Message why, std::int64_t seq) {
    return std::move(why).with("seq", std::to_string(seq));
}

struct Row {
    std::int64_t seq = 0;
    std::string time;
    std::string type;
    std::string who;
    std::string bytes;
    std::string hash;
};

Row read_row(SQLite::Statement& statement) {
    return {statement.getColumn(0).getInt64(),  statement.getColumn(1).getString(), statement.getColumn(2).getString(),
            statement.getColumn(3).getString(), statement.getColumn(4).getString(), statement.getColumn(5).getString()};
}

// One row against its own bytes, and its place in the row of entries.
Result<Entry> check_row(const Row& row, std::int64_t expected, const std::string& station) {
    if (row.seq != expected)
        return refuse(damage_of(message("verify.gap").with("found", std::to_string(row.seq)), expected));
    const Hash hash = leaf_hash(row.bytes);
    if (row.hash != std::string_view(reinterpret_cast<const char*>(hash.data()), hash.size()))
        return refuse(damage_of(message("verify.hash").with("computed", to_hex(hash)), row.seq));
    auto entry = read_entry(row.bytes);
    if (!entry) {
        const auto& why = entry.error();
        return refuse(damage_of(message("verify.form").with("why", why.code), row.seq));
    }
    const std::pair<const char*, bool> columns[] = {{"seq", entry->seq == row.seq},
                                                    {"time", entry->time == row.time},
                                                    {"type", entry->type == row.type},
                                                    {"who", entry->who == row.who},
                                                    {"station", entry->station == station}};
    for (const auto& [name, agrees] : columns)
        if (!agrees) return refuse(damage_of(message("verify.column").with("column", name), row.seq));
    return entry;
}

// A table's rows as text, one after the other, in an order that depends on nothing but their content.
class Rows {
  public:
    Rows(Database& database, const std::string& table, int columns)
        : statement_(database.raw(), "SELECT * FROM \"" + table + "\" ORDER BY " + all(columns)) {}

    bool next() { return statement_.executeStep(); }
    std::string text() {
        std::string out;
        for (int i = 0; i < statement_.getColumnCount(); ++i) {
            const SQLite::Column column = statement_.getColumn(i);
            if (i > 0) out += '|';
            out += column.isNull() ? "NULL" : column.isInteger() ? column.getString() : "'" + column.getString() + "'";
        }
        return out;
    }

  private:
    static std::string all(int columns) {
        std::string places = "1";
        for (int i = 2; i <= columns; ++i)
            places += ", " + std::to_string(i);
        return places;
    }
    SQLite::Statement statement_;
};

std::optional<Message> compare(Database& found, Database& expected, const std::string& table) {
    const auto columns = [&](Database& database) {
        return static_cast<int>(database.number("SELECT count(*) FROM pragma_table_info(?)", table));
    };
    const auto differs = [&](const std::string& there, const std::string& should_be) {
        return message("verify.view").with("view", table).with("found", there).with("expected", should_be);
    };
    if (columns(found) != columns(expected)) return differs("another table", "the columns of this program");
    Rows a(found, table, columns(found));
    Rows b(expected, table, columns(expected));
    for (;;) {
        const bool more_a = a.next();
        const bool more_b = b.next();
        if (!more_a && !more_b) return std::nullopt;
        const std::string row_a = more_a ? a.text() : "";
        const std::string row_b = more_b ? b.text() : "";
        if (row_a != row_b) return differs(row_a, row_b);
    }
}

}  // namespace

Result<Verification> Journal::verify() const {
    return guarded([&]() -> Result<Verification> {
        Verification result;
        const Snapshot snapshot(database());
        Database rebuilt({}, Database::Access::write, "");  // in memory
        create_views(rebuilt);
        rebuilt.exec("BEGIN");
        database().each(
            "SELECT seq, time, type, who, bytes, hash FROM entries ORDER BY seq", [&](SQLite::Statement& statement) {
                const Row row = read_row(statement);
                const auto entry = check_row(row, result.entries + 1, station());
                if (!entry) {
                    result.damage = entry.error();
                } else if (const auto shown = project(rebuilt, *entry); !shown) {
                    result.damage = damage_of(message("verify.form").with("why", shown.error().code), row.seq);
                }
                if (result.damage)
                    result.damaged_seq = result.entries + 1;
                else
                    ++result.entries;
                return !result.damage;
            });
        for (const View& view : views()) {
            if (result.damage) break;
            result.damage = compare(database(), rebuilt, view.name);
        }
        return result;
    });
}

}  // namespace crimpgate
