#include "reports/statistics/random_pick.h"

#include <rapidcheck.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <set>
#include <stdexcept>

#include "reports/statistics/distributions.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

// The fixed expectations of this file were computed by a program of a dozen lines in another language, written from the
// description in the header alone.

namespace {

std::vector<std::string> serials(int n) {
    std::vector<std::string> all;
    for (int i = 1; i <= n; ++i) {
        const auto digits = std::to_string(i);
        all.push_back("K7-" + std::string(4 - digits.size(), '0') + digits);
    }
    return all;
}

double chi_squared(const std::vector<std::int64_t>& counts) {
    const auto total = std::accumulate(counts.begin(), counts.end(), std::int64_t{0});
    const double expected = static_cast<double>(total) / static_cast<double>(counts.size());
    double sum = 0;
    for (const auto count : counts)
        sum += (static_cast<double>(count) - expected) * (static_cast<double>(count) - expected) / expected;
    return sum;
}
// Fixed starts, so that it fails always or never: within all but 0.1 % of either tail.
bool looks_uniform(const std::vector<std::int64_t>& counts) {
    const double p = chi_squared_cdf(chi_squared(counts), static_cast<double>(counts.size() - 1));
    return 0.001 < p && p < 0.999;
}

}  // namespace

TEST_CASE("The draws are those of the published generator") {
    // The first five from 1234567 are the widely reprinted check values of SplitMix64.
    SplitMix64 random(1234567);
    for (const std::uint64_t expected : {6457827717110365317u, 3203168211198807973u, 9817491932198370423u,
                                         4593380528125082431u, 16408922859458223821u})
        CHECK(random.draw() == expected);
    SplitMix64 zero(0);
    for (const std::uint64_t expected : {16294208416658607535u, 7960286522194355700u, 487617019471545679u})
        CHECK(zero.draw() == expected);
}

TEST_CASE("A draw that would favour small numbers is thrown away") {
    // Of 2^63 + 1 numbers nearly every second draw is one too many: the third, 15398599001720869627, is.
    SplitMix64 random(99);
    for (const std::uint64_t expected :
         {4824385676517010403u, 583982616703494564u, 1887459716761070807u, 3137033820222585076u})
        CHECK(random.below((std::uint64_t{1} << 63) + 1) == expected);
    SplitMix64 other(5);
    for (int i = 0; i < 100; ++i) {
        CHECK(other.below(1) == 0);
        CHECK(other.below(7) < 7);
    }
    CHECK_THROWS_AS(other.below(0), std::domain_error);
    // below(1) draws too, and a power of two throws nothing away.
    SplitMix64 a(8), b(8);
    CHECK(a.below(1) == 0);
    b.draw();
    CHECK(a.below(std::uint64_t{1} << 63) == b.draw() % (std::uint64_t{1} << 63));
}

TEST_CASE("An order and a pick are what anybody else works out from the seed") {
    CHECK(shuffled_order(10, 42) == std::vector<std::size_t>{3, 2, 4, 5, 8, 7, 0, 9, 6, 1});
    CHECK(shuffled_order(30, 2026) == std::vector<std::size_t>{1,  27, 20, 21, 19, 24, 12, 16, 10, 29,
                                                               23, 3,  26, 6,  8,  25, 0,  28, 11, 15,
                                                               13, 22, 2,  14, 9,  7,  5,  18, 17, 4});
    const auto picked = *pick_serials(serials(400), 8, 0xdeadbeef);
    CHECK(picked == std::vector<std::string>{"K7-0268", "K7-0226", "K7-0364", "K7-0032", "K7-0377", "K7-0366",
                                             "K7-0370", "K7-0030"});
    CHECK(shuffled_order(0, 1).empty());
    CHECK(shuffled_order(1, 1) == std::vector<std::size_t>{0});
    CHECK(part_seed(77, 0) == 7086638178683056257u);
    CHECK(part_seed(77, 1) == 9103081651828072020u);
    CHECK(part_seed(77, 2) == 10109092562820482796u);
}

