// The table of the tree's nodes (schema step 2): stored when they are complete, in the transaction of the entry that
// completes them. Internal to station/journal; throws SQLite::Exception.
#pragma once

#include "station/journal/database.h"
#include "station/proof/merkle.h"

namespace crimpgate {

// Leaves from the entries, all else from the nodes. A node that is missing throws (SQLITE_CORRUPT). The data base must
// outlive it.
NodeSource stored_nodes(Database& database);

void insert_node(Database& database, const TreeNode& node);

// Fills a table that is empty from the entries' hashes as they stand (verify is what doubts them): for a journal that
// was written before there were nodes. Without the table, or with nodes in it, nothing is done. Within a transaction of
// the caller.
void fill_nodes(Database& database);

}  // namespace crimpgate
