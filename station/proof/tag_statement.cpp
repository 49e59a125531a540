#include "station/proof/tag_statement.h"

#include <algorithm>
#include <optional>
#include <stdexcept>

#include "station/json/canonical.h"
#include "station/proof/base45.h"

namespace crimpgate {
namespace {

constexpr std::string_view signing_context("crimpgate-tag/1\0", 16);
constexpr std::int64_t version = 1;
constexpr std::size_t members = 9;
constexpr std::size_t longest_text = 64;
constexpr std::size_t signature_size = 64;
constexpr std::string_view link_part = "/C/";

// Major types of RFC 8949 section 3.1.
constexpr unsigned unsigned_number = 0, negative_number = 1, byte_string = 2, text_string = 3, array = 4;

void head(std::string& out, unsigned major, std::uint64_t value) {
    const auto first = [&](unsigned low) { out += static_cast<char>(major << 5 | low); };
    const auto tail = [&](int count) {
        for (int shift = 8 * (count - 1); shift >= 0; shift -= 8)
            out += static_cast<char>(value >> shift & 0xFF);
    };
    if (value < 24) {
        first(static_cast<unsigned>(value));
    } else if (value <= 0xFF) {
        first(24);
        tail(1);
    } else if (value <= 0xFFFF) {
        first(25);
        tail(2);
    } else if (value <= 0xFFFFFFFF) {
        first(26);
        tail(4);
    } else {
        first(27);
        tail(8);
    }
}

void number(std::string& out, std::int64_t value) {
    if (value >= 0)
        head(out, unsigned_number, static_cast<std::uint64_t>(value));
    else
        head(out, negative_number, static_cast<std::uint64_t>(-(value + 1)));
}

void text(std::string& out, std::string_view value) {
    head(out, text_string, value.size());
    out += value;
}

// Reads the few kinds that a tag holds. It takes more than one spelling of a number: whoever reads writes again and
// compares, which is one rule in place of many.
class Reader {
  public:
    explicit Reader(std::string_view bytes) : rest_(bytes) {}

    std::optional<std::uint64_t> head(unsigned major) {
        if (rest_.empty() || static_cast<unsigned char>(rest_[0]) >> 5 != major) return std::nullopt;
        const unsigned low = static_cast<unsigned char>(rest_[0]) & 31;
        rest_.remove_prefix(1);
        if (low < 24) return low;
        if (low > 27) return std::nullopt;
        const std::size_t count = std::size_t{1} << (low - 24);
        if (rest_.size() < count) return std::nullopt;
        std::uint64_t value = 0;
        for (const char c : rest_.substr(0, count))
            value = value << 8 | static_cast<unsigned char>(c);
        rest_.remove_prefix(count);
        return value;
    }

    std::optional<std::int64_t> number() {
        const bool negative = !rest_.empty() && static_cast<unsigned char>(rest_[0]) >> 5 == negative_number;
        const auto value = head(negative ? negative_number : unsigned_number);
        if (!value || *value > static_cast<std::uint64_t>(json_integer_limit)) return std::nullopt;
        return negative ? -static_cast<std::int64_t>(*value) - 1 : static_cast<std::int64_t>(*value);
    }

    std::optional<std::string> string(unsigned major, std::size_t longest) {
        const auto size = head(major);
        if (!size || *size > longest || *size > rest_.size()) return std::nullopt;
        std::string out(rest_.substr(0, static_cast<std::size_t>(*size)));
        rest_.remove_prefix(out.size());
        return out;
    }

    bool at_end() const { return rest_.empty(); }

