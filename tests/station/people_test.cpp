// PINs, passphrases, waits and sessions.
#include "tests/support/catch.h"

#include <algorithm>
#include <set>

#include "station/people/passphrases.h"
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

TEST_CASE("NIST SP 800-63B: a passphrase has 15 characters or more, of any kind, and none that everybody knows") {
    const std::vector<std::string> known = {"OPA", "Opal Reed", "B-0417", "Corvane Hose Works"};
    const auto code = [&](const std::string& passphrase) {
        const auto answer = passphrase_may_be_used(passphrase, known);
        return answer ? std::string() : answer.error().code;
    };
    CHECK(code("") == "people.passphrase_too_short");
    CHECK(code("quiet swaging") == "people.passphrase_too_short");
    CHECK(code("quiet swaging!") == "people.passphrase_too_short");
    CHECK(code("quiet swaging!!").empty());
    // Characters, not bytes: these are 15 and 14 letters of two bytes each, 15 pictures of four.
    CHECK(code("жёсткийшланг гг").empty());
    CHECK(code("жёсткийшланггг") == "people.passphrase_too_short");
    CHECK(code("🔧🔩🪛🗜📏🧰🔨🪚⛏🛠🧲📐🔗🧱🪝").empty());
    std::string longest;
    for (int i = 0; longest.size() < 128; ++i)
        longest += std::to_string(i * i) + " ";
    longest.resize(128);
    CHECK(code(longest).empty());
    CHECK(code(longest + "x") == "people.passphrase_too_long");
    // No rules of composition (NIST SP 800-63B section 3.1.1.2): small letters alone will do, and so will digits or
    // signs alone.
    for (const char* fine : {"quietswagingthursday", "eleven rusty couplings", "QUIET SWAGING THURSDAY",
                             "8305172946 1173 602", "#+!?;:_-$%&/()=[]{}", "  blanks  count  too  "}) {
        INFO(fine);
        CHECK(code(fine).empty());
    }
    for (const char* common : {"aaaaaaaaaaaaaaaaaaaa", "123456789012345", "passwordpassword", "Password123456789!",
                               "correct horse battery staple", "qwertyuiopasdfgh", "QWERTYUIOP asdfghjkl",
                               "zyxwvutsrqponml", "abcabcabcabcabcabc", "crimpgatecrimpgate", "111112222233333",
                               "letmein letmein letmein", "-- -- -- -- -- -- --", "geheim geheim geheim"}) {
        INFO(common);
        CHECK(code(common) == "people.passphrase_too_common");
    }
    for (const char* of_the_person :
         {"opal reed opal reed", "OpalReedOpalReed1", "corvane hose works 7", "B-0417 b-0417 b0417"}) {
        INFO(of_the_person);
        CHECK(code(of_the_person) == "people.passphrase_too_common");
    }
    CHECK(code("opal reed likes wet gloves").empty());
}

TEST_CASE("a passphrase is kept as a PIN is, and fits letter by letter") {
    const auto hash = hash_passphrase("quiet swaging thursday", {});
    REQUIRE(hash.has_value());
    CHECK(hash->starts_with("$argon2id$v=19$m=19456,t=2,p=1$"));
    CHECK(pin_fits(*hash, "quiet swaging thursday"));
    CHECK_FALSE(pin_fits(*hash, "Quiet swaging thursday"));
    CHECK_FALSE(pin_fits(*hash, "quiet swaging thursday "));
    CHECK_FALSE(hash_passphrase("too short", {}).has_value());
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

TEST_CASE("names that nobody has wait too, in so many places that one hides among the others and no more") {
    TestClock clock;
    SignInWaits waits(clock);
    std::set<std::string> places;
    for (int i = 0; i < 5000; ++i)
        places.insert(waits.unknown("name " + std::to_string(i)));
    CHECK(places.size() == 256);
    CHECK(waits.unknown("OPZ") == waits.unknown("OPZ"));
    // Which names share one is the station's secret: with another key the same names fall otherwise.
    SignInWaits other(clock);
    int same = 0;
    for (int i = 0; i < 500; ++i)
        same += waits.unknown("name " + std::to_string(i)) == other.unknown("name " + std::to_string(i));
    CHECK(same < 100);
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

TEST_CASE("a page's session is shorter than a program's, none outlives a working day, and each end is told once") {
    TestClock clock;
    Sessions sessions(clock, 1'000'000);
    sessions.limit_pages(1000);
    const std::string page = sessions.begin("OPA", SessionKind::page);
    const std::string program = sessions.begin("OPB");
    clock.pass_ms(900);
    CHECK(sessions.person(page, true) == "OPA");  // asked by itself: no use
    CHECK(sessions.person(program, true) == "OPB");
    clock.pass_ms(101);
    CHECK_FALSE(sessions.person(page).has_value());
    CHECK(sessions.person(program) == "OPB");
    CHECK(sessions.take_ended() == std::vector<std::string>{"OPA"});
    CHECK(sessions.take_ended().empty());

    const std::string again = sessions.begin("OPA", SessionKind::page);
    clock.pass_ms(900);
    sessions.used_by("OPB");
    sessions.used_by("OPA");
    clock.pass_ms(900);
    CHECK(sessions.person(again) == "OPA");
    sessions.limit_pages(0);
    clock.pass_ms(5000);
    CHECK(sessions.person(again) == "OPA");
    sessions.end_all_of("OPA");
    CHECK_FALSE(sessions.person(again).has_value());
    CHECK(sessions.take_ended() == std::vector<std::string>{"OPA"});

    const std::string busy = sessions.begin("LEA");
    for (std::int64_t passed = 0; passed < Sessions::longest_ms; passed += 900'000) {
        CHECK(sessions.person(busy) == "LEA");
        clock.pass_ms(900'000);
    }
    CHECK(sessions.person(busy) == "LEA");
    clock.pass_ms(1);
    CHECK_FALSE(sessions.person(busy).has_value());
}
