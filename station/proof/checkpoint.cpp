#include "station/proof/checkpoint.h"

#include <algorithm>
#include <stdexcept>

#include "station/proof/text_lines.h"

namespace crimpgate {
namespace {

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("checkpoint.malformed").with("why", why));
}

}  // namespace

std::string checkpoint_text(const Checkpoint& checkpoint) {
    if (!is_key_name(checkpoint.name) || checkpoint.size < 0)
        throw std::logic_error("checkpoint_text: no name or a size below zero");
    std::string text =
        checkpoint.name + "\n" + std::to_string(checkpoint.size) + "\n" + to_base64(checkpoint.root) + "\n";
    for (const auto& line : checkpoint.more) {
        if (line.empty() || line.find('\n') != std::string::npos)
            throw std::logic_error("checkpoint_text: a further line is one line and not empty");
        text += line + "\n";
    }
    return text;
}

Result<Checkpoint> read_checkpoint(std::string_view text) {
    const auto lines = lines_of(text);
    if (!lines || lines->size() < 3) return malformed("lines");
    Checkpoint checkpoint;
    checkpoint.name = (*lines)[0];
    if (!is_key_name(checkpoint.name)) return malformed("name");
    const auto size = strict_number((*lines)[1]);
    if (!size) return malformed("size");
    checkpoint.size = *size;
    const auto root = hash_from_base64((*lines)[2]);
    if (!root) return malformed("root");
    checkpoint.root = *root;
    for (std::size_t i = 3; i < lines->size(); ++i) {
        if ((*lines)[i].empty()) return malformed("lines");
        checkpoint.more.emplace_back((*lines)[i]);
    }
    return checkpoint;
}

SignedNote sign_checkpoint(std::int64_t size, const Hash& root, const SigningKey& key) {
    SignedNote note{checkpoint_text({key.verifier().name, size, root, {}}), {}};
    note.signatures.push_back(sign_note(note.text, key));
    return note;
}

Result<SignedCheckpoint> open_checkpoint(std::string_view bytes, const VerifierKey& log,
                                         const std::vector<VerifierKey>& witnesses) {
    auto note = parse_note(bytes);
    if (!note) return refuse(std::move(note.error()));
    auto checkpoint = read_checkpoint(note->text);
    if (!checkpoint) return refuse(std::move(checkpoint.error()));
    if (checkpoint->name != log.name)
        return refuse(message("checkpoint.other_name").with("name", checkpoint->name).with("wanted", log.name));
    std::vector<VerifierKey> known = {log};
    for (const auto& witness : witnesses)
        if (witness != log) known.push_back(witness);
    auto signers = verify_note(*note, known);
    if (!signers) return refuse(std::move(signers.error()));
    const auto by_log = [&](const Signer& signer) { return signer.key == log; };
    if (std::none_of(signers->begin(), signers->end(), by_log))
        return refuse(message("checkpoint.unsigned").with("name", log.name));
    std::erase_if(*signers, by_log);
    return SignedCheckpoint{std::move(*checkpoint), std::move(*note), std::move(*signers)};
}

}  // namespace crimpgate