  private:
    std::string_view rest_;
};

tl::unexpected<Message> malformed(std::string_view why) {
    return refuse(message("tag_code.malformed").with("why", why));
}

std::string signed_part(std::string_view array_bytes) {
    return std::string(signing_context) + std::string(array_bytes);
}

Result<TagStatement> read_array(std::string_view bytes) {
    Reader reader(bytes);
    if (reader.head(array) != members) return malformed("cbor");
    if (reader.number() != version) return malformed("version");
    const auto key = reader.string(byte_string, 4);
    if (!key || key->size() != 4) return malformed("key");
    TagStatement out;
    out.key = *as_array<4>(*key);
    const auto take_text = [&](std::string& place) {
        auto value = reader.string(text_string, longest_text);
        if (!value || !is_utf8(*value)) return false;
        place = std::move(*value);
        return true;
    };
    const auto take_number = [&](std::int64_t& place, bool may_be_negative) {
        const auto value = reader.number();
        if (!value || (*value < 0 && !may_be_negative)) return false;
        place = *value;
        return true;
    };
    std::int64_t verdict = 0;
    if (!take_text(out.serial) || !take_text(out.order)) return malformed("text");
    if (!take_number(out.date, false) || !take_number(out.pressure_kpa, false)) return malformed("number");
    if (!take_number(verdict, false) || verdict > 1) return malformed("verdict");
    out.on_concession = verdict == 1;
    if (!take_number(out.margin_um, true)) return malformed("number");
    if (!take_text(out.station)) return malformed("text");
    if (!reader.at_end()) return malformed("length");
    return out;
}

}  // namespace

KeyId tag_key_id(std::string_view key_name, const PublicKey& tag_key) {
    return VerifierKey{std::string(key_name), KeyType::ed25519, tag_key}.id();
}

std::string tag_array(const TagStatement& s) {
    if (s.date < 0 || s.pressure_kpa < 0) throw std::logic_error("tag_array: a date or a pressure below zero");
    for (const auto* words : {&s.serial, &s.order, &s.station})
        if (words->size() > longest_text || !is_utf8(*words))
            throw std::logic_error("tag_array: a text that a tag cannot hold");
    std::string out;
    head(out, array, members);
    number(out, version);
    head(out, byte_string, s.key.size());
    out += as_text(s.key);
    text(out, s.serial);
    text(out, s.order);
    number(out, s.date);
    number(out, s.pressure_kpa);
    number(out, s.on_concession ? 1 : 0);
    number(out, s.margin_um);
    text(out, s.station);
    return out;
}

std::string sign_tag(const TagStatement& statement, const SigningKey& tag_key) {
    if (statement.key != tag_key.verifier().id()) throw std::logic_error("sign_tag: the statement names another key");
    std::string out = tag_array(statement);
    const Signature signature = tag_key.sign(signed_part(out));
    out += as_text(signature);
    return out;
}

Result<TagStatement> read_tag(std::string_view signed_bytes) {
    if (signed_bytes.size() <= signature_size) return malformed("length");
    const std::string_view bytes = signed_bytes.substr(0, signed_bytes.size() - signature_size);
    auto out = read_array(bytes);
    if (out && tag_array(*out) != bytes) return malformed("cbor");
    return out;
}

Result<TagStatement> verify_tag(std::string_view signed_bytes, std::string_view key_name, const PublicKey& tag_key) {
    auto statement = read_tag(signed_bytes);
    if (!statement) return statement;
    if (statement->key != tag_key_id(key_name, tag_key))
        return refuse(message("tag_code.other_key").with("serial", statement->serial).with("name", key_name));
    const auto split = signed_bytes.size() - signature_size;
    if (!verify_signature(tag_key, signed_part(signed_bytes.substr(0, split)),
                          *as_array<64>(signed_bytes.substr(split))))
        return refuse(message("tag_code.bad_signature").with("serial", statement->serial));
    return statement;
}

std::string tag_code(std::string_view signed_bytes) {
    return std::string(tag_code_prefix) + to_base45(signed_bytes);
}

std::string tag_link(std::string_view shop_link, std::string_view signed_bytes) {
    std::string link(shop_link);
    while (link.ends_with('/'))
        link.pop_back();
    for (char& c : link)
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
    return link + std::string(link_part) + to_base32(signed_bytes);
}

Result<std::string> tag_bytes(std::string_view code_or_link) {
    std::optional<std::string> bytes;
    if (code_or_link.starts_with(tag_code_prefix)) {
        bytes = from_base45(code_or_link.substr(tag_code_prefix.size()));
    } else if (code_or_link.starts_with("HTTPS://") || code_or_link.starts_with("HTTP://")) {
        const auto at = code_or_link.rfind(link_part);
        if (at != std::string_view::npos) bytes = from_base32(code_or_link.substr(at + link_part.size()));
    }
    if (!bytes) return malformed("form");
    return std::move(*bytes);
}

}  // namespace crimpgate
