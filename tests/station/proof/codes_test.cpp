// base45 and base32, and the statement on a tag.
#include <rapidcheck.h>

#include "station/proof/base45.h"
#include "station/proof/tag_statement.h"
#include "tests/station/proof/proof_kit.h"

using namespace proof_kit;

namespace {

const std::string key_name = "crimp.example/station-1";

SigningKey tag_key() {
    return {key_name, KeyType::ed25519, tag_seed(test_seed(1))};
}

TagStatement statement() {
    TagStatement s;
    s.key = tag_key().verifier().id();
    s.serial = "K100C";
    s.order = "4711-2";
    s.date = 20250304;
    s.pressure_kpa = 27500;
    s.margin_um = 42;
    s.station = "bench-1";
    return s;
}

std::string why(const std::string& array) {
    const auto read = read_tag(array + std::string(64, 's'));
    return read ? "taken" : std::string(read.error().detail("why"));
}

std::string random_bytes() {
    return *rc::gen::container<std::string>(rc::gen::arbitrary<char>());
}

// The array of the statement with one piece of its bytes put in place of another.
std::string with(const std::string& what_hex, const std::string& by_hex) {
    std::string bytes = tag_array(statement());
    const std::string what = *from_hex(what_hex);
    const auto at = bytes.find(what);
    REQUIRE(at != std::string::npos);
    return bytes.replace(at, what.size(), *from_hex(by_hex));
}

}  // namespace

TEST_CASE("base45 is that of RFC 9285, and its seven wrong texts are refused") {
    const auto data = data_json("base45_rfc9285.json");
    for (const auto& one : data.at("valid").as_array()) {
        const std::string bytes = bytes_of_hex(one.at("bytes_hex"));
        CHECK(to_base45(bytes) == text(one.at("text")));
        CHECK(from_base45(text(one.at("text"))) == bytes);
    }
    REQUIRE(data.at("invalid").as_array().size() == 7);
    for (const auto& one : data.at("invalid").as_array()) {
        INFO(text(one.at("why")));
        CHECK_FALSE(from_base45(text(one.at("text"))));
    }
}

TEST_CASE("base32 is that of RFC 4648 section 10, without padding") {
    const std::pair<const char*, const char*> vectors[] = {{"", ""},
                                                           {"f", "MY"},
                                                           {"fo", "MZXQ"},
                                                           {"foo", "MZXW6"},
                                                           {"foob", "MZXW6YQ"},
                                                           {"fooba", "MZXW6YTB"},
                                                           {"foobar", "MZXW6YTBOI"}};
    for (const auto& [bytes, words] : vectors) {
        CHECK(to_base32(bytes) == words);
        CHECK(from_base32(words) == bytes);
    }
    for (const char* bad : {"M", "MZX", "MZXW6Y", "MZ", "mzxq", "MZXQ====", "MZX1", "MZXR"})
        CHECK_FALSE(from_base32(bad));
}

TEST_CASE("whatever bytes there are, both codes give them back and use only characters that a QR code packs") {
    CHECK(rc::check("there and back", [] {
        const std::string bytes = random_bytes();
        const std::string a = to_base45(bytes);
        const std::string b = to_base32(bytes);
        RC_ASSERT(from_base45(a) == bytes);
        RC_ASSERT(from_base32(b) == bytes);
        const std::string alphanumeric = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
        RC_ASSERT(a.find_first_not_of(alphanumeric) == std::string::npos);
        RC_ASSERT(b.find_first_not_of(alphanumeric) == std::string::npos);
    }));
}

TEST_CASE("a tag's statement is written in deterministic CBOR") {
    // By hand after RFC 8949: 89 array(9), 01, 44 bytes(4), 65 text(5), 66 text(6), 1a uint32, 19 uint16, 00, 18 uint8.
    const std::string id = to_hex(as_text(tag_key().verifier().id()));
    CHECK(to_hex(tag_array(statement())) == "890144" + id + "654b31303043" + "66343731312d32" + "1a0134fec0" +
                                                "196b6c" + "00" + "182a" + "6762656e63682d31");
    // The numbers of RFC 8949 appendix A, each as the margin.
    const auto data = data_json("cbor_rfc8949.json");
    for (const auto& one : data.at("integers").as_array()) {
        auto s = statement();
        s.margin_um = one.at("decoded").to_number<std::int64_t>();
        INFO(s.margin_um);
        CHECK(to_hex(tag_array(s)).ends_with("00" + text(one.at("hex")) + "6762656e63682d31"));
        CHECK(must(read_tag(sign_tag(s, tag_key()))) == s);
    }
    for (const auto& one : data.at("texts").as_array()) {
        auto s = statement();
        s.station = text(one.at("decoded"));
        CHECK(to_hex(tag_array(s)).ends_with("182a" + text(one.at("hex"))));
        CHECK(must(read_tag(sign_tag(s, tag_key()))) == s);
    }
}

