#include "station/proof/merkle.h"

#include <bit>
#include <stdexcept>

namespace crimpgate {
namespace {

// The largest power of two below n (n > 1), as its exponent: where RFC 9162 section 2.1.1 parts a list.
int split_level(std::int64_t n) {
    return std::bit_width(static_cast<std::uint64_t>(n - 1)) - 1;
}

// Root over `count` leaves from `begin` on; begin is a multiple of the largest power of two that is not above count, so
// that every left part is a node of the source. One question for each binary digit of count.
Hash range_root(const NodeSource& nodes, std::int64_t begin, std::int64_t count) {
    if (std::has_single_bit(static_cast<std::uint64_t>(count))) {
        const int level = std::countr_zero(static_cast<std::uint64_t>(count));
        return nodes(level, begin >> level);
    }
    const int level = split_level(count);
    const std::int64_t left = std::int64_t{1} << level;
    const Hash left_root = nodes(level, begin >> level);
    return node_hash(left_root, range_root(nodes, begin + left, count - left));
}

void path(const NodeSource& nodes, std::int64_t index, std::int64_t begin, std::int64_t count, std::vector<Hash>& out) {
    if (count == 1) return;
    const std::int64_t left = std::int64_t{1} << split_level(count);
    if (index < left) {
        path(nodes, index, begin, left, out);
        out.push_back(range_root(nodes, begin + left, count - left));
    } else {
        path(nodes, index - left, begin + left, count - left, out);
        out.push_back(range_root(nodes, begin, left));
    }
}

// SUBPROOF of section 2.1.4.1: `known` says that the verifier has the root of these `from` leaves already.
void subproof(const NodeSource& nodes, std::int64_t from, std::int64_t begin, std::int64_t count, bool known,
              std::vector<Hash>& out) {
    if (from == count) {
        if (!known) out.push_back(range_root(nodes, begin, count));
        return;
    }
    const std::int64_t left = std::int64_t{1} << split_level(count);
    if (from <= left) {
        subproof(nodes, from, begin, left, known, out);
        out.push_back(range_root(nodes, begin + left, count - left));
    } else {
        subproof(nodes, from - left, begin + left, count - left, false, out);
        out.push_back(range_root(nodes, begin, left));
    }
}

}  // namespace

Hash tree_root(const NodeSource& nodes, std::int64_t size) {
    if (size < 0) throw std::out_of_range("tree_root: a tree has no negative size");
    return size == 0 ? empty_tree_hash() : range_root(nodes, 0, size);
}

std::vector<Hash> inclusion_proof(const NodeSource& nodes, std::int64_t index, std::int64_t size) {
    if (index < 0 || index >= size) throw std::out_of_range("inclusion_proof: no such leaf in that tree");
    std::vector<Hash> out;
    path(nodes, index, 0, size, out);
    return out;
}

std::vector<Hash> consistency_proof(const NodeSource& nodes, std::int64_t from, std::int64_t to) {
    if (from <= 0 || from > to) throw std::out_of_range("consistency_proof: from 1 to the tree's size");
    std::vector<Hash> out;
    if (from < to) subproof(nodes, from, 0, to, true, out);
    return out;
}

bool verify_inclusion(std::int64_t index, std::int64_t size, const Hash& leaf, const std::vector<Hash>& proof,
                      const Hash& root) {
    if (index < 0 || index >= size) return false;
    std::int64_t fn = index;
    std::int64_t sn = size - 1;
    Hash r = leaf;
    for (const Hash& p : proof) {
        if (sn == 0) return false;
        if ((fn & 1) != 0 || fn == sn) {
            r = node_hash(p, r);
            while ((fn & 1) == 0 && fn != 0) {
                fn >>= 1;
                sn >>= 1;
            }
        } else {
            r = node_hash(r, p);
        }
        fn >>= 1;
        sn >>= 1;
    }
    return sn == 0 && r == root;
}

bool verify_consistency(std::int64_t from, std::int64_t to, const std::vector<Hash>& proof, const Hash& from_root,
                        const Hash& to_root) {
    if (from <= 0 || from > to) return false;
    if (from == to) return proof.empty() && from_root == to_root;
    if (proof.empty()) return false;
    std::int64_t fn = from - 1;
    std::int64_t sn = to - 1;
    while ((fn & 1) != 0) {
        fn >>= 1;
        sn >>= 1;
    }
    // A tree of a power of two is itself the first node, and the proof leaves it out.
    const bool own_root = std::has_single_bit(static_cast<std::uint64_t>(from));
    Hash fr = own_root ? from_root : proof.front();
    Hash sr = fr;
    for (std::size_t i = own_root ? 0 : 1; i < proof.size(); ++i) {
        const Hash& c = proof[i];
        if (sn == 0) return false;
        if ((fn & 1) != 0 || fn == sn) {
            fr = node_hash(c, fr);
            sr = node_hash(c, sr);
            while ((fn & 1) == 0 && fn != 0) {
                fn >>= 1;
                sn >>= 1;
            }
        } else {
            sr = node_hash(sr, c);
        }
        fn >>= 1;
        sn >>= 1;
    }
    return sn == 0 && fr == from_root && sr == to_root;
}

Frontier::Frontier(const NodeSource& nodes, std::int64_t size) : size_(size) {
    if (size < 0) throw std::out_of_range("Frontier: a tree has no negative size");
    std::int64_t begin = 0;
    for (int level = 62; level >= 0; --level) {
        const std::int64_t count = std::int64_t{1} << level;
        if ((size & count) == 0) continue;
        edge_.push_back({level, begin >> level, nodes(level, begin >> level)});
        begin += count;
    }
}

std::vector<TreeNode> Frontier::append(const Hash& leaf) {
    std::vector<TreeNode> completed;
    TreeNode node{0, size_++, leaf};
    while (!edge_.empty() && edge_.back().level == node.level) {
        node = {node.level + 1, node.index >> 1, node_hash(edge_.back().hash, node.hash)};
        edge_.pop_back();
        completed.push_back(node);
    }
    edge_.push_back(node);
    return completed;
}

Hash Frontier::root() const {
    if (edge_.empty()) return empty_tree_hash();
    Hash root = edge_.back().hash;
    for (auto node = edge_.rbegin() + 1; node != edge_.rend(); ++node)
        root = node_hash(node->hash, root);
    return root;
}

}  // namespace crimpgate
