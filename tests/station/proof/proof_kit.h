// What the tests of trees and signatures share: the check values of tests/data/proof, and keys that everybody knows.
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include <boost/json.hpp>

#include "station/proof/merkle.h"
#include "station/proof/signing_key.h"
#include "tests/support/catch.h"

namespace proof_kit {

using namespace crimpgate;
namespace json = boost::json;

inline std::string file_text(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    INFO(file.string());
    REQUIRE(in.good());
    return {std::istreambuf_iterator<char>(in), {}};
}

inline std::string data_text(const std::string& name) {
    return file_text(std::filesystem::path(CRIMPGATE_SOURCE_DIR) / "tests/data/proof" / name);
}

inline json::object data_json(const std::string& name) {
    return json::parse(data_text(name)).as_object();
}

inline std::string text(const json::value& value) {
    return std::string(value.as_string());
}

inline std::string bytes_of_hex(const json::value& value) {
    const auto bytes = from_hex(text(value));
    REQUIRE(bytes);
    return *bytes;
}

inline Hash hash_of_hex(const json::value& value) {
    const auto hash = as_array<32>(bytes_of_hex(value));
    REQUIRE(hash);
    return *hash;
}

inline std::vector<Hash> hashes_of(const json::value& value) {
    std::vector<Hash> out;
    for (const auto& item : value.as_array())
        out.push_back(hash_of_hex(item));
    return out;
}

template <class T>
T must(Result<T> result) {
    if (!result) {
        std::string told = result.error().code;
        for (const auto& detail : result.error().details)
            told += " " + detail.name + "=" + detail.text;
        FAIL("refused: " << told);
    }
    return std::move(*result);
}

// RFC 8032 section 7.1, TEST 1 and TEST 2: public for ever, good for tests only.
inline Seed test_seed(int n) {
    return *as_array<32>(*from_hex(n == 1 ? "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60"
                                          : "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb"));
}

inline SigningKey station_key(const std::string& name = "crimp.example/station-1") {
    return {name, KeyType::ed25519, test_seed(1)};
}

inline SigningKey witness_key() {
    return {"auditor.example/w1", KeyType::cosignature, test_seed(2)};
}

// A tree in memory, every node reckoned anew from the leaves: slow, plain, and not how the station does it.
class PlainTree {
  public:
    void add(const std::string& bytes) { leaves_.push_back(leaf_hash(bytes)); }
    std::int64_t size() const { return static_cast<std::int64_t>(leaves_.size()); }
    const Hash& leaf(std::int64_t i) const { return leaves_.at(static_cast<std::size_t>(i)); }

    // RFC 9162 section 2.1.1, word for word.
    Hash root(std::int64_t begin, std::int64_t count) const {
        if (count == 0) return sha256("");
        if (count == 1) return leaf(begin);
        std::int64_t k = 1;
        while (k * 2 < count)
            k *= 2;
        return node_hash(root(begin, k), root(begin + k, count - k));
    }

    NodeSource source() const {
        return [this](int level, std::int64_t index) {
            ++asked_;
            const std::int64_t count = std::int64_t{1} << level;
            REQUIRE((index + 1) * count <= size());  // only perfect subtrees may be asked for
            return root(index * count, count);
        };
    }
    mutable int asked_ = 0;

  private:
    std::vector<Hash> leaves_;
};

inline PlainTree tree_of(std::int64_t size) {
    PlainTree tree;
    for (std::int64_t i = 0; i < size; ++i)
        tree.add("entry " + std::to_string(i));
    return tree;
}

inline std::string code_of(const Message& message) {
    return message.code;
}

}  // namespace proof_kit
