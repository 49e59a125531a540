#include "specs/serial.h"

#include <rapidcheck.h>

#include <array>
#include <limits>
#include <set>

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

constexpr std::string_view alphabet = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

std::int64_t any_counter() {
    return *rc::gen::inRange<std::int64_t>(0, Serial::counters);
}

std::string any_prefix() {
    std::string prefix;
    const auto size = *rc::gen::inRange(1, 4);
    for (int i = 0; i < size; ++i)
        prefix += alphabet[*rc::gen::inRange<std::size_t>(0, 32)];
    return prefix;
}

Serial any_serial() {
    return next_serial(any_prefix(), any_counter() - 2)->serial;
}

}  // namespace

TEST_CASE("The check character is that of ISO 7064 MOD 37,36") {
    // First line: the known answer of ISO 7064 that is widely reprinted; the others computed with another program.
    struct Line {
        std::string_view body;
        char check;
    };
    for (const auto& [body, check] :
         {Line{"A12425GABC1234002", 'M'}, Line{"7Q4X2M9K8D", 'K'}, Line{"A000001", 'D'}, Line{"A000002", 'B'},
          Line{"0", '2'}, Line{"Z", '4'}, Line{"ZZZZZZZZZZ", '0'}, Line{"0000000000", 'P'}})
        CHECK(iso7064_mod37_36(body) == check);
    CHECK_FALSE(iso7064_mod37_36("a0").has_value());
    CHECK_FALSE(iso7064_mod37_36("A-1").has_value());
}

TEST_CASE("A serial is its prefix, six characters of its counter and the check") {
    CHECK(Serial::nth("A", 1)->text() == "A000001D");
    CHECK(Serial::nth("A", 2)->text() == "A000002B");
    // Crockford's own example: 1234 is 16J.
    const auto s = next_serial("B7", 1233);
    REQUIRE(s.has_value());
    CHECK(s->serial.prefix() == "B7");
    CHECK(s->serial.counter() == s->counter);
    CHECK(s->serial.text().substr(0, 8) == "B700016J");
    CHECK(s->counter == 1234);
}

TEST_CASE("Counters whose check character could be misread are skipped, and only those") {
    std::int64_t last = -1;
    std::set<std::string> seen;
    std::int64_t expected = 0;
    for (int i = 0; i < 3000; ++i) {
        const auto next = next_serial("A", last);
        REQUIRE(next.has_value());
        for (; expected < next->counter; ++expected) {
            CHECK_FALSE(Serial::nth("A", expected).has_value());
            std::string body = "A000000";
            for (std::size_t place = 6, rest = static_cast<std::size_t>(expected); place > 0; --place, rest /= 32)
                body[place] = alphabet[rest % 32];
            CHECK(std::string_view("ILOU").find(*iso7064_mod37_36(body)) != std::string_view::npos);
        }
        ++expected;
        CHECK(seen.insert(next->serial.text()).second);
        CHECK(next->serial.text().find_first_of("ILOU") == std::string::npos);
        last = next->counter;
    }
    CHECK(last > 3000);  // some were skipped: about 4 of 36
    CHECK(last < 3600);
}

TEST_CASE("Serials end where the counter ends, and a prefix is one to three characters that nobody misreads") {
    CHECK(next_serial("A", Serial::counters - 1).error().code == "serial.used_up");
    CHECK(next_serial("A", std::numeric_limits<std::int64_t>::max()).error().code == "serial.used_up");
    CHECK_FALSE(Serial::nth("A", Serial::counters).has_value());
    CHECK_FALSE(Serial::nth("A", -1).has_value());
    for (const char* prefix : {"", "ABCD", "a", "I1", "LO", "U", "A-", "\xC3\x84"}) {
        CHECK(next_serial(prefix, 0).error().code == "serial.prefix");
        CHECK(check_serial_prefix(prefix).error().code == "serial.prefix");
        CHECK_FALSE(Serial::nth(prefix, 1).has_value());
    }
    CHECK(check_serial_prefix("Z9K").has_value());
}

TEST_CASE("A serial is read as people type it: small letters, O, I, L, blanks and hyphens") {
    const auto serial = *Serial::nth("A", 1);
    for (const char* typed :
         {"A000001D", "a000001d", "A-000001-D", " a ooo ool d ", "AOOOOOID", "aoooooLd", "A0-00-00-1-D"})
        CHECK(Serial::parse(typed) == serial);
    CHECK(Serial::parse("A000001E").error().code == "serial.check");
    CHECK(Serial::parse("A000010D").error().code == "serial.check");
    CHECK(Serial::parse("A00001D").error().code == "serial.length");
    CHECK(Serial::parse("ABCD000001D").error().code == "serial.length");
    CHECK(Serial::parse("").error().code == "serial.length");
    CHECK(Serial::parse("A00000UD").error().code == "serial.character");
    CHECK(Serial::parse("A000001*").error().code == "serial.character");
    CHECK(Serial::parse("A000001D\n").error().code == "serial.character");
    CHECK(Serial::parse("A000001E").error().detail("found") == "A000001E");
}

TEST_CASE("R8: every serial reads back, and no single wrong character goes unnoticed") {
    CHECK(rc::check("reads back", [] {
        const auto serial = any_serial();
        RC_ASSERT(Serial::parse(serial.text()) == serial);
        RC_ASSERT(Serial::nth(serial.prefix(), serial.counter()) == serial);
    }));
    CHECK(rc::check("a wrong character is noticed", [] {
        auto text = any_serial().text();
        const auto place = *rc::gen::inRange<std::size_t>(0, text.size());
        const auto other =
            *rc::gen::suchThat(rc::gen::elementOf(std::string(alphabet)), [&](char c) { return c != text[place]; });
        text[place] = other;
        RC_ASSERT(Serial::parse(text).error().code == "serial.check");
    }));
}
