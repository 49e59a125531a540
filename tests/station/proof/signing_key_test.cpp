// Signatures against RFC 8032 section 7.1, and against public vectors of others where they are at hand.
#include "station/proof/signing_key.h"

#include "tests/station/proof/proof_kit.h"

using namespace proof_kit;

TEST_CASE("the signatures of RFC 8032 section 7.1 come out byte for byte") {
    const auto data = data_json("ed25519_rfc8032.json");
    REQUIRE(data.at("valid").as_array().size() == 4);
    for (const auto& one : data.at("valid").as_array()) {
        INFO(text(one.at("name")));
        const SigningKey key("test", KeyType::ed25519, *as_array<32>(bytes_of_hex(one.at("secret"))));
        const std::string message = bytes_of_hex(one.at("message"));
        CHECK(to_hex(as_text(key.verifier().key)) == text(one.at("public")));
        const Signature signature = key.sign(message);
        CHECK(to_hex(as_text(signature)) == text(one.at("signature")));
        CHECK(verify_signature(key.verifier().key, message, signature));
        for (std::size_t bit = 0; bit < 512; ++bit) {
            Signature other = signature;
            other[bit / 8] ^= static_cast<unsigned char>(1 << bit % 8);
            CHECK_FALSE(verify_signature(key.verifier().key, message, other));
        }
    }
}

TEST_CASE("altered signatures are refused, the one with S beyond the group's order included") {
    const auto data = data_json("ed25519_rfc8032.json");
    REQUIRE(data.at("invalid").as_array().size() == 8);
    for (const auto& one : data.at("invalid").as_array()) {
        INFO(text(one.at("why")));
        const auto key = as_array<32>(bytes_of_hex(one.at("public")));
        const auto signature = as_array<64>(bytes_of_hex(one.at("signature")));
        const bool good = key && signature && verify_signature(*key, bytes_of_hex(one.at("message")), *signature);
        CHECK_FALSE(good);
    }
}

TEST_CASE("public Ed25519 vectors of others are judged alike") {
    const auto file = std::filesystem::path(CRIMPGATE_SOURCE_DIR) /
                      "../shared/reference/data/third_party/wycheproof_ed25519_test.json";
    if (!std::filesystem::exists(file)) {
        WARN("skipped: ../shared/reference/data/third_party/wycheproof_ed25519_test.json is not here");
        return;
    }
    const auto data = json::parse(file_text(file));
    std::int64_t seen = 0;
    for (const auto& group : data.at("testGroups").as_array()) {
        const auto key = as_array<32>(bytes_of_hex(group.at("publicKey").at("pk")));
        REQUIRE(key);
        for (const auto& one : group.at("tests").as_array()) {
            ++seen;
            INFO("number " << one.at("tcId").as_int64() << ": " << text(one.at("comment")));
            const auto signature = as_array<64>(bytes_of_hex(one.at("sig")));
            const bool good = signature && verify_signature(*key, bytes_of_hex(one.at("msg")), *signature);
            CHECK(good == (text(one.at("result")) == "valid"));
        }
    }
    CHECK(seen == data.at("numberOfTests").as_int64());
}

TEST_CASE("verifier keys are written as the signed-note format writes them") {
    const auto data = data_json("tlog_c2sp.json");
    CHECK(station_key().verifier().text() == text(data.at("checkpoint").at("vkey")));
    CHECK(to_hex(as_text(station_key().verifier().id())) == text(data.at("checkpoint").at("key_id")));
    CHECK(witness_key().verifier().text() == text(data.at("cosignature").at("vkey")));
    for (const auto* vkey :
         {&data.at("checkpoint").at("vkey"), &data.at("cosignature").at("vkey"), &data.at("spec_example").at("vkey")}) {
        const auto key = must(parse_verifier_key(text(*vkey)));
        CHECK(key.text() == text(*vkey));
    }
}

TEST_CASE("a verifier key with any character changed is refused") {
    const std::string good = station_key().verifier().text();
    const auto why = [](const std::string& vkey) {
        const auto key = parse_verifier_key(vkey);
        return key ? std::string("taken") : std::string(key.error().detail("why"));
    };
    CHECK(why("") == "parts");
    CHECK(why("name+12d024dc") == "parts");
    CHECK(why("a b" + good.substr(good.find('+'))) == "name");
    CHECK(why(good + "\n") == "base64");
    CHECK(why(good + "=") == "base64");
    CHECK(why(good.substr(0, good.size() - 4)) == "length");
    CHECK(why("n+00000000+" + to_base64(std::string("\x06", 1) + std::string(32, 'k'))) == "type");
    for (std::size_t i = 0; i < good.size(); ++i) {
        std::string other = good;
        other[i] = other[i] == 'B' ? 'C' : 'B';
        INFO(other);
        CHECK(why(other) != "taken");
    }
}

TEST_CASE("a key's name has no blank, no plus and nothing that a person cannot see") {
    for (const char* good : {"bench-1", "crimp.example/station-1", "A"})
        CHECK(is_key_name(good));
    for (const char* bad : {"", "two words", "a+b", "tab\tin", "line\n", "na\xC2\xA0me", "\xFF"})
        CHECK_FALSE(is_key_name(bad));
    CHECK_THROWS_AS(SigningKey("a b", KeyType::ed25519, test_seed(1)), std::logic_error);
}

TEST_CASE("the tag's key comes from the station's seed, is another, and is the same every time") {
    const Seed seed = tag_seed(test_seed(1));
    CHECK(seed == tag_seed(test_seed(1)));
    CHECK(seed != test_seed(1));
    CHECK(seed != tag_seed(test_seed(2)));
    // crypto_kdf is BLAKE2b with the number as salt and the context as personal bytes (libsodium's documentation);
    // this value was reckoned with another program's BLAKE2b.
    CHECK(to_hex(as_text(seed)) == "519dbe02f7c08baca59249701d618dc034bf17cdc859982bf97cedbd947ae628");
    CHECK(new_seed() != new_seed());
    Seed gone = test_seed(1);
    wipe(gone);
    CHECK(gone == Seed{});
}
