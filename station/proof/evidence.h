// The evidence file: everything that a stranger needs to check what the record says of some assemblies, but the shop's
// public key.
//
// Canonical JSON (RFC 8785) in one line:
//   {"checkpoint":"note, verbatim","entries":[{"bytes":"exact bytes of the entry","proof":["base64",...],"seq":n},...],
//    "format":"crimpgate-evidence/1","handovers":["note",...],"key":"verifier key","name":"key name","serials":[...]}
// `key` is the key that signed the checkpoint, `handovers` lead to it from older ones. Entry n is leaf n - 1. Entries
// stand in the order of their numbers, each once.
//
// Pure: no file, no clock. What was found is said as codes ("evidence.*"), each with its details, so that page, command
// line and paper say the same.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/proof/checkpoint.h"

namespace crimpgate {

inline constexpr std::string_view evidence_format = "crimpgate-evidence/1";

struct EvidenceEntry {
    std::int64_t seq = 0;
    std::string bytes;
    std::vector<Hash> proof;  // inclusion of leaf seq - 1 in the checkpoint's tree
    bool operator==(const EvidenceEntry&) const = default;
};

struct Evidence {
    std::string name;                    // key name of the station
    std::string key;                     // verifier key that signed the checkpoint
    std::vector<std::string> handovers;  // notes, oldest first; may be empty
    std::vector<std::string> serials;    // what it is about
    std::string checkpoint;              // signed note, with countersignatures if there are any
    std::vector<EvidenceEntry> entries;
    bool operator==(const Evidence&) const = default;
};

// The bytes of the file.
std::string write_evidence(const Evidence& evidence);

// "evidence.malformed" with `why` (a member's name, "canonical", "format", "order") or a json.* code. Nothing is proved
// by reading.
Result<Evidence> read_evidence(std::string_view bytes);

// What is known of the keys besides the file: the shop's public key, got from somewhere else, and those of witnesses.
struct TrustedKeys {
    VerifierKey station;
    std::vector<VerifierKey> witnesses;
};

struct EvidenceCheck {
    std::optional<Message> failed;  // the first thing that is wrong; nothing when all is well
    std::int64_t failed_seq = 0;    // of the entry concerned; 0: none in particular
    Checkpoint checkpoint;          // valid when the signature was good
    std::vector<Signer> countersigners;
    std::vector<Message> proved;      // what is proved, in order, for a person to read; empty when something failed
    std::vector<Message> not_proved;  // what is not, and never can be by this means
    bool good() const { return !failed; }
};

// Everything: keys and hand-overs, checkpoint, every entry's form, number and place in the tree.
//
// failed: "note.*", "checkpoint.*", "handover.*", "evidence.other_key" (the file's key is neither the trusted one nor
// reached from it), "evidence.entry_changed" (seq: its bytes are not at that place under the checkpoint),
// "evidence.entry_form" (seq, why), "evidence.entry_number" (seq), "evidence.beyond" (seq, size),
// "evidence.serial_missing" (serial: nothing in the file names it), "evidence.no_entries".
// proved: "evidence.proved.signed" (name, size), "evidence.proved.entries" (count), "evidence.proved.countersigned"
// (name, time), "evidence.proved.handed_over" (count).
// not_proved: "evidence.not.honest", "evidence.not.this_hose", "evidence.not.complete", "evidence.not.time" (when no
// countersignature bounds it) or "evidence.not.time_before" (time).
EvidenceCheck check_evidence(const Evidence& evidence, const TrustedKeys& trusted);

}  // namespace crimpgate
