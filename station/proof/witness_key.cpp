#include "station/proof/witness_key.h"

#include <algorithm>

namespace crimpgate {
namespace {

constexpr std::string_view head = "crimpgate-witness/1 ";

}  // namespace

std::string witness_text(const WitnessSecret& secret) {
    return std::string(head) + secret.name + " " + to_base64(as_text(secret.seed)) + "\n";
}

Result<WitnessSecret> read_witness_text(std::string_view text) {
    const auto wrong = [] { return refuse(message("witness.malformed")); };
    if (!text.starts_with(head) || !text.ends_with('\n')) return wrong();
    text.remove_prefix(head.size());
    text.remove_suffix(1);
    const auto blank = text.find(' ');
    if (blank == std::string_view::npos || !is_key_name(text.substr(0, blank))) return wrong();
    const auto seed = hash_from_base64(text.substr(blank + 1));
    if (!seed) return wrong();
    return WitnessSecret{std::string(text.substr(0, blank)), *seed};
}

SigningKey witness_key(const WitnessSecret& secret) {
    return {secret.name, KeyType::cosignature, secret.seed};
}

Result<Countersigned> countersign(std::string_view checkpoint, const VerifierKey& log, const SigningKey& witness,
                                  std::string_view last, std::string_view proof, std::int64_t unix_seconds,
                                  const VerifierKey* last_log) {
    auto opened = open_checkpoint(checkpoint, log);
    if (!opened) return refuse(std::move(opened.error()));
    if (!last.empty()) {
        // Under its own signature: whoever can write the file beside the key must not be able to make it forget.
        const auto before = open_checkpoint(last, last_log != nullptr ? *last_log : log, {witness.verifier()});
        if (!before) return refuse(before.error());
        if (before->countersigners.empty())
            return refuse(message("witness.last_unsigned").with("name", witness.verifier().name));
        ConsistencyProof shown;
        if (!proof.empty()) {
            auto read = read_consistency(proof);
            if (!read) return refuse(std::move(read.error()));
            shown = std::move(*read);
        }
        if (auto extends = verify_extends(before->checkpoint, opened->checkpoint, shown); !extends)
            return refuse(std::move(extends.error()));
    }
    const NoteSignature signature = cosign_note(opened->note.text, witness, unix_seconds);
    std::erase_if(opened->note.signatures,
                  [&](const NoteSignature& s) { return s.name == signature.name && s.id == signature.id; });
    opened->note.signatures.push_back(signature);
    std::string line = signature.line();
    line.pop_back();
    return Countersigned{std::move(line), opened->note.bytes()};
}

}  // namespace crimpgate
