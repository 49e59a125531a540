#include "reports/statistics/run_length.h"

#include <cmath>
#include <iterator>
#include <random>
#include <stdexcept>

#include "reports/statistics/distributions.h"
#include "reports/statistics/ewma.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

constexpr auto limit = RunRule::beyond_three_sigma;
constexpr auto two_of_three = RunRule::two_of_three_beyond_two_sigma;
constexpr auto four_of_five = RunRule::four_of_five_beyond_one_sigma;
constexpr auto eight = RunRule::eight_on_one_side;
constexpr auto nine = RunRule::nine_on_one_side;
constexpr auto calm = RunRule::fifteen_within_one_sigma;
constexpr auto split = RunRule::eight_beyond_one_sigma;

constexpr double shifts[] = {0, 0.2, 0.4, 0.6, 0.8, 1, 1.5, 2, 3};

struct Row {
    const char* name;
    RunRules rules;
    std::vector<double> lengths;  // at the shifts above
};

// Mean run lengths from Markov chains that were set up and solved apart, to four decimals. The chart's own published
// values are checked below.
const std::vector<Row> table{
    {"limit", {limit}, {370.3983, 308.4261, 200.0753, 119.6653, 71.5523, 43.8947, 14.9677, 6.3030, 2.0000}},
    {"limit, two of three",
     {limit, two_of_three},
     {225.4384, 177.5550, 104.4559, 57.9203, 33.1243, 20.0050, 7.3012, 3.6464, 1.6758}},
    {"limit, four of five",
     {limit, four_of_five},
     {166.0545, 120.6958, 63.8846, 33.9947, 19.7753, 12.6644, 5.8556, 3.6801, 1.8865}},
    {"limit, eight", {limit, eight}, {152.7301, 110.5170, 59.7597, 33.6360, 21.0738, 14.5781, 7.7545, 4.8907, 1.9923}},
    {"limit, nine", {limit, nine}, {216.6955, 154.1632, 79.9433, 42.8034, 25.6059, 17.0527, 8.5104, 5.1410, 1.9962}},
    {"zone rules", zone_rules(), {91.7508, 66.8027, 36.6060, 20.9051, 13.2506, 9.2219, 4.8719, 3.1276, 1.6666}},
    {"Nelson 1 2 5 6",
     {limit, nine, two_of_three, four_of_five},
     {109.0493, 78.2179, 41.6211, 23.0612, 14.2361, 9.6984, 4.9495, 3.1344, 1.6666}},
    {"two of three", {two_of_three}, {510.6885, 364.7486, 184.8419, 91.9144, 48.7265, 27.8755, 9.4515, 4.6667, 2.4078}},
    {"four of five", {four_of_five}, {291.3192, 190.1304, 88.4971, 43.8719, 24.6002, 15.4888, 7.2762, 5.0486, 4.0984}},
    {"eight", {eight}, {255.0000, 167.4698, 81.4451, 43.6863, 26.9814, 18.8015, 11.0574, 8.8852, 8.0488}},
    {"nine", {nine}, {511.0000, 298.3576, 126.4009, 61.6098, 35.5050, 23.5357, 12.9206, 10.1153, 9.0610}},
    {"calm", {calm}, {963.2715, 1157.3220, 2022.3589, 5240.6540, 20625.4229, 126041.0471}},
    {"split", {split}, {14251.3666, 11383.9798, 6143.4846, 2570.6803, 971.1583, 373.6564, 55.6189, 18.6403, 8.8839}},
    {"Nelson 1 2 5 6 7 8",
     zone_only(nelson_rules()),
     {98.1776, 73.4167, 40.8329, 22.9705, 14.2276, 9.6977, 4.9495, 3.1344, 1.6666}},
};

