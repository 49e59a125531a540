// One record's proof as a file of its own (c2sp.org/tlog-proof@v1): its place, the siblings on the way to the root, and
// the checkpoint with that root, verbatim. With the record's bytes and the station's public key nothing else is needed.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/proof/checkpoint.h"

namespace crimpgate {

struct TlogProof {
    std::optional<std::string> extra;  // bytes that whoever made it put in; means nothing here
    std::int64_t index = 0;
    std::vector<Hash> hashes;
    std::string checkpoint;  // the signed note
    bool operator==(const TlogProof&) const = default;
};

std::string write_tlog_proof(const TlogProof& proof);
// "tlog_proof.malformed" with `why` ("head", "extra", "index", "hash", "end").
Result<TlogProof> read_tlog_proof(std::string_view bytes);

// That the record stands at that place under that checkpoint; the checkpoint with its countersigners. Refused as
// open_checkpoint does, or with "tlog_proof.not_included" (index, size).
Result<SignedCheckpoint> verify_tlog_proof(const TlogProof& proof, std::string_view record, const VerifierKey& log,
                                           const std::vector<VerifierKey>& witnesses = {});

}  // namespace crimpgate
