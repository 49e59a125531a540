// The recovery page's letters: every single mistake is found, and named by its group.
#include "station/proof/recovery_text.h"

#include <rapidcheck.h>

#include <set>

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

constexpr std::string_view letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

Seed sample() {
    Seed seed{};
    for (std::size_t i = 0; i < seed.size(); ++i)
        seed[i] = static_cast<unsigned char>(i * 37 + 11);
    return seed;
}

std::string joined(const std::vector<std::string>& groups) {
    std::string out;
    for (const auto& group : groups)
        out += group + " ";
    return out;
}

// The codes and groups of what is wrong, "recovery.group 7".
std::multiset<std::string> faults(const std::string& typed) {
    std::multiset<std::string> out;
    if (const auto read = read_recovery_text(typed); !read)
        for (const auto& m : read.error())
            out.insert(m.code + (m.detail("group").empty() ? "" : " " + std::string(m.detail("group"))));
    return out;
}

}  // namespace

TEST_CASE("a seed goes onto the page and comes back from what is typed, in small letters and with O, I and L") {
    CHECK(rc::check("round trip", [](const Seed& seed) {
        const auto groups = recovery_text(seed);
        RC_ASSERT(groups.size() == recovery_groups);
        std::string typed;
        for (const auto& group : groups)
            for (const char c : group + "\n")
                typed += c == '0' ? 'O' : c == '1' ? 'l' : static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
        const auto read = read_recovery_text(typed);
        RC_ASSERT(read.has_value());
        RC_ASSERT(*read == seed);
    }));
    // Another program, written from the header's words alone, made this text of the bytes 0, 1, 2 ... 31.
    Seed counted{};
    for (std::size_t i = 0; i < counted.size(); ++i)
        counted[i] = static_cast<unsigned char>(i);
    CHECK(joined(recovery_text(counted)) ==
          "000G7 40R48 0M30W E209X 185G0 R38EH 1W81M 24GK2 2GAHS C5RR5 34D15 P70X1 3RFGE Q1VV6 5G7MK ");
}

TEST_CASE("each single wrong character is found and named by its group") {
    const auto groups = recovery_text(sample());
    int tried = 0;
    for (std::size_t g = 0; g < groups.size(); ++g)
        for (std::size_t place = 0; place < groups[g].size(); ++place)
            for (const char other : letters) {
                if (other == groups[g][place]) continue;
                auto typed = groups;
                typed[g][place] = other;
                ++tried;
                if (faults(joined(typed)) != std::multiset<std::string>{"recovery.group " + std::to_string(g + 1)})
                    FAIL("group " << g + 1 << ", place " << place + 1 << ", " << other);
            }
    CHECK(tried == 15 * 5 * 31);
}

TEST_CASE("two characters or two groups that changed places are found and named") {
    const auto groups = recovery_text(sample());
    int tried = 0;
    for (std::size_t g = 0; g < groups.size(); ++g)
        for (std::size_t a = 0; a < 5; ++a)
            for (std::size_t b = a + 1; b < 5; ++b) {
                if (groups[g][a] == groups[g][b]) continue;
                auto typed = groups;
                std::swap(typed[g][a], typed[g][b]);
                ++tried;
                CHECK(faults(joined(typed)) == std::multiset<std::string>{"recovery.group " + std::to_string(g + 1)});
            }
    CHECK(tried > 100);
    for (std::size_t a = 0; a < groups.size(); ++a)
        for (std::size_t b = a + 1; b < groups.size(); ++b) {
            auto typed = groups;
            std::swap(typed[a], typed[b]);
            CHECK(faults(joined(typed)) == std::multiset<std::string>{"recovery.group " + std::to_string(a + 1),
                                                                      "recovery.group " + std::to_string(b + 1)});
        }
}

TEST_CASE("what is left out, too much, or of another page is said, every group at once") {
    auto groups = recovery_text(sample());
    CHECK(faults("") == std::multiset<std::string>{"recovery.count"});
    auto short_one = groups;
    short_one[3].pop_back();
    short_one[9] += "7";
    CHECK(faults(joined(short_one)) == std::multiset<std::string>{"recovery.length 10", "recovery.length 4"});
    auto strange = groups;
    strange[0][2] = 'U';
    const auto read = read_recovery_text(joined(strange));
    REQUIRE_FALSE(read);
    CHECK(read.error().at(0).detail("place") == "3");
    auto fewer = groups;
    fewer.pop_back();
    CHECK(faults(joined(fewer)) == std::multiset<std::string>{"recovery.count"});
    // A good group of another page at its own place: only the whole tells.
    auto mixed = groups;
    mixed[4] = recovery_text(Seed{1})[4];
    CHECK(faults(joined(mixed)) == std::multiset<std::string>{"recovery.whole"});
}
