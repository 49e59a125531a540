#include "station/proof/consistency.h"

#include "station/proof/merkle.h"
#include "station/proof/text_lines.h"

namespace crimpgate {
namespace {

constexpr std::string_view head = "crimpgate-consistency/1";
constexpr std::size_t most_hashes = 65;

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("consistency.malformed").with("why", why));
}

Message of_two(Message m, std::int64_t older, std::int64_t newer) {
    return std::move(m).with("old", std::to_string(older)).with("new", std::to_string(newer));
}

std::optional<std::int64_t> size_line(std::string_view line, std::string_view name) {
    if (!line.starts_with(name)) return std::nullopt;
    return strict_number(line.substr(name.size()));
}

}  // namespace

std::string write_consistency(const ConsistencyProof& proof) {
    std::string text =
        std::string(head) + "\nfrom " + std::to_string(proof.from) + "\nto " + std::to_string(proof.to) + "\n";
    for (const Hash& hash : proof.hashes)
        text += to_base64(hash) + "\n";
    return text;
}

Result<ConsistencyProof> read_consistency(std::string_view text) {
    const auto lines = lines_of(text);
    if (!lines || lines->size() < 3 || (*lines)[0] != head) return malformed("head");
    const auto from = size_line((*lines)[1], "from ");
    const auto to = size_line((*lines)[2], "to ");
    if (!from || !to) return malformed("size");
    if (lines->size() > 3 + most_hashes) return malformed("hash");
    ConsistencyProof proof{*from, *to, {}};
    for (std::size_t i = 3; i < lines->size(); ++i) {
        const auto hash = hash_from_base64((*lines)[i]);
        if (!hash) return malformed("hash");
        proof.hashes.push_back(*hash);
    }
    return proof;
}

Result<void> verify_extends(const Checkpoint& older, const Checkpoint& newer, const ConsistencyProof& proof) {
    if (older.name != newer.name)
        return refuse(message("consistency.other_log").with("old", older.name).with("new", newer.name));
    if (newer.size < older.size) return refuse(of_two(message("consistency.shrunk"), older.size, newer.size));
    if (newer.size == older.size) {
        if (newer.root == older.root) return {};
        return refuse(message("consistency.two_trees").with("size", std::to_string(older.size)));
    }
    if (older.size == 0) {
        if (older.root == empty_tree_hash()) return {};
        return refuse(of_two(message("consistency.not_extended"), older.size, newer.size));
    }
    if (proof.from != older.size || proof.to != newer.size)
        return refuse(message("consistency.other_sizes")
                          .with("from", std::to_string(proof.from))
                          .with("to", std::to_string(proof.to))
                          .with("old", std::to_string(older.size))
                          .with("new", std::to_string(newer.size)));
    if (!verify_consistency(older.size, newer.size, proof.hashes, older.root, newer.root))
        return refuse(of_two(message("consistency.not_extended"), older.size, newer.size));
    return {};
}

}  // namespace crimpgate
