// Checkpoints (c2sp.org/tlog-checkpoint): the record's tree head as a signed note,
//     name\nsize\nbase64 root\n
// with perhaps further lines, which are kept and mean nothing here. Once signed, no tree may ever be signed with this
// key that does not extend it.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/proof/signed_note.h"

namespace crimpgate {

struct Checkpoint {
    std::string name;  // of the log: the key name of its checkpoint key
    std::int64_t size = 0;
    Hash root{};
    std::vector<std::string> more;  // further lines, without their ends
    bool operator==(const Checkpoint&) const = default;
};

// The note's text. Throws std::logic_error on a name or a line that no note can hold.
std::string checkpoint_text(const Checkpoint& checkpoint);

// From a note's text; "checkpoint.malformed" with `why` ("name", "size", "root", "lines").
Result<Checkpoint> read_checkpoint(std::string_view text);

// A checkpoint whose signature by the log's key is good.
struct SignedCheckpoint {
    Checkpoint checkpoint;
    SignedNote note;
    std::vector<Signer> countersigners;  // good signatures by known witnesses
};

// Signs; the checkpoint's name is the key's.
SignedNote sign_checkpoint(std::int64_t size, const Hash& root, const SigningKey& key);

// "note.malformed", "checkpoint.malformed", "checkpoint.other_name" (name, wanted), "note.bad_signature" (name),
// "checkpoint.unsigned" (name: no signature by that key).
Result<SignedCheckpoint> open_checkpoint(std::string_view note, const VerifierKey& log,
                                         const std::vector<VerifierKey>& witnesses = {});

}  // namespace crimpgate
