// Keys that sign what the station says about its record: Ed25519 (RFC 8032) by libsodium, named and written as the
// signed-note format of C2SP asks (c2sp.org/signed-note).
//
// A key has a name (who says it) and a type byte that keeps one key's signatures of different kinds apart. Its id is
// the first four bytes of SHA-256(name || 0A || type || public key) and only helps to find the key; it proves nothing.
// A verifier key as text: name+hex(id)+base64(type || public key). libsodium refuses signatures with S >= L and keys
// of small order, so that a signature has one spelling.
//
// Three keys come from one seed of 32 bytes, so that one recovery page brings all of them back: the checkpoint key is
// the seed's own, the tag key and none other is derived (crypto_kdf, context "cg-tags_", number 1). Secrets are wiped
// when their object goes.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "specs/message.h"
#include "station/proof/hash.h"

namespace crimpgate {

enum class KeyType : unsigned char {
    ed25519 = 0x01,     // signs notes
    cosignature = 0x04  // Ed25519, countersigns checkpoints together with the time
};

using PublicKey = std::array<unsigned char, 32>;
using Signature = std::array<unsigned char, 64>;
using Seed = std::array<unsigned char, 32>;
using KeyId = std::array<unsigned char, 4>;

// Not empty, UTF-8, no blank or control character, no plus.
bool is_key_name(std::string_view name);

struct VerifierKey {
    std::string name;
    KeyType type = KeyType::ed25519;
    PublicKey key{};

    KeyId id() const;
    std::string text() const;
    bool operator==(const VerifierKey&) const = default;
};

// "key.malformed" with `why` ("parts", "name", "id", "base64", "type", "length"), also when the id does not fit the
// rest.
Result<VerifierKey> parse_verifier_key(std::string_view text);

// Whether that key made that signature over those bytes. Nothing else is asked.
bool verify_signature(const PublicKey& key, std::string_view bytes, const Signature& signature);

// What can sign. Copies are copies of a secret: hand out references.
class SigningKey {
  public:
    // Throws std::logic_error when the name is none (ask is_key_name first).
    SigningKey(std::string name, KeyType type, const Seed& seed);
    SigningKey(const SigningKey&) = default;
    SigningKey& operator=(const SigningKey&) = default;
    ~SigningKey();

    const VerifierKey& verifier() const { return verifier_; }
    Signature sign(std::string_view bytes) const;

  private:
    VerifierKey verifier_;
    std::array<unsigned char, 64> secret_{};  // seed || public key, as libsodium keeps it
};

// From the system's random numbers.
Seed new_seed();
// The seed of the key that signs tags.
Seed tag_seed(const Seed& station_seed);
// Forgets it for good.
void wipe(Seed& seed);

}  // namespace crimpgate
