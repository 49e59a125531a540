#include "station/journal/verify_entries.h"

#include <algorithm>
#include <chrono>
#include <map>

#include "station/journal/entry_scan.h"
#include "station/journal/nodes.h"
#include "station/journal/verify_signatures.h"
#include "station/proof/text_lines.h"

namespace crimpgate {
namespace {

Message damage_of(Message why, std::int64_t seq) {
    return std::move(why).with("seq", std::to_string(seq));
}

std::string_view text_of(SQLite::Statement& row, int column) {
    const SQLite::Column value = row.getColumn(column);
    const char* bytes = static_cast<const char*>(value.getBlob());
    return bytes == nullptr ? std::string_view() : std::string_view(bytes, static_cast<std::size_t>(value.getBytes()));
}

// The row's columns, valid until its statement steps on.
struct Row {
    std::int64_t seq = 0;
    std::string_view time;
    std::string_view type;
    std::string_view who;
    std::string_view bytes;
    std::string_view hash;
};

std::optional<Message> compare_columns(const Row& row, const EntryScan& entry, const std::string& station) {
    const std::pair<const char*, bool> columns[] = {{"seq", entry.seq == row.seq},
                                                    {"time", entry.time == row.time},
                                                    {"type", entry.type == row.type},
                                                    {"who", entry.who == row.who},
                                                    {"station", entry.station == station}};
    for (const auto& [name, agrees] : columns)
        if (!agrees) return damage_of(message("verify.column").with("column", name), row.seq);
    return std::nullopt;
}

// Bytes in canonical form, columns as the bytes say.
std::optional<Message> check_form(const Row& row, const std::string& station) {
    if (const auto scanned = scan_entry(row.bytes)) return compare_columns(row, *scanned, station);
    const auto entry = read_entry(row.bytes);
    if (!entry) return damage_of(message("verify.form").with("why", entry.error().code), row.seq);
    return compare_columns(row, {entry->seq, entry->station, entry->time, entry->type, entry->who}, station);
}

// The stored nodes, level by level, beside the ones that are reckoned.
class StoredLevels {
  public:
    explicit StoredLevels(Database& database) : database_(database) {}

    // Whether the next stored node of that level is this one.
    bool agrees(const TreeNode& node) {
        auto found = levels_.find(node.level);
        if (found == levels_.end()) {
            found = levels_
                        .try_emplace(node.level, database_.raw(),
                                     "SELECT idx, hash FROM nodes WHERE level = ? ORDER BY idx")
                        .first;
            found->second.bind(1, node.level);
        }
        SQLite::Statement& row = found->second;
        return row.executeStep() && row.getColumn(0).getInt64() == node.index && text_of(row, 1) == as_text(node.hash);
    }

    // Whether more is stored than the entries make.
    bool more(std::int64_t entries) {
        std::int64_t should_be = 0;
        for (std::int64_t n = entries / 2; n > 0; n /= 2)
            should_be += n;
        return database_.number("SELECT count(*) FROM nodes") != should_be;
    }

  private:
    Database& database_;
    std::map<int, SQLite::Statement> levels_;
};

// Lower nodes were right, so one of the entries under it is not the one that it was made from, or it was changed
// itself.
Message bad_node(const TreeNode& node) {
    const std::int64_t first = (node.index << node.level) + 1;
    return damage_of(message("verify.node")
                         .with("level", std::to_string(node.level))
                         .with("index", std::to_string(node.index))
                         .with("last", std::to_string(first - 1 + (std::int64_t{1} << node.level))),
                     first);
}

}  // namespace

void verify_entries(Database& database, const std::string& station, Verification& result) {
    const auto begin = std::chrono::steady_clock::now();
    Frontier frontier;
    StoredLevels stored(database);
    // Stored nodes may be asked: those of the entries so far have just been found right.
    SignatureCheck signatures([&](std::int64_t size) {
        return size == frontier.size() ? frontier.root() : tree_root(stored_nodes(database), size);
    });
    const auto check = [&](const Row& row) -> std::optional<Message> {
        const std::int64_t expected = result.entries + 1;
        if (row.seq != expected)
            return damage_of(message("verify.gap").with("found", std::to_string(row.seq)), expected);
        const Hash hash = leaf_hash(row.bytes);
        if (row.hash != as_text(hash)) return damage_of(message("verify.hash").with("computed", to_hex(hash)), row.seq);
        if (auto wrong = check_form(row, station)) return wrong;
        if (SignatureCheck::concerns(row.type)) {
            const auto entry = read_entry(row.bytes);
            if (!entry) return damage_of(message("verify.form").with("why", entry.error().code), row.seq);
            if (auto wrong = signatures.look(*entry)) return damage_of(std::move(*wrong), row.seq);
        }
        for (const TreeNode& node : frontier.append(hash))
            if (!stored.agrees(node)) return bad_node(node);
        return std::nullopt;
    };
    database.each("SELECT seq, time, type, who, bytes, hash FROM entries ORDER BY seq", [&](SQLite::Statement& s) {
        const Row row{
            s.getColumn(0).getInt64(), text_of(s, 1), text_of(s, 2), text_of(s, 3), text_of(s, 4), text_of(s, 5)};
        result.damage = check(row);
        if (result.damage) {
            result.damaged_seq = *strict_number(result.damage->detail("seq"));
            return false;
        }
        ++result.entries;
        result.bytes += static_cast<std::int64_t>(row.bytes.size());
        return true;
    });
    if (!result.damage && stored.more(result.entries))
        result.damage = message("verify.nodes").with("entries", std::to_string(result.entries));
    result.root = frontier.root();
    for (const auto& key : signatures.keys())
        result.keys.push_back(key.text());
    result.keys_without_hand_over = signatures.keys_without_hand_over();
    result.checkpoints = signatures.checkpoints();
    result.countersignatures = signatures.countersignatures();
    result.signed_size = signatures.signed_size();
    result.entries_us =
        std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() - begin).count();
}

void verify_outside(Database& database, const VerifyOptions& options, Verification& result) {
    if (!options.trusted_key.empty() &&
        std::find(result.keys.begin(), result.keys.end(), options.trusted_key) == result.keys.end()) {
        result.damage = message("verify.other_key").with("key", options.trusted_key);
        return;
    }
    for (const auto& note : options.checkpoints) {
        std::optional<Checkpoint> head;
        Message why = message("checkpoint.unsigned").with("name", "");
        for (const auto& text : result.keys) {
            const auto opened = open_checkpoint(note, *parse_verifier_key(text));
            if (opened)
                head = opened->checkpoint;
            else
                why = opened.error();
        }
        if (!head) {
            result.damage = message("verify.outside").with("why", why.code);
        } else if (head->size > result.entries) {
            result.damage = message("verify.cut_off")
                                .with("size", std::to_string(head->size))
                                .with("entries", std::to_string(result.entries));
        } else if (tree_root(stored_nodes(database), head->size) != head->root) {
            result.damage = message("verify.other_tree").with("size", std::to_string(head->size));
        } else {
            ++result.outside;
        }
        if (result.damage) return;
    }
}

}  // namespace crimpgate
