#include "reports/statistics/sampling_plan.h"

#include <array>
#include <map>
#include <stdexcept>

#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate::statistics;

namespace {

constexpr std::array levels = {InspectionLevel::S1, InspectionLevel::S2, InspectionLevel::S3, InspectionLevel::S4,
                               InspectionLevel::I,  InspectionLevel::II, InspectionLevel::III};

SamplingPlan plan(std::int64_t lot, std::string_view aql, Severity severity = Severity::normal) {
    return *plan_for(lot, InspectionLevel::II, *parse_aql(aql), severity);
}
std::string written(const SamplingPlan& p) {
    return std::to_string(p.sample_size) + "/" + std::to_string(p.accept) + "/" + std::to_string(p.reject);
}

// A lot size and level with this letter; the largest lot there is, so that no plan becomes the whole lot before it
// must.
struct Place {
    std::int64_t lot;
    InspectionLevel level;
};
Place place_of(char letter) {
    Place found{0, InspectionLevel::II};
    for (const std::int64_t lot : {8, 15, 25, 50, 90, 150, 280, 500, 1200, 3200, 10000, 35000, 150000, 500000, 9000000})
        for (const auto level : levels)
            if (*code_letter(lot, level) == letter) found = {lot, level};
    REQUIRE(found.lot > 0);
    return found;
}

}  // namespace

TEST_CASE("Every entry of the table of code letters") {
    const auto rows = data_rows("milstd105e_code_letters.csv");
    REQUIRE(rows.size() == 15);
    std::int64_t expected_first = 2;
    for (const auto& row : rows) {
        const bool last = row[0] == "500001 and over";
        const auto bounds = cells_of(row[0], last ? ' ' : '-');
        const auto first = static_cast<std::int64_t>(number(bounds.at(0)));
        const auto final = last ? std::int64_t{40'000'000} : static_cast<std::int64_t>(number(bounds.at(1)));
        CHECK(first == expected_first);
        expected_first = final + 1;
        REQUIRE(row.size() == 8);
        for (std::size_t i = 0; i < levels.size(); ++i) {
            CHECK(*code_letter(first, levels[i]) == row[i + 1].at(0));
            CHECK(*code_letter(final, levels[i]) == row[i + 1].at(0));
        }
    }
}

TEST_CASE("Every entry of the three tables of single plans") {
    const std::map<std::string, Severity> tables = {
        {"normal", Severity::normal}, {"tightened", Severity::tightened}, {"reduced", Severity::reduced}};
    int entries = 0;
    for (const auto& [name, severity] : tables) {
        const auto rows = data_rows("milstd105e_single_" + name + ".csv", true);
        REQUIRE(rows.size() == 17);
        REQUIRE(rows[0].size() == 27);
        for (std::size_t r = 1; r < rows.size(); ++r) {
            const auto place = place_of(rows[r][0].at(0));
            for (std::size_t c = 1; c < 27; ++c) {
                const auto found = plan_for(place.lot, place.level, *parse_aql(rows[0][c]), severity);
                REQUIRE(found);
                const auto parts = cells_of(rows[r][c], '/');
                const auto n = static_cast<std::int64_t>(number(parts.at(0)));
                INFO(name << " " << rows[r][0] << " " << rows[0][c] << ": " << rows[r][c]);
                CHECK(found->letter == rows[r][0].at(0));
                CHECK(found->accept == number(parts.at(1)));
                CHECK(found->reject == number(parts.at(2)));
                CHECK(found->whole_lot == (n >= place.lot));
                CHECK(found->sample_size == std::min(n, place.lot));
                ++entries;
            }
        }
    }
    CHECK(entries == 3 * 16 * 26);
}

TEST_CASE("The plans that everybody knows") {
    // MIL-STD-105E, read in two public copies.
    CHECK(plan(501, "1.0").letter == 'J');
    CHECK(plan(1200, "1.0").letter == 'J');
    CHECK(written(plan(800, "1.0")) == "80/2/3");
    CHECK(written(plan(800, "1.0", Severity::tightened)) == "80/1/2");
    CHECK(written(plan(800, "1.0", Severity::reduced)) == "32/1/3");
    CHECK(written(plan(200, "1.0")) == "50/1/2");  // letter G, an arrow down
    CHECK(written(plan(100, "0.65")) == "20/0/1");
    CHECK(written(*plan_for(2'000'000, InspectionLevel::II, *parse_aql("0.025"), Severity::tightened)) == "3150/1/2");
}

TEST_CASE("A sample as large as the lot is the lot") {
    const auto small = plan(20, "0.65");  // 20 of 20
    CHECK(small.whole_lot);
    CHECK(small.sample_size == 20);
    CHECK_FALSE(plan(21, "0.65").whole_lot);
    CHECK(plan(21, "0.65").sample_size == 20);
    const auto tiny = plan(2, "0.010");
    CHECK(tiny.whole_lot);
    CHECK(tiny.sample_size == 2);
}

TEST_CASE("A lot or a quality limit without a plan is refused by name") {
    const auto one = plan_for(1, InspectionLevel::II, 1000, Severity::normal);
    REQUIRE_FALSE(one);
    CHECK(one.error().code == "sampling.lot_too_small");
    CHECK(plan_for(-5, InspectionLevel::II, 1000, Severity::normal).error().code == "sampling.lot_too_small");
    const auto between = plan_for(100, InspectionLevel::II, 700, Severity::normal);
    REQUIRE_FALSE(between);
    CHECK(between.error().code == "sampling.aql_unknown");
    CHECK(between.error().detail("found") == "0.700");
    CHECK(sampling_aqls().size() == 26);
    CHECK(*parse_aql("1") == 1000);
    CHECK(*parse_aql("1.00") == 1000);
    CHECK(*parse_aql("0.010") == 10);
    for (const auto* text : {"", "0,65", "0.66", "0.0105", "-1.0", "65 %", "1e0", "0"}) {
        const auto refused = parse_aql(text);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == "sampling.aql_unknown");
        CHECK(refused.error().detail("known").substr(0, 14) == "0.010, 0.015, ");
    }
}

TEST_CASE("A lot's verdict, and the gap of a reduced plan that sends inspection back to normal") {
    const auto normal = plan(800, "1.0");
    CHECK(lot_verdict(normal, 2) == LotVerdict::accepted);
    CHECK(lot_verdict(normal, 3) == LotVerdict::rejected);
    const auto reduced = plan(800, "1.0", Severity::reduced);  // 1 and 3
    CHECK(lot_verdict(reduced, 1) == LotVerdict::accepted);
    CHECK(lot_verdict(reduced, 2) == LotVerdict::accepted_back_to_normal);
    CHECK(lot_verdict(reduced, 3) == LotVerdict::rejected);
    CHECK_THROWS_AS(lot_verdict(normal, -1), std::domain_error);
}
