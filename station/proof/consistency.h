// The file that proves one checkpoint to extend another, to go beside the two:
//     crimpgate-consistency/1
//     from <size>
//     to <size>
//     <base64 hash>            as RFC 9162 section 2.1.4.1 lists them
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/proof/checkpoint.h"

namespace crimpgate {

struct ConsistencyProof {
    std::int64_t from = 0;
    std::int64_t to = 0;
    std::vector<Hash> hashes;
    bool operator==(const ConsistencyProof&) const = default;
};

std::string write_consistency(const ConsistencyProof& proof);
// "consistency.malformed" with `why` ("head", "size", "hash").
Result<ConsistencyProof> read_consistency(std::string_view text);

// That the later checkpoint's tree begins with the earlier one's: "consistency.other_log" (old, new),
// "consistency.shrunk" (old, new: sizes), "consistency.two_trees" (size: of one size, with two roots),
// "consistency.other_sizes" (from, to: the proof is of others), "consistency.not_extended" (old, new). A tree of
// nothing is extended by every other. Signatures are the caller's.
Result<void> verify_extends(const Checkpoint& older, const Checkpoint& newer, const ConsistencyProof& proof);

}  // namespace crimpgate
