#include "tests/support/catch.h"

#include "tests/audit/small_facts.h"

using namespace audit_test;

namespace {

const Chart& chart_of(const Audit& audit, const std::string& id) {
    for (const Chart& chart : audit.charts)
        if (chart.id == id) return chart;
    throw std::logic_error("no chart " + id);
}

void setup(SmallFacts& f) {
    SetupFact s;
    s.seq = f.next();
    s.spec = "S16";
    s.revision = "1";
    s.crimper = "C1";
    s.die_set = "D25";
    s.hose_lot = "H1";
    s.passed = true;
    f.facts.setups.push_back(s);
}

}  // namespace

TEST_CASE("end means are a chart of individuals, begun anew at a set-up piece; limits by hand") {
    SmallFacts f;
    setup(f);
    f.assembly("S1");
    f.assembly("S2");
    f.end("S1", "a", 25'000_um);
    f.end("S1", "b", 25'010_um);
    setup(f);
    f.end("S2", "a", 25'100_um, 40_um);  // no moving range across the set-up: it would be 0.090
    f.end("S2", "b", 25'090_um, 40_um);
    const Audit audit = make_audit(f.facts);
    const Chart& means = chart_of(audit, std::string("means:") + stream_name);
    // Mean 25.050; moving ranges 0.010 and 0.010; sigma 0.010 / d2(2) = 0.010 / 1.128379 = 0.0088623;
    // limits 25.050 -+ 0.026587 (ASTM MNL 7: d2(2) = 1.128).
    CHECK(means.centre == "25.0500");
    CHECK(means.sigma == "0.00886");
    CHECK(means.lower == "25.0234");
    CHECK(means.upper == "25.0766");
    CHECK(means.band_lower == "24.8000");
    CHECK(means.restarts == std::vector<std::int64_t>{2});
    REQUIRE(means.points.size() == 4);
    CHECK(means.points[2].value == "25.1000");
    CHECK(means.points[2].serial == "S2");
    CHECK(means.points[2].signals == std::vector<std::string>{"beyond_three_sigma"});
    CHECK_FALSE(means.frozen);
    // Ranges 20 20 40 40 um of two places: mean 30, upper limit D4(2) = 3.2665 times it, 0.0980; lower 0.
    const Chart& spreads = chart_of(audit, std::string("spreads:") + stream_name);
    CHECK(spreads.centre == "0.0300");
    CHECK(spreads.lower == "0.0000");
    CHECK(spreads.upper == "0.0980");
    // All four lie beyond: below, below, above, above; a pattern that goes on is one signal.
    const Sheet& signals = sheet_of(audit, "signals");
    REQUIRE(signals.rows.size() == 2);
    CHECK(cell(signals, 0, "side") == "below");
    CHECK(cell(signals, 0, "points") == "2");
    CHECK(cell(signals, 1, "side") == "above");
}

TEST_CASE("frozen limits are held to, and it says who froze them") {
    SmallFacts f;
    f.assembly("S1");
    f.end("S1", "a", 25'000_um);
    f.end("S1", "b", 25'160_um);
    FrozenFact frozen;
    frozen.stream = stream_name;
    frozen.centre = 25'000_um;
    frozen.lower = 24'850_um;
    frozen.upper = 25'150_um;
    frozen.sigma = 50_um;
    frozen.seq = 1;
    frozen.points = 60;
    frozen.person = "lea";
    f.facts.frozen.push_back(frozen);
    const Audit audit = make_audit(f.facts);
    const Chart& means = chart_of(audit, std::string("means:") + stream_name);
    CHECK(means.frozen);
    CHECK(means.upper == "25.1500");
    REQUIRE(means.notes.size() == 2);
    CHECK(means.notes[0].code == "audit.note.frozen_limits");
    CHECK(means.notes[0].detail("person") == "lea");
    CHECK(sheet_of(audit, "signals").rows.size() == 1);
}

TEST_CASE("ends that frozen limits were reckoned without stand apart on their own chart, and on no other") {
    SmallFacts f;
    f.assembly("S1");
    f.end("S1", "a", 25'000_um);
    const std::int64_t slipped = f.end("S1", "b", 25'120_um).seq;
    FrozenFact frozen;
    frozen.stream = stream_name;
    frozen.centre = 25'000_um;
    frozen.lower = 24'850_um;
    frozen.upper = 25'150_um;
    frozen.sigma = 50_um;
    frozen.left_out = {slipped, 4711};  // the other is not of this audit
    f.facts.frozen.push_back(frozen);
    const Audit audit = make_audit(f.facts);
    const Chart& means = chart_of(audit, std::string("means:") + stream_name);
    REQUIRE(means.points.size() == 2);
    CHECK_FALSE(means.points[0].left_out);
    CHECK(means.points[1].left_out);
    CHECK_FALSE(chart_of(audit, std::string("spreads:") + stream_name).points[1].left_out);
}

TEST_CASE("signals stand beside how many chance alone would make") {
    SmallFacts f;
    f.facts.watch_rules = {"beyond_three_sigma"};
    f.assembly("S1");
    for (int i = 0; i < 40; ++i)
        f.end("S1", "a", Length::from_um(25'000 + 10 * (i % 3)), 20_um, "conforms", {}, i + 1);
    const Audit audit = make_audit(f.facts);
    const Sheet& signals = sheet_of(audit, "signals");
    REQUIRE(signals.notes.size() == 1);
    CHECK(signals.notes[0].code == "audit.note.false_alarms");
    CHECK(signals.notes[0].detail("in") == "370");  // 1 / 0.0027 (Nelson 1984; Champ and Woodall 1987: 370.4)
    CHECK(signals.notes[0].detail("points") == "40");
    CHECK(signals.notes[0].detail("expected") == "0.1");
}

TEST_CASE("an index never comes without its sigma, and from too few values it does not come at all") {
    SmallFacts f;
    f.assembly("S1");
    for (int i = 0; i < 3; ++i)
        f.end("S1", "a", Length::from_um(25'000 + 10 * i), 20_um, "conforms", {}, i + 1);
    const Audit audit = make_audit(f.facts);
    const Sheet& capability = sheet_of(audit, "capability");
    REQUIRE(capability.rows.size() == 7);
    for (std::size_t row = 0; row < capability.rows.size(); ++row) {
        CHECK(cell(capability, row, "index_value").empty());
        CHECK(cell(capability, row, "warning").find("capability.too_few_values") != std::string::npos);
        CHECK_FALSE(cell(capability, row, "sigma_from").empty());
    }
    CHECK(cell(capability, 0, "index") == "Pp");
    CHECK(cell(capability, 3, "index") == "Cp");
}

TEST_CASE("capability by hand: nine end means from 24.96 to 25.04 mm in a band of 0.4 mm") {
    SmallFacts f;
    f.assembly("S1");
    for (int i = 0; i < 9; ++i)
        f.end("S1", "a", Length::from_um(24'960 + 10 * i), 20_um, "conforms", {}, i + 1);
    const Audit audit = make_audit(f.facts);
    const Sheet& capability = sheet_of(audit, "capability");
    // Overall: squares about the mean 2 (40^2 + 30^2 + 20^2 + 10^2) = 6000 um^2, sd sqrt(6000 / 8) = 27.386 um;
    // Pp = 400 / (6 x 27.386) = 2.434, in the middle so Ppk the same. Within: moving ranges all 10, sigma
    // 10 / 1.128379 = 8.8623, Cp = 400 / (6 x 8.8623) = 7.523.
    CHECK(cell(capability, 3, "index") == "Cp");
    CHECK(cell(capability, 3, "index_value") == "7.523");
    CHECK(cell(capability, 5, "index") == "Pp");
    CHECK(cell(capability, 5, "index_value") == "2.434");
    CHECK(cell(capability, 5, "sigma_mm") == "0.02739");
    CHECK(cell(capability, 6, "index_value") == "2.434");
}
