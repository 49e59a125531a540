#include "station/proof/signing_key.h"

#include <algorithm>
#include <stdexcept>

#include <sodium.h>

#include "station/json/canonical.h"

namespace crimpgate {
namespace {

// Random numbers and the fast code paths want it; calling it again is free.
void ready() {
    if (sodium_init() < 0) throw std::runtime_error("libsodium cannot be started");
}

const unsigned char* bytes_of(std::string_view text) {
    return reinterpret_cast<const unsigned char*>(text.data());
}

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("key.malformed").with("why", why));
}

}  // namespace

bool is_key_name(std::string_view name) {
    if (name.empty() || !is_utf8(name)) return false;
    // Beyond ASCII there are more blanks than a person sees; a key name needs none of them.
    return std::all_of(name.begin(), name.end(), [](char c) { return c > ' ' && c < '\x7f' && c != '+'; });
}

KeyId VerifierKey::id() const {
    std::string all = name + "\n";
    all += static_cast<char>(type);
    all += as_text(key);
    const Hash hash = sha256(all);
    return {hash[0], hash[1], hash[2], hash[3]};
}

std::string VerifierKey::text() const {
    std::string typed(1, static_cast<char>(type));
    typed += as_text(key);
    return name + "+" + to_hex(as_text(id())) + "+" + to_base64(typed);
}

Result<VerifierKey> parse_verifier_key(std::string_view text) {
    const auto first = text.find('+');
    if (first == std::string_view::npos) return malformed("parts");
    const auto second = text.find('+', first + 1);  // base64 may hold more of them
    if (second == std::string_view::npos) return malformed("parts");
    VerifierKey key;
    key.name = text.substr(0, first);
    if (!is_key_name(key.name)) return malformed("name");
    const auto typed = from_base64(text.substr(second + 1));
    if (!typed || typed->empty()) return malformed("base64");
    const auto type = static_cast<unsigned char>((*typed)[0]);
    if (type != static_cast<unsigned char>(KeyType::ed25519) &&
        type != static_cast<unsigned char>(KeyType::cosignature))
        return malformed("type");
    key.type = static_cast<KeyType>(type);
    const auto bytes = as_array<32>(std::string_view(*typed).substr(1));
    if (!bytes) return malformed("length");
    key.key = *bytes;
    if (to_hex(as_text(key.id())) != text.substr(first + 1, second - first - 1)) return malformed("id");
    return key;
}

bool verify_signature(const PublicKey& key, std::string_view bytes, const Signature& signature) {
    return crypto_sign_verify_detached(signature.data(), bytes_of(bytes), bytes.size(), key.data()) == 0;
}

SigningKey::SigningKey(std::string name, KeyType type, const Seed& seed) : verifier_{std::move(name), type, {}} {
    ready();
    if (!is_key_name(verifier_.name)) throw std::logic_error("SigningKey: no key name: " + verifier_.name);
    crypto_sign_seed_keypair(verifier_.key.data(), secret_.data(), seed.data());
}

SigningKey::~SigningKey() {
    sodium_memzero(secret_.data(), secret_.size());
}

Signature SigningKey::sign(std::string_view bytes) const {
    Signature signature{};
    crypto_sign_detached(signature.data(), nullptr, bytes_of(bytes), bytes.size(), secret_.data());
    return signature;
}

Seed new_seed() {
    ready();
    Seed seed{};
    randombytes_buf(seed.data(), seed.size());
    return seed;
}

Seed tag_seed(const Seed& station_seed) {
    static_assert(crypto_kdf_KEYBYTES == sizeof(Seed) && crypto_kdf_CONTEXTBYTES == 8);
    ready();
    Seed seed{};
    crypto_kdf_derive_from_key(seed.data(), seed.size(), 1, "cg-tags_", station_seed.data());
    return seed;
}

void wipe(Seed& seed) {
    sodium_memzero(seed.data(), seed.size());
}

}  // namespace crimpgate