TEST_CASE("what is not byte for byte deterministic CBOR is no statement") {
    REQUIRE(why(tag_array(statement())) == "taken");
    CHECK(why(with("182a", "19002a")) == "cbor");                // 42 in three bytes
    CHECK(why(with("182a", "1801")) == "cbor");                  // 1 in two bytes
    CHECK(why(with("182a", "190001")) == "cbor");                // 1 in three
    CHECK(why(with("182a", "1c")) == "number");                  // reserved
    CHECK(why(with("182a", "fb3ff0000000000000")) == "number");  // a floating-point number
    CHECK(why(with("182a", "f6")) == "number");                  // null
    CHECK(why(with("182a", "1bffffffffffffffff")) == "number");  // beyond what is kept exactly
    CHECK(why(with("00182a", "20182a")) == "verdict");           // -1
    CHECK(why(with("00182a", "02182a")) == "verdict");
    CHECK(why(with("1a0134fec0", "3a0134fec0")) == "number");                // a date below zero
    CHECK(why(with("6762656e63682d31", "7f6762656e63682d31ff")) == "text");  // indefinite text
    CHECK(why(with("6762656e63682d31", "780762656e63682d31")) == "cbor");    // length in two bytes
    CHECK(why(with("6762656e63682d31", "61ff")) == "text");                  // not UTF-8
    CHECK(why(with("6762656e63682d31", "6762656e63682d")) == "text");        // cut short
    CHECK(why(with("6762656e63682d31", "4762656e63682d31")) == "text");      // bytes in place of text
    CHECK(why(with("6762656e63682d31", "6762656e63682d3100")) == "length");  // something behind it
    CHECK(why(with("890144", "9f0144")) == "cbor");                          // indefinite array
    CHECK(why(with("890144", "8a0144")) == "cbor");
    CHECK(why(with("890144", "890244")) == "version");
    CHECK(why(with("890144", "89015801")) == "key");  // a key id of one byte, its length in two
    CHECK(why(with("890144", "890164")) == "key");
    CHECK(why("") == "length");
    for (std::size_t i = 1; i < tag_array(statement()).size(); ++i)
        CHECK(why(tag_array(statement()).substr(0, i)) != "taken");
}

TEST_CASE("R11: a tag's statement verifies with the tag key alone, and no bit of it can be changed") {
    const auto key = tag_key();
    const std::string bytes = sign_tag(statement(), key);
    CHECK(must(verify_tag(bytes, key_name, key.verifier().key)) == statement());
    for (std::size_t i = 0; i < bytes.size() * 8; ++i) {
        std::string other = bytes;
        other[i / 8] = static_cast<char>(other[i / 8] ^ (1 << i % 8));
        CHECK_FALSE(verify_tag(other, key_name, key.verifier().key));
    }
    CHECK(verify_tag(bytes, key_name, station_key().verifier().key).error().code == "tag_code.other_key");
    auto forged = bytes;
    forged.back() = static_cast<char>(forged.back() ^ 1);
    CHECK(verify_tag(forged, key_name, key.verifier().key).error().code == "tag_code.bad_signature");
    // The same bytes signed without the prefix, as a note would be, are no tag.
    std::string as_note = tag_array(statement());
    const Signature signature = key.sign(as_note);
    as_note += as_text(signature);
    CHECK(verify_tag(as_note, key_name, key.verifier().key).error().code == "tag_code.bad_signature");
    auto other_key = statement();
    other_key.key = {};
    CHECK_THROWS_AS(sign_tag(other_key, key), std::logic_error);
    auto too_long = statement();
    too_long.order = std::string(65, 'x');
    CHECK_THROWS_AS(tag_array(too_long), std::logic_error);
}

TEST_CASE("a tag's code and its link give the same bytes back") {
    const std::string bytes = sign_tag(statement(), tag_key());
    const std::string code = tag_code(bytes);
    CHECK(code.starts_with("CG1:"));
    CHECK(must(tag_bytes(code)) == bytes);
    const std::string link = tag_link("https://hoses.example/", bytes);
    CHECK(link.starts_with("HTTPS://HOSES.EXAMPLE/C/"));
    CHECK(must(tag_bytes(link)) == bytes);
    CHECK(code.find_first_not_of("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:") == std::string::npos);
    CHECK(link.find_first_not_of("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:") == std::string::npos);
    for (const char* bad : {"", "CG1:A", "CG2:BB8", "HTTPS://HOSES.EXAMPLE/", "HTTPS://HOSES.EXAMPLE/C/1",
                            "FTP://HOSES.EXAMPLE/C/MY", "K100C"})
        CHECK(tag_bytes(bad).error().code == "tag_code.malformed");
    // What decides the size on a 25 mm label (a symbol of version 7 holds 154 such characters at level M).
    CHECK(code.size() < 175);
}
