// Reading the whole journal again and believing nothing: what an auditor's program would do.
//
// First the entries, in one pass and about as fast as hashing them (verify_entries.cpp): a changed, swapped or missing
// entry, a column that tells otherwise than its entry, a node of the tree, a checkpoint or a countersignature that does
// not fit. Then the checkpoints that the caller brought from outside. Last the views, which are made anew beside them;
// that takes far longer than the rest. Not found without a checkpoint from outside, because nothing in the file could
// tell: entries cut off at the end together with all their traces, and a past that was written anew with a new key.
#include "station/journal/schema.h"
#include "station/journal/state.h"
#include "station/journal/verify_entries.h"
#include "station/journal/views.h"

namespace crimpgate {
namespace {

// What puts a table's rows into an order that depends on nothing but their content: its primary key, which needs no
// sorting, or all of its columns.
std::string order_of(Database& database, const std::string& table) {
    std::string order;
    database.each(
        "SELECT name FROM pragma_table_info(?1) WHERE pk > 0 OR NOT EXISTS(SELECT 1 FROM pragma_table_info(?1) WHERE "
        "pk > 0) ORDER BY pk, cid",
        [&](SQLite::Statement& row) { order += (order.empty() ? "\"" : ", \"") + row.getColumn(0).getString() + "\""; },
        table);
    return order;
}

// A table's rows as text, one after the other.
class Rows {
  public:
    Rows(Database& database, const std::string& table, const std::string& order)
        : statement_(database.raw(), "SELECT * FROM \"" + table + "\" ORDER BY " + order) {}

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
    // The journal's own table may have been made anew by hand, without the key: the order is this program's.
    const auto order = order_of(expected, table);
    Rows a(found, table, order);
    Rows b(expected, table, order);
    for (;;) {
        const bool more_a = a.next();
        const bool more_b = b.next();
        if (!more_a && !more_b) return std::nullopt;
        const std::string row_a = more_a ? a.text() : "";
        const std::string row_b = more_b ? b.text() : "";
        if (row_a != row_b) return differs(row_a, row_b);
    }
}

// The views against ones made anew.
void verify_views(Database& database, Verification& result) {
    Database rebuilt({}, Database::Access::write, "");
    // A quarter of a gigabyte in memory, the rest in a temporary file: a million assemblies' views are three.
    rebuilt.exec("PRAGMA cache_size = -262144; PRAGMA synchronous = OFF; PRAGMA journal_mode = OFF");
    create_views(rebuilt);
    rebuilt.exec("BEGIN");
    database.each("SELECT bytes FROM entries ORDER BY seq", [&](SQLite::Statement& row) {
        const auto entry = read_entry(row.getColumn(0).getString());
        const auto shown = entry ? project(rebuilt, *entry) : Result<void>(refuse(entry.error()));
        if (shown) return true;
        result.damaged_seq = entry ? entry->seq : 0;
        result.damage =
            message("verify.form").with("why", shown.error().code).with("seq", std::to_string(result.damaged_seq));
        result.entries = result.damaged_seq - 1;
        return false;
    });
    for (const View& view : views()) {
        if (result.damage) return;
        result.damage = compare(database, rebuilt, view.name);
    }
}

}  // namespace

Result<Verification> Journal::verify(const VerifyOptions& options) const {
    return guarded([&]() -> Result<Verification> {
        Verification result;
        const Snapshot snapshot(database());
        verify_entries(database(), station(), result);
        if (result.sound()) verify_outside(database(), options, result);
        if (result.sound() && options.views) verify_views(database(), result);
        return result;
    });
}

}  // namespace crimpgate