// Draws points until the rules, as the charts apply them, signal.
struct Drawn {
    double mean = 0, error = 0;
};
template <class Length>
Drawn draw(int runs, Length length) {
    std::mt19937_64 random(19840716);
    std::normal_distribution<double> normal;
    double sum = 0, squares = 0;
    for (int run = 0; run < runs; ++run) {
        const double drawn = length([&] { return normal(random); });
        sum += drawn;
        squares += drawn * drawn;
    }
    const double mean = sum / runs;
    return {mean, std::sqrt((squares / runs - mean * mean) / runs)};
}
Drawn draw_rules(int runs, const RunRules& rules, double shift) {
    return draw(runs, [&](auto&& normal) {
        std::vector<double> points;
        const Limits unit{0, -3, 3, 1};
        do {
            points.push_back(shift + normal());
            if (points.size() > 1'000'000) FAIL("no signal in a million points");
        } while (signals_at_last(points, unit, rules).empty());
        return static_cast<double>(points.size());
    });
}
// Four standard errors: a right value is outside once in sixteen thousand, and the seed is fixed.
auto near(const Drawn& drawn) {
    return cqt::Approx(drawn.mean).epsilon(0).margin(4 * drawn.error);
}

}  // namespace

// C. W. Champ and W. H. Woodall, Technometrics 29 (1987) 393-399 (from memory; the last one was seen in a second
// source).
TEST_CASE("False alarms of the zone rules come as often as published") {
    const auto within = [](double value) { return cqt::Approx(value).epsilon(0).margin(0.005); };
    CHECK(*average_run_length({limit}, 0) == within(370.40));
    CHECK(*average_run_length({limit, two_of_three}, 0) == within(225.44));
    CHECK(*average_run_length({limit, four_of_five}, 0) == within(166.05));
    CHECK(*average_run_length({limit, eight}, 0) == within(152.73));
    CHECK(*average_run_length(zone_rules(), 0) == within(91.75));
}

TEST_CASE("Mean run lengths of the rules under shifts of up to three sigma agree with chains that were solved apart") {
    for (const Row& row : table)
        for (std::size_t i = 0; i < row.lengths.size(); ++i) {
            INFO(row.name << " at " << shifts[i]);
            CHECK(*average_run_length(row.rules, shifts[i]) == cqt::Approx(row.lengths[i]).epsilon(0).margin(6e-5));
            CHECK(*average_run_length(row.rules, -shifts[i]) ==
                  cqt::Approx(*average_run_length(row.rules, shifts[i])).epsilon(1e-12));
        }
}

// A run of r with chance p each takes (1 - p^r) / ((1 - p) p^r) points on average (W. Feller, An Introduction to
// Probability Theory, vol. 1, XIII.7). At two sigma and more an elimination with ordinary subtraction has lost all
// digits.
TEST_CASE("Run lengths keep their digits where a signal is rarer than a double's last place") {
    const auto run = [](double r, double p) { return (1 - std::pow(p, r)) / ((1 - p) * std::pow(p, r)); };
    for (const double shift : {0.0, 1.0, 1.5, 2.0, 3.0, 5.0}) {
        INFO("shift " << shift);
        const double p = normal_upper(shift - 1) - normal_upper(shift + 1);
        CHECK(*average_run_length({calm}, shift) == cqt::Approx(run(15, p)).epsilon(1e-11));
        CHECK(*average_run_length({limit}, shift) ==
              cqt::Approx(1 / (normal_upper(3 - shift) + normal_upper(3 + shift))).epsilon(1e-12));
    }
    CHECK(*average_run_length({split}, 0) == cqt::Approx(run(8, 2 * normal_upper(1))).epsilon(1e-12));
    CHECK(*average_run_length({nine}, 0) == cqt::Approx(511).epsilon(1e-12));  // 2^9 - 1
    CHECK(*average_run_length({eight}, 0) == cqt::Approx(255).epsilon(1e-12));
    CHECK(std::isinf(*average_run_length({calm}, 60)));
}

