// Signed notes (c2sp.org/signed-note): a text and who signed it, readable by eye.
//
//     text\n... \n           one or more lines, UTF-8, no control character but the line ends
//     \n                     an empty line; the last one of the note is the separator
//     — name base64\n        U+2014, blank, key name, blank, base64(key id || signature field); one line a signature
//
// What is signed is the text with its last line end. A cosignature/v1 (c2sp.org/tlog-cosignature) signs
// "cosignature/v1\ntime <seconds>\n" before the text, and its field is 8 bytes of that time, big-endian, and the 64 of
// the signature. Signatures by unknown keys are passed over, a bad one by a known key refuses the whole note.
// Reading is strict: what it takes, it would write again to the same bytes.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/proof/signing_key.h"

namespace crimpgate {

struct NoteSignature {
    std::string name;
    KeyId id{};
    std::string field;  // what follows the id: 64 bytes for Ed25519, 72 for a cosignature, anything for other types
    bool operator==(const NoteSignature&) const = default;

    std::string line() const;  // with its line end
};

struct SignedNote {
    std::string text;  // with its last line end
    std::vector<NoteSignature> signatures;
    std::string bytes() const;
    bool operator==(const SignedNote&) const = default;
};

inline constexpr std::size_t most_note_signatures = 100;

// "note.malformed" with `why`: "utf8", "control", "end" (no last line end), "separator", "signature" (with `line`),
// "many".
Result<SignedNote> parse_note(std::string_view bytes);
// One signature line, with or without its line end ("note.malformed", why "signature").
Result<NoteSignature> parse_signature_line(std::string_view line);

// The key's type must be ed25519 / cosignature (std::logic_error). The text must be one that parse_note takes.
NoteSignature sign_note(std::string_view text, const SigningKey& key);
NoteSignature cosign_note(std::string_view text, const SigningKey& key, std::int64_t unix_seconds);

// A signature that was found good.
struct Signer {
    VerifierKey key;
    std::optional<std::int64_t> unix_seconds;  // of a cosignature: when its maker says that it was made
    bool operator==(const Signer&) const = default;
};

// One signature against one key. Nothing when it is bad (or of another key).
std::optional<Signer> verify_note_signature(std::string_view text, const NoteSignature& signature,
                                            const VerifierKey& key);

// All signatures by the known keys, in the order of the note; may be none. "note.bad_signature" with `name` when one of
// them is bad.
Result<std::vector<Signer>> verify_note(const SignedNote& note, const std::vector<VerifierKey>& known);

}  // namespace crimpgate
