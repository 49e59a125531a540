// What the tag's two-dimensional code says, signed, so that a phone without a network can check it.
//
// A deterministic CBOR array (RFC 8949 section 4.2.1: shortest heads, definite lengths)
//     [1, key id (4 bytes), serial, order, date YYYYMMDD, working pressure kPa, verdict, worst margin um, station]
// and behind it the 64 bytes of an Ed25519 signature over "crimpgate-tag/1\0" || the array's bytes, by the tag key: the
// prefix and a key of its own keep a tag's signature from ever passing for a checkpoint's. Written as "CG1:" and
// base45, or as a link in capitals, <shop link>/C/<base32>.
//
// What a good signature says: this station issued these words. Not that this hose is the one they were issued for: a
// tag can be copied, so the serial is looked up, too.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "specs/message.h"
#include "station/proof/signing_key.h"

namespace crimpgate {

inline constexpr std::string_view tag_code_prefix = "CG1:";

struct TagStatement {
    KeyId key{};  // of the tag key (tag_key_id)
    std::string serial;
    std::string order;
    std::int64_t date = 0;          // 20250304
    std::int64_t pressure_kpa = 0;  // working pressure of the assembly
    bool on_concession = false;     // verdict 1; 0: passed
    std::int64_t margin_um =
        0;  // of the reading nearest to its limit, negative outside; whole micrometres, rounded down
    std::string station;
    bool operator==(const TagStatement&) const = default;
};

// Of a tag key: its id among the station's keys, as a verifier key of type ed25519 with the station key's name.
KeyId tag_key_id(std::string_view key_name, const PublicKey& tag_key);

// The array's bytes, and the array's bytes with the signature. Numbers below zero other than the margin and texts that
// are not UTF-8 or longer than 64 bytes throw std::logic_error.
std::string tag_array(const TagStatement& statement);
std::string sign_tag(const TagStatement& statement, const SigningKey& tag_key);

// The statement of those bytes; no key is asked. "tag_code.malformed" with `why` ("length", "cbor", "version", "key",
// "text", "number", "verdict"): whatever is not byte for byte what tag_array writes is refused.
Result<TagStatement> read_tag(std::string_view signed_bytes);
// The same, and the signature is good: "tag_code.other_key" when the key id is not that key's,
// "tag_code.bad_signature".
Result<TagStatement> verify_tag(std::string_view signed_bytes, std::string_view key_name, const PublicKey& tag_key);

// "CG1:..." and "HTTPS://SHOP.EXAMPLE/C/...". The link is put in capitals, which its host must not mind.
std::string tag_code(std::string_view signed_bytes);
std::string tag_link(std::string_view shop_link, std::string_view signed_bytes);
// From either form ("tag_code.malformed", why "form").
Result<std::string> tag_bytes(std::string_view code_or_link);

}  // namespace crimpgate