TEST_CASE("Rules that look at the order of size have no chain; the others of the set bound them") {
    CHECK_FALSE(average_run_length({}, 0));
    CHECK_FALSE(average_run_length(nelson_rules(), 0));
    CHECK_FALSE(average_run_length({RunRule::six_steadily_moving}, 0));
    CHECK_FALSE(average_run_length({RunRule::fourteen_alternating, limit}, 0));
    CHECK(zone_only(nelson_rules()) == RunRules{limit, nine, two_of_three, four_of_five, calm, split});
    CHECK(run_length_states(nelson_rules()) == 0);
    CHECK_THROWS_AS(average_run_length({limit}, std::nan("")), std::domain_error);
}

TEST_CASE("The chain is as small as it can be: one state for the limit, one more for each point that a run needs") {
    CHECK(run_length_states({limit}) == 1);
    CHECK(run_length_states({calm}) == 15);
    CHECK(run_length_states({split}) == 8);
    CHECK(run_length_states({nine}) == 17);  // fresh, and one to eight on either side
    CHECK(run_length_states({eight, nine}) == run_length_states({eight}));
    CHECK(run_length_states({two_of_three}) == 7);
}

// The chart that is drawn and the chain that tells its false alarms are different code: they must agree.
TEST_CASE("Points drawn at random signal as often as the chain says") {
    const RunRules all = RunRules(zone_only(nelson_rules())).set(eight);
    CHECK(*average_run_length(all, 0) == near(draw_rules(4000, all, 0)));
    CHECK(*average_run_length(all, 1) == near(draw_rules(10000, all, 1)));
    CHECK(*average_run_length(zone_rules(), 0) == near(draw_rules(4000, zone_rules(), 0)));
    CHECK(*average_run_length({limit, four_of_five}, 0.5) == near(draw_rules(5000, {limit, four_of_five}, 0.5)));
    CHECK(*average_run_length({two_of_three}, 1) == near(draw_rules(8000, {two_of_three}, 1)));
    CHECK(*average_run_length({split}, 1.5) == near(draw_rules(5000, {split}, 1.5)));
    CHECK(*average_run_length({calm}, 0) == near(draw_rules(600, {calm}, 0)));
}

// Recomputed apart (an integral equation for the two alone, simulations for the sets). Nelson's own remark: tests 1 to
// 4 together give a false signal less than once in a hundred.
TEST_CASE("A steady move and an alternation, alone and in sets, come by chance as often as recomputed apart") {
    CHECK(421.6 == near(draw_rules(1500, {RunRule::six_steadily_moving}, 0)));
    CHECK(601.1 == near(draw_rules(1000, {RunRule::fourteen_alternating}, 0)));
    const RunRules first_four{limit, nine, RunRule::six_steadily_moving, RunRule::fourteen_alternating};
    const Drawn four = draw_rules(4000, first_four, 0);
    CHECK(four.mean == cqt::Approx(119.3).epsilon(0).margin(4 * four.error + 0.3));
    CHECK(1 / four.mean < 0.01);
    const Drawn eight_tests = draw_rules(5000, nelson_rules(), 0);
    CHECK(eight_tests.mean == cqt::Approx(73.7).epsilon(0).margin(4 * eight_tests.error + 0.2));
}

// In control and at one sigma, k 0.5: recomputed apart with a public library; 168 and 8.38, 465 and 10.4 are in
// Montgomery, Introduction to Statistical Quality Control (from memory).
TEST_CASE("Mean run lengths of the cumulative sum") {
    const auto within = [](double value) { return cqt::Approx(value).epsilon(0).margin(0.005); };
    CHECK(cusum_average_run_length({0.5, 4, false}, 0) == within(167.68));
    CHECK(cusum_average_run_length({0.5, 4, false}, 1) == within(8.38));
    CHECK(cusum_average_run_length({0.5, 5, false}, 0) == within(465.44));
    CHECK(cusum_average_run_length({0.5, 5, false}, 1) == within(10.38));
    CHECK(cusum_average_run_length({0.5, 4.77, false}, 0) == within(368.56));
    CHECK(cusum_average_run_length({0.5, 5, false}, -1) == within(10.38));
    // The chart of the NIST handbook, 6.3.2.3: h 6.608.
    CHECK(cusum_average_run_length({0.5, 6.608, false}, 0) == cqt::Approx(2350).epsilon(5e-4));
}

