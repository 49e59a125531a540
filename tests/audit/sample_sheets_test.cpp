// A sample measured again, as sheets.
#include "reports/audit/sample_sheets.h"

#include <algorithm>

#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::audit;

namespace {

SampleFacts sample() {
    SampleFacts f;
    f.sample = "RM-1";
    f.shift = "2026-11-25/1";
    f.plan = "zero_acceptance";
    f.quality_ppm = 100'000;
    f.confidence_permille = 900;
    f.seed = "0000000000000007";
    f.lot_size = 10;
    f.size = 5;
    return f;
}

SamplePair pair(const std::string& serial, Length first, Length again) {
    return {serial, "a", 1, "CAL-1", "CAL-2", first, again, "conforms", "conforms", 10};
}

const Sheet* find(const std::vector<Sheet>& sheets, const std::string& id) {
    const auto at = std::find_if(sheets.begin(), sheets.end(), [&](const Sheet& s) { return s.id == id; });
    return at == sheets.end() ? nullptr : &*at;
}

std::string cell(const Sheet& s, std::size_t row, const std::string& column) {
    for (std::size_t i = 0; i < s.columns.size(); ++i)
        if (s.columns[i].id == column) return s.rows.at(row)[i];
    FAIL("no column " + column);
    return {};
}

}  // namespace

TEST_CASE("before it is measured a sample says what its plan promises, and nothing of what was read") {
    const auto sheets = sample_sheets(sample());
    REQUIRE(sheets.size() == 2);
    const auto* plan = find(sheets, "sample_plan");
    REQUIRE(plan);
    CHECK(cell(*plan, 0, "plan") == "zero_acceptance");
    CHECK(cell(*plan, 0, "quality_pct") == "10.000");
    CHECK(cell(*plan, 0, "confidence_pct") == "90.0");
    // Five of ten, none bad allowed: one bad one among the ten stays unseen with C(9,5) / C(10,5) = 126 / 252, two with
    // C(8,5) / C(10,5) = 56 / 252.
    const auto* chances = find(sheets, "sample_chances");
    REQUIRE(chances);
    CHECK(cell(*chances, 0, "accepted_pct") == "100.0");
    CHECK(cell(*chances, 1, "bad") == "1");
    CHECK(cell(*chances, 1, "accepted_pct") == "50.0");
    CHECK(cell(*chances, 2, "bad") == "2");
    CHECK(cell(*chances, 2, "accepted_pct") == "22.2");
}

TEST_CASE("the differences, their limits of agreement, and what was overturned stand as text") {
    auto f = sample();
    f.judged = true;
    f.overturned = {"K1000003"};
    // Differences 0.01, 0.03, 0.02 mm: mean 0.02, s = 0.01; limits 0.02 -+ 1.96 x 0.01 (Bland and Altman 1986).
    f.pairs = {pair("K1000001", 25'500_um, 25'510_um), pair("K1000002", 25'490_um, 25'520_um),
               pair("K1000003", 25'690_um, 25'710_um)};
    f.pairs[2].verdict = "fails";
    const auto sheets = sample_sheets(f);
    const auto* agreement = find(sheets, "sample_agreement");
    REQUIRE(agreement);
    CHECK(cell(*agreement, 0, "value_mm") == "0.0200");
    CHECK(cell(*agreement, 1, "value_mm") == "0.0004");
    CHECK(cell(*agreement, 2, "value_mm") == "0.0396");
    CHECK(cell(*agreement, 3, "value_mm") == "0.01000");
    const auto* overturned = find(sheets, "sample_overturned");
    REQUIRE(overturned);
    REQUIRE(overturned->rows.size() == 1);
    CHECK(cell(*overturned, 0, "serial") == "K1000003");
    CHECK(cell(*overturned, 0, "difference_mm") == "0.0200");
    const auto* result = find(sheets, "sample_result");
    REQUIRE(result);
    CHECK(cell(*result, 0, "accepted") == "no");
    CHECK(result->notes.front().code == "sample.rejected");
    REQUIRE(find(sheets, "sample_pairs"));
    CHECK(find(sheets, "sample_pairs")->rows.size() == 3);
    f.inches = true;
    CHECK(cell(*find(sample_sheets(f), "sample_pairs"), 0, "difference_in") == "0.00039");
}

TEST_CASE("one pair alone has a difference and no limits of agreement") {
    auto f = sample();
    f.judged = true;
    f.accepted = true;
    f.pairs = {pair("K1000001", 25'500_um, 25'510_um)};
    const auto sheets = sample_sheets(f);
    CHECK_FALSE(find(sheets, "sample_agreement"));
    CHECK_FALSE(find(sheets, "sample_overturned"));
    CHECK(find(sheets, "sample_result")->notes.front().code == "sample.accepted");
}
