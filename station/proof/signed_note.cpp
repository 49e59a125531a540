#include "station/proof/signed_note.h"

#include <algorithm>
#include <stdexcept>

#include "station/json/canonical.h"

namespace crimpgate {
namespace {

constexpr std::string_view dash = "\xE2\x80\x94 ";  // U+2014 and a blank

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("note.malformed").with("why", why));
}

std::string big_endian(std::int64_t number) {
    std::string bytes;
    for (int shift = 56; shift >= 0; shift -= 8)
        bytes += static_cast<char>((number >> shift) & 0xFF);
    return bytes;
}

std::string cosigned_bytes(std::string_view text, std::int64_t unix_seconds) {
    return "cosignature/v1\ntime " + std::to_string(unix_seconds) + "\n" + std::string(text);
}

void must_be(const SigningKey& key, KeyType type, const char* what) {
    if (key.verifier().type != type) throw std::logic_error(what);
}

}  // namespace

std::string NoteSignature::line() const {
    std::string bytes(as_text(id));
    bytes += field;
    return std::string(dash) + name + " " + to_base64(bytes) + "\n";
}

std::string SignedNote::bytes() const {
    std::string out = text + "\n";
    for (const auto& signature : signatures)
        out += signature.line();
    return out;
}

Result<NoteSignature> parse_signature_line(std::string_view line) {
    const auto wrong = [&] { return refuse(message("note.malformed").with("why", "signature").with("line", line)); };
    if (line.ends_with('\n')) line.remove_suffix(1);
    if (!line.starts_with(dash)) return wrong();
    const std::string_view rest = line.substr(dash.size());
    const auto blank = rest.find(' ');
    if (blank == std::string_view::npos) return wrong();
    NoteSignature signature;
    signature.name = rest.substr(0, blank);
    const auto bytes = from_base64(rest.substr(blank + 1));
    if (signature.name.empty() || signature.name.find('+') != std::string::npos || !bytes || bytes->size() <= 4)
        return wrong();
    signature.id = *as_array<4>(std::string_view(*bytes).substr(0, 4));
    signature.field = bytes->substr(4);
    return signature;
}

Result<SignedNote> parse_note(std::string_view bytes) {
    if (!is_utf8(bytes)) return malformed("utf8");
    if (std::any_of(bytes.begin(), bytes.end(),
                    [](char c) { return static_cast<unsigned char>(c) < 0x20 && c != '\n'; }))
        return malformed("control");
    if (!bytes.ends_with('\n')) return malformed("end");
    const auto separator = bytes.rfind("\n\n");
    if (separator == std::string_view::npos || separator == 0) return malformed("separator");
    SignedNote note;
    note.text = bytes.substr(0, separator + 1);
    std::string_view rest = bytes.substr(separator + 2);
    if (rest.empty()) return malformed("separator");
    while (!rest.empty()) {
        const auto end = rest.find('\n');
        auto signature = parse_signature_line(rest.substr(0, end));
        if (!signature) return refuse(std::move(signature.error()));
        if (note.signatures.size() == most_note_signatures) return malformed("many");
        note.signatures.push_back(std::move(*signature));
        rest.remove_prefix(end + 1);
    }
    return note;
}

NoteSignature sign_note(std::string_view text, const SigningKey& key) {
    must_be(key, KeyType::ed25519, "sign_note: not a key for notes");
    return {key.verifier().name, key.verifier().id(), std::string(as_text(key.sign(text)))};
}

NoteSignature cosign_note(std::string_view text, const SigningKey& key, std::int64_t unix_seconds) {
    must_be(key, KeyType::cosignature, "cosign_note: not a key for countersignatures");
    if (unix_seconds < 0) throw std::logic_error("cosign_note: a time before 1970");
    std::string field = big_endian(unix_seconds);
    field += as_text(key.sign(cosigned_bytes(text, unix_seconds)));
    return {key.verifier().name, key.verifier().id(), std::move(field)};
}

std::optional<Signer> verify_note_signature(std::string_view text, const NoteSignature& signature,
                                            const VerifierKey& key) {
    if (signature.name != key.name || signature.id != key.id()) return std::nullopt;
    std::string_view field = signature.field;
    Signer signer{key, std::nullopt};
    std::string signed_bytes(text);
    if (key.type == KeyType::cosignature) {
        if (field.size() != 8 + 64) return std::nullopt;
        std::uint64_t seconds = 0;
        for (const char c : field.substr(0, 8))
            seconds = seconds << 8 | static_cast<unsigned char>(c);
        if (seconds > static_cast<std::uint64_t>(json_integer_limit)) return std::nullopt;
        signer.unix_seconds = static_cast<std::int64_t>(seconds);
        signed_bytes = cosigned_bytes(text, *signer.unix_seconds);
        field.remove_prefix(8);
    }
    const auto bytes = as_array<64>(field);
    if (!bytes || !verify_signature(key.key, signed_bytes, *bytes)) return std::nullopt;
    return signer;
}

Result<std::vector<Signer>> verify_note(const SignedNote& note, const std::vector<VerifierKey>& known) {
    std::vector<Signer> signers;
    for (const auto& signature : note.signatures) {
        const auto key = std::find_if(known.begin(), known.end(), [&](const VerifierKey& k) {
            return k.name == signature.name && k.id() == signature.id;
        });
        if (key == known.end()) continue;
        auto signer = verify_note_signature(note.text, signature, *key);
        if (!signer) return refuse(message("note.bad_signature").with("name", signature.name));
        signers.push_back(std::move(*signer));
    }
    return signers;
}

}  // namespace crimpgate
