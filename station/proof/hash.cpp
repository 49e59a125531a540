#include "station/proof/hash.h"

#include <initializer_list>
#include <memory>
#include <stdexcept>

#include <openssl/evp.h>
#include <sodium.h>

namespace crimpgate {
namespace {

// libcrypto, since it uses the processor's instructions for SHA-256 where there are any: three to four times as fast on
// a journal's entries as libsodium, and verifying a journal is mostly this. The algorithm is fetched once and a context
// kept for each thread: finding and making them costs more than hashing an entry.
class Sha256 {
  public:
    Sha256()
        : algorithm_(EVP_MD_fetch(nullptr, "SHA256", nullptr), &EVP_MD_free),
          context_(EVP_MD_CTX_new(), &EVP_MD_CTX_free) {
        require(algorithm_ && context_);
    }

    Hash of(std::initializer_list<std::string_view> parts) {
        require(EVP_DigestInit_ex2(context_.get(), algorithm_.get(), nullptr) == 1);
        for (const auto part : parts)
            require(EVP_DigestUpdate(context_.get(), part.data(), part.size()) == 1);
        Hash hash{};
        require(EVP_DigestFinal_ex(context_.get(), hash.data(), nullptr) == 1);
        return hash;
    }

  private:
    static void require(bool good) {
        if (!good) throw std::runtime_error("libcrypto has no SHA-256");
    }
    std::unique_ptr<EVP_MD, decltype(&EVP_MD_free)> algorithm_;
    std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context_;
};

Hash hash_of(std::initializer_list<std::string_view> parts) {
    thread_local Sha256 sha256;
    return sha256.of(parts);
}

constexpr std::string_view leaf_prefix("\x00", 1);
constexpr std::string_view node_prefix("\x01", 1);
constexpr int base64_variant = sodium_base64_VARIANT_ORIGINAL;

}  // namespace

Hash sha256(std::string_view bytes) {
    return hash_of({bytes});
}

Hash leaf_hash(std::string_view bytes) {
    return hash_of({leaf_prefix, bytes});
}

Hash node_hash(const Hash& left, const Hash& right) {
    return hash_of({node_prefix, as_text(left), as_text(right)});
}

Hash empty_tree_hash() {
    return hash_of({});
}

std::string to_hex(std::string_view bytes) {
    constexpr char digits[] = "0123456789abcdef";
    std::string text;
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        text += digits[byte >> 4];
        text += digits[byte & 15];
    }
    return text;
}

std::string to_hex(const Hash& hash) {
    return to_hex(as_text(hash));
}

std::optional<std::string> from_hex(std::string_view text) {
    const auto digit = [](char c) { return c >= '0' && c <= '9' ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1; };
    if (text.size() % 2 != 0) return std::nullopt;
    std::string bytes;
    for (std::size_t i = 0; i < text.size(); i += 2) {
        const int high = digit(text[i]);
        const int low = digit(text[i + 1]);
        if (high < 0 || low < 0) return std::nullopt;
        bytes += static_cast<char>(high * 16 + low);
    }
    return bytes;
}

std::string to_base64(std::string_view bytes) {
    std::string text(sodium_base64_encoded_len(bytes.size(), base64_variant), '\0');
    sodium_bin2base64(text.data(), text.size(), reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(),
                      base64_variant);
    text.pop_back();  // the zero that libsodium puts behind
    return text;
}

std::string to_base64(const Hash& hash) {
    return to_base64(as_text(hash));
}

std::optional<std::string> from_base64(std::string_view text) {
    std::string bytes(text.size() / 4 * 3 + 3, '\0');
    std::size_t length = 0;
    const char* end = nullptr;
    if (sodium_base642bin(reinterpret_cast<unsigned char*>(bytes.data()), bytes.size(), text.data(), text.size(),
                          nullptr, &length, &end, base64_variant) != 0 ||
        end != text.data() + text.size())
        return std::nullopt;
    bytes.resize(length);
    if (to_base64(bytes) != text) return std::nullopt;
    return bytes;
}

std::optional<Hash> hash_from_base64(std::string_view text) {
    const auto bytes = from_base64(text);
    if (!bytes) return std::nullopt;
    return as_array<32>(*bytes);
}

}  // namespace crimpgate
