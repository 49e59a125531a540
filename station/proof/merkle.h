// The record as a Merkle tree (RFC 9162 section 2.1): one root for all entries, short proofs that one is among them and
// that a later root extends an earlier one.
//
// Trees are made from *perfect* subtrees: node (level, index) is the root over the 2^level leaves from
// index * 2^level on, and never changes once its leaves are there. Level 0 are the leaf hashes. Whoever keeps them
// hands them out through a NodeSource, and every function below asks it O(log size) times.
//
// Two traps that verifiers must know (both are tests): a proof does not bind the size of the tree, so the size comes
// from a signed checkpoint and never from whoever brought the proof; an inner node offered as a leaf hash verifies
// in a smaller tree, so the leaf hash is always computed from the bytes.
//
// Misuse (an index outside the tree) throws std::out_of_range; what the source throws passes through.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "station/proof/hash.h"

namespace crimpgate {

// The node of that level (0: a leaf's hash) and index.
using NodeSource = std::function<Hash(int level, std::int64_t index)>;

struct TreeNode {
    int level = 0;
    std::int64_t index = 0;
    Hash hash{};
    bool operator==(const TreeNode&) const = default;
};

// Root over the first `size` leaves (RFC 9162 section 2.1.1); of none: empty_tree_hash().
Hash tree_root(const NodeSource& nodes, std::int64_t size);

// Siblings on the way from leaf `index` to the root of the first `size` leaves, the leaf's first (section 2.1.3.1).
std::vector<Hash> inclusion_proof(const NodeSource& nodes, std::int64_t index, std::int64_t size);

// What shows that the tree of `to` leaves begins with the tree of `from` leaves (section 2.1.4.1); 0 < from <= to, and
// empty when they are equal.
std::vector<Hash> consistency_proof(const NodeSource& nodes, std::int64_t from, std::int64_t to);

// RFC 9162 section 2.1.3.2. `size` and `root` come from a signed checkpoint, `leaf` from the entry's bytes.
bool verify_inclusion(std::int64_t index, std::int64_t size, const Hash& leaf, const std::vector<Hash>& proof,
                      const Hash& root);

// RFC 9162 section 2.1.4.2; sizes and roots come from two signed checkpoints. A tree of nothing is extended by every
// tree, but there is nothing to prove: from = 0 is false here.
bool verify_consistency(std::int64_t from, std::int64_t to, const std::vector<Hash>& proof, const Hash& from_root,
                        const Hash& to_root);

// The right edge of a growing tree: what is needed to go on without reading anything.
class Frontier {
  public:
    Frontier() = default;
    // The edge of the tree of the first `size` leaves: O(log size) questions.
    Frontier(const NodeSource& nodes, std::int64_t size);

    // Takes the next leaf; gives back the perfect subtrees of level 1 and more that it completed, lowest first.
    std::vector<TreeNode> append(const Hash& leaf);

    std::int64_t size() const { return size_; }
    Hash root() const;

  private:
    std::int64_t size_ = 0;
    std::vector<TreeNode> edge_;  // perfect subtrees from left to right, levels falling: the binary digits of size_
};

}  // namespace crimpgate