// J. M. Lucas and R. B. Crosier, Technometrics 24 (1982) 199-205, headstart h / 2 (from memory).
TEST_CASE("Mean run lengths of the cumulative sum with the fast start") {
    CHECK(cusum_average_run_length({0.5, 4, true}, 0) == cqt::Approx(149).epsilon(0).margin(0.5));
    CHECK(cusum_average_run_length({0.5, 4, true}, 1) == cqt::Approx(5.29).epsilon(0).margin(0.005));
    CHECK(cusum_average_run_length({0.5, 5, true}, 0) == cqt::Approx(430).epsilon(0).margin(0.5));
    CHECK(cusum_average_run_length({0.5, 5, true}, 1) == cqt::Approx(6.35).epsilon(0).margin(0.005));
}

// J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990) 1-12 (from memory, recomputed apart).
TEST_CASE("Mean run lengths of the moving average with the published pairs of lambda and width") {
    const double published[][5] = {{0.4, 3.054, 500, 71.2, 14.3},
                                   {0.25, 2.998, 500, 48.3, 11.1},
                                   {0.2, 2.962, 500, 41.8, 10.5},
                                   {0.1, 2.814, 500, 31.3, 10.3},
                                   {0.05, 2.615, 500, 28.8, 11.4}};
    for (const auto& row : published) {
        INFO("lambda " << row[0]);
        CHECK(ewma_average_run_length(row[0], row[1], 0) == cqt::Approx(row[2]).epsilon(0).margin(0.5));
        CHECK(ewma_average_run_length(row[0], row[1], 0.5) == cqt::Approx(row[3]).epsilon(0).margin(0.05));
        CHECK(ewma_average_run_length(row[0], row[1], -1) == cqt::Approx(row[4]).epsilon(0).margin(0.05));
    }
    // Lambda one is the chart of the points themselves.
    for (const double shift : {0.0, 1.0, 2.0})
        CHECK(ewma_average_run_length(1, 3, shift) == cqt::Approx(*average_run_length({limit}, shift)).epsilon(1e-9));
    CHECK_THROWS_AS(ewma_average_run_length(0, 3, 0), std::domain_error);
}

TEST_CASE("Points drawn at random signal on the cumulative sum and the moving average as often as the equations say") {
    constexpr std::size_t most = 3000;  // a longer run is rarer than one in ten million here
    const auto first_of = [](const auto& found, auto at) {
        REQUIRE_FALSE(found.empty());
        return static_cast<double>(at(found.front()) + 1);
    };
    for (const bool fast : {false, true})
        for (const double shift : {0.0, 1.0}) {
            const CusumOptions options{0.5, 4, fast};
            const Drawn drawn = draw(shift == 0 ? 800 : 4000, [&](auto&& normal) {
                std::vector<double> points(shift == 0 ? most : 150);
                for (double& point : points)
                    point = shift + normal();
                return first_of(cusum(points, 0, 1, options).signals, [](const CusumSignal& s) { return s.last; });
            });
            INFO("fast start " << fast << " shift " << shift);
            CHECK(cusum_average_run_length(options, shift) == near(drawn));
        }
    const EwmaOptions options{0.2, 2.5, true};
    const Drawn drawn = draw(800, [&](auto&& normal) {
        std::vector<double> points(most);
        for (double& point : points)
            point = normal();
        return first_of(ewma(points, 0, 1, options).signals, [](std::size_t at) { return at; });
    });
    CHECK(ewma_average_run_length(0.2, 2.5, 0) == near(drawn));
}
