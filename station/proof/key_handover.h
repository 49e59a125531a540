// One key hands over to the next: a note signed by the old key whose text is
//     crimpgate-key/1 <name>\n<new verifier key>\n<new tag key, base64 of 32 bytes>\n
// so that whoever trusts the old key need not be told the new one by anybody.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"
#include "station/proof/signed_note.h"

namespace crimpgate {

struct HandOver {
    VerifierKey next;
    PublicKey next_tag_key{};
    bool operator==(const HandOver&) const = default;
};

// `old` signs. Both keys bear one name (std::logic_error otherwise).
std::string sign_hand_over(const HandOver& to, const SigningKey& old);

// "handover.malformed" with `why` ("note", "head", "key", "tag_key", "name"), "note.bad_signature", "handover.unsigned"
// (name).
Result<HandOver> open_hand_over(std::string_view note, const VerifierKey& old);

// Every key from `first` on, each by its predecessor's word; the first refusal stops it.
Result<std::vector<VerifierKey>> follow_hand_overs(const VerifierKey& first, const std::vector<std::string>& notes);

}  // namespace crimpgate
