// Keys, checkpoints and countersignatures of an invented day made true: the day is written down before there is a
// journal, so whoever lives through it signs what is there by then. Keys that everybody knows; good for tests only.
#pragma once

#include <string>
#include <utility>

#include "station/journal/checkpoints.h"
#include "station/proof/checkpoint.h"
#include "station/proof/key_handover.h"
#include "tests/station/journal_kit.h"

namespace journal_kit {

inline SigningKey test_station_key(unsigned char n = 1) {
    return {"test-station", KeyType::ed25519, Seed{n}};
}

inline PublicKey test_tag_key(unsigned char n = 1) {
    return SigningKey("test-station", KeyType::ed25519, tag_seed(Seed{n})).verifier().key;
}

inline SigningKey test_witness_key() {
    return {"lead-desk", KeyType::cosignature, Seed{99}};
}

// The draft as it stands, or with true content in place of the invented one.
inline Draft made_true(const Journal& journal, Draft draft) {
    const auto set = [&](const char* member, const std::string& text) { draft.body[member] = text; };
    const SigningKey key = test_station_key();
    if (draft.type == "key.made" || draft.type == "key.handed_over") {
        const bool made = draft.type == "key.made";
        const unsigned char n = made ? 1 : 2;
        set("name", key.verifier().name);
        set("key", test_station_key(n).verifier().text());
        set("tag_key", to_base64(as_text(test_tag_key(n))));
        if (!made) {
            set("old_key", key.verifier().text());
            set("statement", sign_hand_over({test_station_key(n).verifier(), test_tag_key(n)}, key));
        }
    } else if (draft.type == "witness.known" || draft.type == "witness.forgotten") {
        set("key", test_witness_key().verifier().text());
    } else if (draft.type == "checkpoint.signed") {
        const auto size = must(journal.last_seq());
        const Hash root = must(journal.root(size));
        draft.body["size"] = size;
        set("root", to_base64(root));
        set("note", sign_checkpoint(size, root, key).bytes());
    } else if (draft.type == "checkpoint.countersigned") {
        const auto last = must(last_checkpoint(journal));
        REQUIRE(last);
        const auto time = draft.body.at("signed_utc_s").as_int64();
        const auto note = must(parse_note(last->note));
        std::string line = cosign_note(note.text, test_witness_key(), time).line();
        line.pop_back();
        draft.body["size"] = last->size;
        set("key", test_witness_key().verifier().text());
        set("line", line);
    }
    return draft;
}

}  // namespace journal_kit
