#include "station/journal/nodes.h"

#include <sqlite3.h>

namespace crimpgate {

NodeSource stored_nodes(Database& database) {
    return [&database](int level, std::int64_t index) {
        const auto bytes = level == 0 ? database.text("SELECT hash FROM entries WHERE seq = ?", index + 1)
                                      : database.text("SELECT hash FROM nodes WHERE level = ? AND idx = ?",
                                                      static_cast<std::int64_t>(level), index);
        const auto hash = bytes ? as_array<32>(*bytes) : std::nullopt;
        if (!hash)
            throw SQLite::Exception(
                "node " + std::to_string(index) + " of level " + std::to_string(level) + " of the tree is missing",
                SQLITE_CORRUPT);
        return *hash;
    };
}

void insert_node(Database& database, const TreeNode& node) {
    database.run("INSERT INTO nodes(level, idx, hash) VALUES(?, ?, ?)", static_cast<std::int64_t>(node.level),
                 node.index, node.hash);
}

void fill_nodes(Database& database) {
    const auto table = database.number("SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'nodes'");
    if (table == 0 || database.number("SELECT EXISTS(SELECT 1 FROM nodes)") != 0) return;
    Frontier frontier;
    database.each("SELECT hash FROM entries ORDER BY seq", [&](SQLite::Statement& row) {
        const auto hash = as_array<32>(row.getColumn(0).getString());
        if (!hash) throw SQLite::Exception("an entry's hash is not one", SQLITE_CORRUPT);
        for (const TreeNode& node : frontier.append(*hash))
            insert_node(database, node);
    });
}

}  // namespace crimpgate
