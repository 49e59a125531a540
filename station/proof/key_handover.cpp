#include "station/proof/key_handover.h"

#include <stdexcept>

#include "station/proof/text_lines.h"

namespace crimpgate {
namespace {

constexpr std::string_view head = "crimpgate-key/1 ";

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("handover.malformed").with("why", why));
}

}  // namespace

std::string sign_hand_over(const HandOver& to, const SigningKey& old) {
    if (to.next.name != old.verifier().name || to.next.type != KeyType::ed25519)
        throw std::logic_error("sign_hand_over: the new key has another name or another type");
    SignedNote note;
    note.text =
        std::string(head) + to.next.name + "\n" + to.next.text() + "\n" + to_base64(as_text(to.next_tag_key)) + "\n";
    note.signatures.push_back(sign_note(note.text, old));
    return note.bytes();
}

Result<HandOver> open_hand_over(std::string_view bytes, const VerifierKey& old) {
    const auto note = parse_note(bytes);
    if (!note) return malformed("note");
    const auto lines = lines_of(note->text);
    if (!lines || lines->size() != 3 || !(*lines)[0].starts_with(head)) return malformed("head");
    auto next = parse_verifier_key((*lines)[1]);
    if (!next || next->type != KeyType::ed25519) return malformed("key");
    if (next->name != old.name || (*lines)[0].substr(head.size()) != old.name) return malformed("name");
    const auto tag_key = hash_from_base64((*lines)[2]);
    if (!tag_key) return malformed("tag_key");
    const auto signers = verify_note(*note, {old});
    if (!signers) return refuse(signers.error());
    if (signers->empty()) return refuse(message("handover.unsigned").with("name", old.name));
    return HandOver{std::move(*next), *tag_key};
}

Result<std::vector<VerifierKey>> follow_hand_overs(const VerifierKey& first, const std::vector<std::string>& notes) {
    std::vector<VerifierKey> keys = {first};
    for (const auto& note : notes) {
        auto next = open_hand_over(note, keys.back());
        if (!next) return refuse(std::move(next.error()));
        keys.push_back(std::move(next->next));
    }
    return keys;
}

}  // namespace crimpgate
