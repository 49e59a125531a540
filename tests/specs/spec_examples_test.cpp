// The example tables against the rest of the rules: a shop must be able to work with them as they stand.
#include <fstream>
#include <iterator>
#include <string>

#include "specs/crimp_geometry.h"
#include "specs/decision_rule.h"
#include "specs/spec_table.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

SpecTable example(const std::string& name) {
    std::ifstream file(std::string(CRIMPGATE_SOURCE_DIR) + "/specs/examples/" + name, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), {}};
    auto table = parse_spec_table(text);
    REQUIRE(table.has_value());
    return *std::move(table);
}

}  // namespace

TEST_CASE("R5: a caliper of 0.012 mm standard uncertainty suits every row of the examples, one of 0.2 mm none") {
    for (const auto* name : {"demo_table.csv", "demo_table_in.csv"})
        for (const auto& row : example(name).rows) {
            INFO(name << " " << row.spec_id);
            CHECK(gauge_suits(row, {"caliper", 12_um}, {}).has_value());
            const bool guarded = row.rule.kind == RuleKind::guarded;  // without a guard nothing is too coarse
            CHECK(gauge_suits(row, {"tape", 200_um}, {}).has_value() == !guarded);
        }
}

TEST_CASE("The -8 rows of the example crimp the hose by the constructed case's 29.85 percent of its wall") {
    const auto table = example("demo_table.csv");
    for (std::size_t i = 0; i < 2; ++i) {
        const auto& row = table.rows.at(i);
        REQUIRE(row.geometry.has_value());
        const auto wall = pressed_wall(crimp_sizes(*row.geometry), 25.5);
        REQUIRE(wall.has_value());
        CHECK(wall->compression_by_wall == cqt::Approx(29.85).margin(0.005));
        CHECK(*row.bore_pin < row.geometry->stem_bore_after);
    }
}

TEST_CASE("Every row of the examples says that it is invented") {
    for (const auto* name : {"demo_table.csv", "demo_table_in.csv"})
        for (const auto& row : example(name).rows) {
            CHECK(row.source.find("Invented") != std::string::npos);
            CHECK(row.hose.maker.find("(invented)") != std::string::npos);
            CHECK(row.fitting.maker.find("(invented)") != std::string::npos);
        }
}
