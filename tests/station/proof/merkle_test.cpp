// The record's tree against the vectors of RFC 6962 / RFC 9162 section 2.1, and against a plain tree of any size.
#include "station/proof/merkle.h"

#include <algorithm>
#include <bit>

#include <rapidcheck.h>

#include "tests/station/proof/proof_kit.h"

using namespace proof_kit;

namespace {

PlainTree reference_tree(const json::object& data) {
    PlainTree tree;
    for (const auto& leaf : data.at("leaves").as_array())
        tree.add(bytes_of_hex(leaf));
    return tree;
}

void flip(Hash& hash, int bit) {
    hash[static_cast<std::size_t>(bit / 8)] ^= static_cast<unsigned char>(1 << bit % 8);
}

bool included(const json::object& one) {
    return verify_inclusion(one.at("index").as_int64(), one.at("size").as_int64(), hash_of_hex(one.at("leaf_hash")),
                            hashes_of(one.at("proof")), hash_of_hex(one.at("root")));
}

bool consistent(const json::object& one) {
    return verify_consistency(one.at("size1").as_int64(), one.at("size2").as_int64(), hashes_of(one.at("proof")),
                              hash_of_hex(one.at("root1")), hash_of_hex(one.at("root2")));
}

}  // namespace

TEST_CASE("leaf, node and empty hashes are those of RFC 6962 section 2.1") {
    const auto data = data_json("merkle_rfc6962.json");
    const auto& leaves = data.at("leaves").as_array();
    for (std::size_t i = 0; i < leaves.size(); ++i)
        CHECK(leaf_hash(bytes_of_hex(leaves[i])) == hash_of_hex(data.at("leaf_hashes").at(i)));
    CHECK(to_hex(empty_tree_hash()) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    const auto tree = reference_tree(data);
    CHECK(to_hex(node_hash(tree.leaf(0), tree.leaf(1))) ==
          "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125");
}

TEST_CASE("the roots of all sizes up to eight are the published ones, by stored nodes and by the growing edge") {
    const auto data = data_json("merkle_rfc6962.json");
    const auto tree = reference_tree(data);
    Frontier edge;
    for (const auto& one : data.at("roots").as_array()) {
        const auto size = one.at("size").as_int64();
        const Hash root = hash_of_hex(one.at("root"));
        INFO("size " << size);
        CHECK(tree_root(tree.source(), size) == root);
        CHECK(edge.size() == size);
        CHECK(edge.root() == root);
        CHECK(Frontier(tree.source(), size).root() == root);
        if (size < tree.size()) edge.append(tree.leaf(size));
    }
    // The same roots once more, from the other file.
    std::string csv = data_text("merkle_roots.csv");
    std::size_t at = csv.find('\n') + 1;
    std::int64_t size = 0;
    for (; at < csv.size(); ++size) {
        const auto end = csv.find('\n', at);
        const std::string line = csv.substr(at, end - at);
        CHECK(to_hex(tree_root(tree.source(), size)) == line.substr(line.rfind(',') + 1, 64));
        at = end + 1;
    }
    CHECK(size == 9);
}

TEST_CASE("all 36 inclusion and 36 consistency proofs of the reference tree are made and verified") {
    const auto data = data_json("merkle_rfc6962.json");
    const auto tree = reference_tree(data);
    REQUIRE(data.at("inclusion").as_array().size() == 36);
    for (const auto& one : data.at("inclusion").as_array()) {
        const auto& o = one.as_object();
        INFO(json::serialize(o));
        CHECK(inclusion_proof(tree.source(), o.at("index").as_int64(), o.at("size").as_int64()) ==
              hashes_of(o.at("proof")));
        CHECK(included(o));
    }
    REQUIRE(data.at("consistency").as_array().size() == 36);
    for (const auto& one : data.at("consistency").as_array()) {
        const auto& o = one.as_object();
        INFO(json::serialize(o));
        CHECK(consistency_proof(tree.source(), o.at("size1").as_int64(), o.at("size2").as_int64()) ==
              hashes_of(o.at("proof")));
        CHECK(consistent(o));
    }
}

TEST_CASE("R3: the thirty proofs that must fail do fail") {
    const auto data = data_json("merkle_rfc6962.json");
    REQUIRE(data.at("negative").as_array().size() == 30);
    int verified_in_full = 0;
    for (const auto& one : data.at("negative").as_array()) {
        const auto& o = one.as_object();
        INFO(text(o.at("why")));
        // A hash of another length cannot even be written as one here: reading refuses it.
        std::vector<std::string> hashes;
        for (const auto& hash : o.at("proof").as_array())
            hashes.push_back(bytes_of_hex(hash));
        for (const char* name : {"leaf_hash", "root", "root1", "root2"})
            if (const auto* value = o.if_contains(name)) hashes.push_back(bytes_of_hex(*value));
        const auto odd =
            std::find_if(hashes.begin(), hashes.end(), [](const std::string& hash) { return hash.size() != 32; });
        if (odd != hashes.end()) {
            CHECK_FALSE(as_array<32>(*odd));
            CHECK_FALSE(hash_from_base64(to_base64(*odd)));
            continue;
        }
        ++verified_in_full;
        const bool verified = text(o.at("type")) == "inclusion" ? included(o) : consistent(o);
        CHECK_FALSE(verified);
    }
    CHECK(verified_in_full == 27);
}

TEST_CASE("the two traps: a proof does not bind the size, and a node can pass for a leaf's hash in a smaller tree") {
    // Both verify, which is why the size is taken from the checkpoint and the leaf's hash from the bytes.
    const auto data = data_json("merkle_rfc6962.json");
    REQUIRE(data.at("size_not_bound_by_proof").as_array().size() == 2);
    for (const auto& one : data.at("size_not_bound_by_proof").as_array())
        CHECK(included(one.as_object()));
}

TEST_CASE("R3: in a tree of any size every proof verifies and no flipped bit does") {
    CHECK(rc::check("inclusion and consistency", [] {
        const auto size = *rc::gen::inRange<std::int64_t>(1, 301);
        const auto index = *rc::gen::inRange<std::int64_t>(0, size);
        const auto from = *rc::gen::inRange<std::int64_t>(1, size + 1);
        const auto tree = tree_of(size);
        const Hash root = tree.root(0, size);
        const Hash from_root = tree.root(0, from);
        RC_ASSERT(tree_root(tree.source(), size) == root);

        auto proof = inclusion_proof(tree.source(), index, size);
        RC_ASSERT(verify_inclusion(index, size, tree.leaf(index), proof, root));
        auto extends = consistency_proof(tree.source(), from, size);
        RC_ASSERT(verify_consistency(from, size, extends, from_root, root));

        const int bit = *rc::gen::inRange(0, 256);
        for (auto& hash : proof) {
            flip(hash, bit);
            RC_ASSERT_FALSE(verify_inclusion(index, size, tree.leaf(index), proof, root));
            flip(hash, bit);
        }
        for (auto& hash : extends) {
            flip(hash, bit);
            RC_ASSERT_FALSE(verify_consistency(from, size, extends, from_root, root));
            flip(hash, bit);
        }
        Hash other = root;
        flip(other, bit);
        RC_ASSERT_FALSE(verify_inclusion(index, size, tree.leaf(index), proof, other));
        RC_ASSERT_FALSE(verify_consistency(from, size, extends, from_root, other));
        other = tree.leaf(index);
        flip(other, bit);
        RC_ASSERT_FALSE(verify_inclusion(index, size, other, proof, root));
        other = from_root;
        flip(other, bit);
        RC_ASSERT_FALSE(verify_consistency(from, size, extends, other, root));
        // One more, one fewer, another place.
        if (size > 1) RC_ASSERT_FALSE(verify_inclusion((index + 1) % size, size, tree.leaf(index), proof, root));
        proof.push_back(root);
        RC_ASSERT_FALSE(verify_inclusion(index, size, tree.leaf(index), proof, root));
        extends.push_back(root);
        RC_ASSERT_FALSE(verify_consistency(from, size, extends, from_root, root));
        extends.pop_back();
        if (!extends.empty()) {
            extends.pop_back();
            RC_ASSERT_FALSE(verify_consistency(from, size, extends, from_root, root));
        }
    }));
}

TEST_CASE("proofs and roots ask for logarithmically many nodes") {
    const auto tree = tree_of(300);
    for (std::int64_t size = 1; size <= 300; ++size) {
        const int levels = std::bit_width(static_cast<std::uint64_t>(size));
        tree.asked_ = 0;
        tree_root(tree.source(), size);
        CHECK(tree.asked_ <= levels);
        tree.asked_ = 0;
        inclusion_proof(tree.source(), size / 3, size);
        CHECK(tree.asked_ <= 2 * levels);
        tree.asked_ = 0;
        consistency_proof(tree.source(), size / 2 + 1, size);
        CHECK(tree.asked_ <= 2 * levels);
    }
}

TEST_CASE("a growing tree hands out each perfect subtree once, when its last leaf comes") {
    const auto tree = tree_of(300);
    Frontier edge;
    std::size_t handed_out = 0;
    for (std::int64_t i = 0; i < tree.size(); ++i) {
        if (i % 7 == 0) edge = Frontier(tree.source(), i);  // begun anew from stored nodes: the same
        for (const auto& node : edge.append(tree.leaf(i))) {
            ++handed_out;
            const std::int64_t count = std::int64_t{1} << node.level;
            INFO("level " << node.level << ", index " << node.index);
            CHECK(node.level >= 1);
            CHECK((node.index + 1) * count == i + 1);
            CHECK(node.hash == tree.root(node.index * count, count));
        }
        CHECK(edge.root() == tree.root(0, i + 1));
    }
    CHECK(handed_out == 150 + 75 + 37 + 18 + 9 + 4 + 2 + 1);
}

TEST_CASE("asking outside of the tree is a mistake of the program") {
    const auto tree = tree_of(3);
    CHECK_THROWS_AS(inclusion_proof(tree.source(), 3, 3), std::out_of_range);
    CHECK_THROWS_AS(inclusion_proof(tree.source(), -1, 3), std::out_of_range);
    CHECK_THROWS_AS(consistency_proof(tree.source(), 0, 3), std::out_of_range);
    CHECK_THROWS_AS(consistency_proof(tree.source(), 4, 3), std::out_of_range);
    CHECK_THROWS_AS(tree_root(tree.source(), -1), std::out_of_range);
    CHECK_FALSE(verify_inclusion(3, 3, Hash{}, {}, Hash{}));
    CHECK_FALSE(verify_inclusion(-1, 3, Hash{}, {}, Hash{}));
    CHECK_FALSE(verify_consistency(0, 3, {}, Hash{}, Hash{}));
    CHECK_FALSE(verify_consistency(4, 3, {}, Hash{}, Hash{}));
}
