// PINs, waits and sessions.
#include "tests/support/catch.h"

#include <algorithm>
#include <set>

#include "station/people/pins.h"
#include "station/people/sessions.h"
#include "station/people/sign_in_waits.h"
#include "test_clock.h"

using namespace crimpgate;
using namespace crimpgate::test;

TEST_CASE("a PIN that everybody tries first is refused, and one that is too short") {
    for (const char* common : {"000000", "111111", "123456", "654321", "234567", "890123", "987654", "121212", "123123",
                               "112233", "147258", "246802", "99999999"}) {
        INFO(common);
        const auto answer = pin_may_be_used(common);
        REQUIRE_FALSE(answer.has_value());
        CHECK(answer.error().code == "people.pin_too_common");
    }
    CHECK(pin_may_be_used("73028").error().code == "people.pin_too_short");
    CHECK(pin_may_be_used("").error().code == "people.pin_too_short");
    CHECK(pin_may_be_used("73028a").error().code == "people.pin_not_digits");
    CHECK(pin_may_be_used(" 730284").error().code == "people.pin_not_digits");
    CHECK(pin_may_be_used(std::string(65, '7')).error().code == "people.pin_too_long");
    for (const char* fine : {"730284", "592600", "10293847"})
        CHECK(pin_may_be_used(fine).has_value());
}

TEST_CASE("a PIN is kept as Argon2id with 19 MiB and two passes, salted, and fits itself alone") {
    const auto one = hash_pin("730284"), two = hash_pin("730284");
    REQUIRE(one.has_value());
    REQUIRE(two.has_value());
    CHECK(*one != *two);
    // OWASP ASVS 5: m = 19 MiB (19456 KiB), t = 2, p = 1.
    CHECK(one->starts_with("$argon2id$v=19$m=19456,t=2,p=1$"));
    CHECK(pin_fits(*one, "730284"));
    CHECK_FALSE(pin_fits(*one, "730285"));
    CHECK_FALSE(pin_fits(*one, ""));
    CHECK_FALSE(pin_fits("", "730284"));
    CHECK_FALSE(pin_fits("hash", "730284"));
    CHECK_FALSE(pin_fits(std::string(500, 'x'), "730284"));
    CHECK_FALSE(hash_pin("123456").has_value());
}

TEST_CASE("an Argon2id string of another program is understood") {
    // Password "password", salt "somesaltSOMESALT", t = 2, m = 19456 KiB, p = 1: the tag that two independent
    // libraries agree on.
    const std::string other =
        "$argon2id$v=19$m=19456,t=2,p=1$c29tZXNhbHRTT01FU0FMVA$DkdiWnw7T03ffprnn4mlDkd3/sCJ7cwkgD7pdNvv6t8";
    CHECK(pin_fits(other, "password"));
    CHECK_FALSE(pin_fits(other, "passwore"));
}

TEST_CASE("SHA-256 of a file is what FIPS 180-4 says") {
    CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("waits double from a second to an hour, for one person and not for the others") {
    TestClock clock;
    SignInWaits waits(clock);
    waits.failed("OPA");
    waits.failed("OPA");
    CHECK(waits.left_ms("OPA") == 0);
    std::int64_t expected = 1000;
    for (int i = 0; i < 20; ++i) {
        waits.failed("OPA");
        CHECK(waits.left_ms("OPA") == expected);
        CHECK(waits.left_ms("OPB") == 0);
        clock.pass_ms(expected - 1);
        CHECK(waits.left_ms("OPA") == 1);
        clock.pass_ms(1);
        CHECK(waits.left_ms("OPA") == 0);
        expected = std::min<std::int64_t>(expected * 2, 3'600'000);
    }
    CHECK(expected == 3'600'000);
    waits.succeeded("OPA");
    waits.failed("OPA");
    CHECK(waits.left_ms("OPA") == 0);
}

TEST_CASE("a session's token is 128 bits, its own, and gone when it was not used for long") {
    TestClock clock;
    Sessions sessions(clock, 1000);
    std::set<std::string> tokens;
    for (int i = 0; i < 100; ++i)
        tokens.insert(sessions.begin("OPA"));
    CHECK(tokens.size() == 100);
    for (const auto& token : tokens)
        CHECK(token.size() == 32);
    const std::string token = sessions.begin("LEA");
    CHECK(sessions.person(token) == "LEA");
    CHECK_FALSE(sessions.person(token.substr(1)).has_value());
    CHECK_FALSE(sessions.person("").has_value());
    clock.pass_ms(900);
    CHECK(sessions.person(token) == "LEA");  // counts as use
    clock.pass_ms(900);
    CHECK(sessions.person(token) == "LEA");
    CHECK(sessions.size() == 1);
    clock.pass_ms(1001);
    CHECK_FALSE(sessions.person(token).has_value());
    const std::string other = sessions.begin("LEB");
    sessions.end(other);
    CHECK_FALSE(sessions.person(other).has_value());
}

TEST_CASE("sessions are bounded: the one unused for longest makes room") {
    TestClock clock;
    Sessions sessions(clock, 1'000'000'000);
    const std::string first = sessions.begin("OPA");
    clock.pass_ms(1);
    const std::string second = sessions.begin("OPB");
    clock.pass_ms(1);
    for (std::size_t i = 2; i < Sessions::most; ++i)
        sessions.begin("LEA");
    CHECK(sessions.person(first) == "OPA");
    clock.pass_ms(1);
    sessions.begin("LEB");
    CHECK(sessions.size() == Sessions::most);
    CHECK(sessions.person(first) == "OPA");
    CHECK_FALSE(sessions.person(second).has_value());
}
