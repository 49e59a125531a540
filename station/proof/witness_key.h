// A second key, kept elsewhere, that countersigns checkpoints: a lead's own computer, the customer. Its file is one
// line,
//     crimpgate-witness/1 <name> <base64 of the 32-byte seed>
// and beside it stands what it countersigned last, one note a log, so that it never countersigns two pasts. Pure: the
// texts of both files; reading and writing them is the caller's (tools/cli).
#pragma once

#include <string>
#include <string_view>

#include "specs/message.h"
#include "station/proof/consistency.h"

namespace crimpgate {

struct WitnessSecret {
    std::string name;
    Seed seed{};
};

std::string witness_text(const WitnessSecret& secret);
// "witness.malformed".
Result<WitnessSecret> read_witness_text(std::string_view text);
SigningKey witness_key(const WitnessSecret& secret);

struct Countersigned {
    std::string line;  // for the station, without its line end
    std::string note;  // the checkpoint with that line: what the witness keeps
};

// Countersigns a checkpoint of that log at that time. `last`: the note that was countersigned last, empty for the
// first; the new one must extend it, which `proof` shows (an empty text when there is no need of one). `last_log`: the
// log's key that signed `last`, where the log has handed over since; that the one led to the other is the caller's to
// know. Refused as open_checkpoint, read_consistency and verify_extends do.
Result<Countersigned> countersign(std::string_view checkpoint, const VerifierKey& log, const SigningKey& witness,
                                  std::string_view last, std::string_view proof, std::int64_t unix_seconds,
                                  const VerifierKey* last_log = nullptr);

}  // namespace crimpgate
