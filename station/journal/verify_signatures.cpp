#include "station/journal/verify_signatures.h"

#include <algorithm>

#include "station/proof/key_handover.h"

namespace crimpgate {
namespace {

std::string text(const Entry& entry, std::string_view member) {
    const auto* value = entry.body.if_contains(member);
    return value && value->is_string() ? std::string(value->get_string()) : std::string();
}

std::int64_t whole(const Entry& entry, std::string_view member) {
    const auto* value = entry.body.if_contains(member);
    return value && value->is_int64() ? value->get_int64() : -1;
}

Message bad_key(std::string_view why) {
    return message("verify.key").with("why", why);
}

Message bad_checkpoint(std::string_view why) {
    return message("verify.checkpoint").with("why", why);
}

Message bad_countersignature(std::string_view why) {
    return message("verify.countersignature").with("why", why);
}

}  // namespace

bool SignatureCheck::concerns(std::string_view type) {
    static constexpr std::string_view types[] = {"key.made",          "key.handed_over",   "witness.known",
                                                 "witness.forgotten", "checkpoint.signed", "checkpoint.countersigned"};
    return (type.starts_with("key.") || type.starts_with("witness.") || type.starts_with("checkpoint.")) &&
           std::find(std::begin(types), std::end(types), type) != std::end(types);
}

std::optional<Message> SignatureCheck::look(const Entry& entry) {
    if (entry.type == "key.made") return key_made(entry);
    if (entry.type == "key.handed_over") return key_handed_over(entry);
    if (entry.type == "checkpoint.signed") return checkpoint_signed(entry);
    if (entry.type == "checkpoint.countersigned") return checkpoint_countersigned(entry);
    if (entry.type == "witness.known") witnesses_.insert(text(entry, "key"));
    if (entry.type == "witness.forgotten") witnesses_.erase(text(entry, "key"));
    return std::nullopt;
}

std::optional<Message> SignatureCheck::key_made(const Entry& entry) {
    const auto key = parse_verifier_key(text(entry, "key"));
    if (!key || key->type != KeyType::ed25519 || key->name != text(entry, "name")) return bad_key("malformed");
    if (!keys_.empty()) ++orphans_;
    keys_.push_back(*key);
    return std::nullopt;
}

std::optional<Message> SignatureCheck::key_handed_over(const Entry& entry) {
    if (keys_.empty() || keys_.back().text() != text(entry, "old_key")) return bad_key("old_key");
    const auto handed = open_hand_over(text(entry, "statement"), keys_.back());
    if (!handed) return bad_key(handed.error().code);
    if (handed->next.text() != text(entry, "key") || to_base64(as_text(handed->next_tag_key)) != text(entry, "tag_key"))
        return bad_key("another_key");
    keys_.push_back(handed->next);
    return std::nullopt;
}

std::optional<Message> SignatureCheck::checkpoint_signed(const Entry& entry) {
    if (keys_.empty()) return bad_checkpoint("no_key");
    const auto opened = open_checkpoint(text(entry, "note"), keys_.back());
    if (!opened) return bad_checkpoint(opened.error().code);
    const Checkpoint& head = opened->checkpoint;
    if (head.size != whole(entry, "size") || to_base64(head.root) != text(entry, "root"))
        return bad_checkpoint("entry");
    if (head.size >= entry.seq || head.size < signed_size_) return bad_checkpoint("size");
    if (root_at_(head.size) != head.root) return bad_checkpoint("root");
    ++checkpoints_;
    signed_size_ = head.size;
    texts_[head.size] = opened->note.text;
    return std::nullopt;
}

std::optional<Message> SignatureCheck::checkpoint_countersigned(const Entry& entry) {
    const std::string key_text = text(entry, "key");
    const auto key = parse_verifier_key(key_text);
    if (!key || key->type != KeyType::cosignature) return bad_countersignature("key");
    if (!witnesses_.contains(key_text)) return bad_countersignature("unknown_witness");
    const auto signed_text = texts_.find(whole(entry, "size"));
    if (signed_text == texts_.end()) return bad_countersignature("no_checkpoint");
    const auto signature = parse_signature_line(text(entry, "line"));
    if (!signature) return bad_countersignature("line");
    const auto signer = verify_note_signature(signed_text->second, *signature, *key);
    if (!signer || signer->unix_seconds != whole(entry, "signed_utc_s")) return bad_countersignature("signature");
    ++countersignatures_;
    return std::nullopt;
}

}  // namespace crimpgate
