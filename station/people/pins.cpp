// libsodium's Argon2id and SHA-256, and the PINs that nobody may have.
#include "station/people/pins.h"

#include <sodium.h>

#include <algorithm>
#include <array>
#include <stdexcept>

namespace crimpgate {
namespace {

constexpr std::size_t least_digits = 6;
constexpr std::size_t most_digits = 64;
constexpr unsigned long long passes = 2;
constexpr std::size_t memory_bytes = 19ULL * 1024 * 1024;

void ready() {
    if (sodium_init() < 0) throw std::runtime_error("libsodium does not start");
}

// Each digit the one before plus `step`, round from 9 to 0: 123456, 987654, 111111, 246802.
bool runs_by(std::string_view pin, int step) {
    for (std::size_t i = 1; i < pin.size(); ++i)
        if ((pin[i - 1] - '0' + step + 10) % 10 != pin[i] - '0') return false;
    return true;
}

// One piece over and over: 121212, 123123.
bool repeats(std::string_view pin) {
    for (std::size_t piece = 1; piece <= pin.size() / 2; ++piece) {
        if (pin.size() % piece != 0) continue;
        bool same = true;
        for (std::size_t i = piece; same && i < pin.size(); ++i)
            same = pin[i] == pin[i - piece];
        if (same) return true;
    }
    return false;
}

// Keypad patterns and pairs that lists of the most used PINs agree on (common practice).
constexpr std::array<std::string_view, 12> usual = {"112233", "123321", "147258", "159753", "654321", "789456",
                                                    "159357", "258456", "123654", "456789", "332211", "102030"};

}  // namespace

Result<void> pin_may_be_used(std::string_view pin) {
    if (!std::all_of(pin.begin(), pin.end(), [](char c) { return c >= '0' && c <= '9'; }))
        return refuse(message("people.pin_not_digits"));
    if (pin.size() < least_digits)
        return refuse(message("people.pin_too_short").with("least", std::to_string(least_digits)));
    if (pin.size() > most_digits)
        return refuse(message("people.pin_too_long").with("most", std::to_string(most_digits)));
    const bool listed = std::find(usual.begin(), usual.end(), pin) != usual.end();
    if (listed || repeats(pin) || runs_by(pin, 1) || runs_by(pin, -1) || runs_by(pin, 2) || runs_by(pin, -2))
        return refuse(message("people.pin_too_common"));
    return {};
}

Result<std::string> hash_pin(std::string_view pin) {
    if (auto ok = pin_may_be_used(pin); !ok) return refuse(std::move(ok.error()));
    return hash_of_secret(pin);
}

std::string hash_of_secret(std::string_view secret) {
    ready();
    std::array<char, crypto_pwhash_STRBYTES> out{};
    if (crypto_pwhash_str_alg(out.data(), secret.data(), secret.size(), passes, memory_bytes,
                              crypto_pwhash_ALG_ARGON2ID13) != 0)
        throw std::runtime_error("no memory for Argon2id");
    return std::string(out.data());
}

bool pin_fits(const std::string& hash, std::string_view pin) {
    ready();
    if (!hash.starts_with("$argon2id$") || hash.size() >= crypto_pwhash_STRBYTES) return false;
    std::array<char, crypto_pwhash_STRBYTES> text{};
    std::copy(hash.begin(), hash.end(), text.begin());
    return crypto_pwhash_str_verify(text.data(), pin.data(), pin.size()) == 0;
}

void pretend_to_check(std::string_view pin) {
    ready();
    std::array<unsigned char, 32> key{};
    const std::array<unsigned char, crypto_pwhash_SALTBYTES> salt{};
    if (crypto_pwhash(key.data(), key.size(), pin.data(), pin.size(), salt.data(), passes, memory_bytes,
                      crypto_pwhash_ALG_ARGON2ID13) != 0)
        throw std::runtime_error("no memory for Argon2id");
}

std::string sha256_hex(std::string_view bytes) {
    ready();
    std::array<unsigned char, crypto_hash_sha256_BYTES> hash{};
    crypto_hash_sha256(hash.data(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    std::array<char, 2 * crypto_hash_sha256_BYTES + 1> text{};
    sodium_bin2hex(text.data(), text.size(), hash.data(), hash.size());
    return std::string(text.data());
}

}  // namespace crimpgate