TEST_CASE("A pick does not depend on how the list was sorted, and a longer one goes on where a shorter one ends") {
    CHECK(rc::check("order and length", [] {
        const auto n = *rc::gen::inRange(1, 60);
        const auto seed = *rc::gen::arbitrary<std::uint64_t>();
        auto mixed = serials(n);
        std::reverse(mixed.begin(), mixed.end());
        const auto k = static_cast<std::size_t>(*rc::gen::inRange(0, n + 1));
        const auto some = *pick_serials(serials(n), k, seed);
        const auto all = *pick_serials(mixed, mixed.size(), seed);
        RC_ASSERT(some.size() == k);
        RC_ASSERT(std::equal(some.begin(), some.end(), all.begin()));
        RC_ASSERT(std::set<std::string>(all.begin(), all.end()).size() == mixed.size());
    }));
}

TEST_CASE("Every serial and every place in the order is equally likely") {
    std::vector<std::int64_t> picked(20), places(5 * 5);
    for (std::uint64_t i = 0; i < 20000; ++i) {
        const auto order = shuffled_order(20, part_seed(7, i));
        for (std::size_t place = 0; place < 3; ++place)
            ++picked[order[place]];
        const auto small = shuffled_order(5, part_seed(8, i));
        for (std::size_t place = 0; place < 5; ++place)
            ++places[place * 5 + small[place]];
    }
    // Draws without return vary a little less than chi-squared says, by (1 - 3/20): the lower tail allows for it.
    CHECK(looks_uniform(picked));
    for (std::size_t place = 0; place < 5; ++place)
        CHECK(looks_uniform({places.begin() + static_cast<std::ptrdiff_t>(place * 5),
                             places.begin() + static_cast<std::ptrdiff_t>(place * 5 + 5)}));
    SplitMix64 random(3);
    std::vector<std::int64_t> numbers(37);
    for (int i = 0; i < 100000; ++i)
        ++numbers[random.below(37)];
    CHECK(looks_uniform(numbers));
}

TEST_CASE("Every choice of k out of a few comes about, equally often") {
    std::map<std::vector<std::string>, std::int64_t> choices;
    for (std::uint64_t i = 0; i < 30000; ++i) {
        auto picked = *pick_serials(serials(6), 3, part_seed(11, i));
        std::sort(picked.begin(), picked.end());
        ++choices[picked];
    }
    REQUIRE(choices.size() == 20);  // 6 over 3
    std::vector<std::int64_t> counts;
    for (const auto& [choice, count] : choices)
        counts.push_back(count);
    CHECK(looks_uniform(counts));
    std::map<std::vector<std::size_t>, std::int64_t> orders;
    for (std::uint64_t i = 0; i < 24000; ++i)
        ++orders[shuffled_order(4, part_seed(12, i))];
    REQUIRE(orders.size() == 24);
    counts.clear();
    for (const auto& [order, count] : orders)
        counts.push_back(count);
    CHECK(looks_uniform(counts));
}

TEST_CASE("A list that cannot give a fair pick is refused") {
    const auto too_few = pick_serials(serials(3), 4, 1);
    REQUIRE_FALSE(too_few);
    CHECK(too_few.error().code == "pick.too_few_serials");
    CHECK(too_few.error().detail("there") == "3");
    auto twice = serials(5);
    twice.push_back("K7-0002");
    const auto refused = pick_serials(twice, 2, 1);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == "pick.twice_named");
    CHECK(refused.error().detail("serial") == "K7-0002");
    CHECK(pick_serials({}, 0, 1)->empty());
}

TEST_CASE("A recorded seed reads back as itself") {
    CHECK(to_seed_text(0xdeadbeef) == "00000000deadbeef");
    CHECK(*parse_seed("ffffffffffffffff") == UINT64_MAX);
    CHECK(rc::check("every seed", [](std::uint64_t seed) { RC_ASSERT(*parse_seed(to_seed_text(seed)) == seed); }));
    for (const auto* text :
         {"", "deadbeef", "00000000DEADBEEF", "0x000000deadbeef", "00000000deadbeef0", "00000000deadbee "}) {
        const auto refused = parse_seed(text);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == "pick.seed_not_hex");
    }
}
