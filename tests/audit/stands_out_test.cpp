#include "tests/support/catch.h"

#include <iostream>
#include <map>
#include <utility>

#include "reports/audit/compared.h"
#include "reports/audit/differences.h"
#include "reports/audit/level_search.h"
#include "tests/audit/year_facts.h"

using namespace audit_test;

namespace {

std::vector<Difference> found_in(const AuditFacts& facts) {
    const Work work = work_of(facts, {});
    return differences_of(work).found;
}

std::string listed(const std::vector<Difference>& found) {
    std::string out;
    for (const Difference& d : found)
        out += fmt::format("{} {} {} {}: {:.1f} um, p {:.3g}\n", static_cast<int>(d.response),
                           static_cast<int>(d.pattern), value_code(d.factor), d.level, d.estimate / 1000, d.p_adjusted);
    return out;
}

const Difference* one(const std::vector<Difference>& found, Factor factor, const std::string& level) {
    for (const Difference& d : found)
        if (d.factor == factor && d.level == level) return &d;
    return nullptr;
}

}  // namespace

TEST_CASE("weeks are those of ISO 8601, which a year shares with its neighbour") {
    // ISO 8601:2004 3.2.2 and its table of examples: 2005-01-01 lies in 2004-W53, 2007-12-31 in 2008-W01.
    CHECK(iso_week("2005-01-01") == "2004-W53");
    CHECK(iso_week("2007-12-31") == "2008-W01");
    CHECK(iso_week("2026-11-25") == "2026-W48");
    CHECK(iso_week("yesterday").empty());
}

TEST_CASE("of a year with four planted faults each is named, and nothing else") {
    Planted planted;
    planted.die_wears = planted.setting_bumped = planted.gauge_off = planted.hose_lot_bad = true;
    const auto found = found_in(year_facts(1, planted));
    INFO(listed(found));
    const Difference* wear = one(found, Factor::die_set, "D2");
    REQUIRE(wear != nullptr);
    CHECK(wear->pattern == Pattern::trend);
    CHECK(wear->estimate / 1000 == cqt::Approx(40).margin(5));  // se 8 um sqrt(12 / 250) = 1.8 um
    const Difference* lot = one(found, Factor::hose_lot, "H07");
    REQUIRE(lot != nullptr);
    CHECK(lot->estimate / 1000 == cqt::Approx(30).margin(6));
    const Difference* gauge = one(found, Factor::gauge_week, "G2, 2026-W32");
    REQUIRE(gauge != nullptr);
    CHECK(gauge->estimate / 1000 == cqt::Approx(15).margin(3));
    // The bump in the middle of a set-up, and the other set-up of that day.
    std::size_t bumps = 0;
    for (const Difference& d : found) {
        const bool bump = d.pattern == Pattern::jump || d.factor == Factor::setup || d.factor == Factor::day;
        if (!bump) continue;
        ++bumps;
        CHECK(d.estimate / 1000 == cqt::Approx(60).margin(26));
        CHECK(time_text(d.from_ms).substr(0, 10) == "2026-05-25");
    }
    CHECK(bumps >= 1);
    CHECK(bumps <= 2);
    CHECK(found.size() == 3 + bumps);
}

TEST_CASE("a gauge that was off for a week shows in its proofs too") {
    Planted planted;
    planted.gauge_off = planted.gauge_proofs_too = true;
    const auto found = found_in(year_facts(2, planted));
    INFO(listed(found));
    REQUIRE(found.size() == 2);
    CHECK(found[0].response == Response::level);
    CHECK(found[1].response == Response::proof_error);
    CHECK(found[0].level == "G2, 2026-W32");
    CHECK(found[1].level == "G2, 2026-W32");
}

TEST_CASE("a hose lot whose ends are ragged is named by their spread") {
    Planted planted;
    planted.hose_lot_ragged = true;
    const auto found = found_in(year_facts(3, planted));
    INFO(listed(found));
    REQUIRE(found.size() == 1);
    CHECK(found[0].response == Response::spread);
    CHECK(found[0].level == "H11");
}

TEST_CASE("twenty years without a fault: false alarms no more often than stated") {
    // At most one year in a hundred by chance; three or more of twenty would have p = 0.001 (binomial).
    int alarms = 0;
    for (std::uint64_t number = 100; number < 120; ++number) {
        const auto found = found_in(year_facts(number));
        UNSCOPED_INFO(listed(found));
        alarms += !found.empty();
    }
    std::cout << "false alarms in 20 years without a fault: " << alarms << " (stated: 1 % of years)\n";
    CHECK(alarms <= 2);
}

TEST_CASE("what keeps the false alarms rare is the number of comparisons: without it every faultless year has some") {
    for (std::uint64_t number = 100; number < 103; ++number) {
        const AuditFacts facts = year_facts(number);
        const Work work = work_of(facts, {});
        const Compared compared = compared_of(work);
        LevelSearch search(compared);
        CHECK(search.comparisons() > 1000);
        CHECK_FALSE(search.run(1, stated_error).empty());
    }
}

TEST_CASE(
    "set-up pieces on one mounting are one observation: taken for independent, most faultless years have alarms") {
    int alarms = 0, as_if_independent = 0;
    for (std::uint64_t number = 100; number < 110; ++number) {
        AuditFacts facts = set_up_often(year_facts(number));
        const auto found = found_in(facts);
        UNSCOPED_INFO(listed(found));
        alarms += !found.empty();
        for (SetupFact& setup : facts.setups)
            setup.mounting_seq = 0;
        as_if_independent += !found_in(facts).empty();
    }
    CHECK(alarms <= 1);  // at 1 % two or more of ten have p = 0.004
    CHECK(as_if_independent >= 5);
    const AuditFacts facts = set_up_often(year_facts(100));
    const Compared compared = compared_of(work_of(facts, {}));
    CHECK(compared.units.size() == 500);
    CHECK(compared.setups.size() == 2000);
}

TEST_CASE("with several set-up pieces on each mounting the four planted faults are named all the same") {
    Planted planted;
    planted.die_wears = planted.setting_bumped = planted.gauge_off = planted.hose_lot_bad = true;
    const AuditFacts facts = set_up_often(year_facts(1, planted));
    const auto found = found_in(facts);
    INFO(listed(found));
    CHECK(one(found, Factor::die_set, "D2") != nullptr);
    CHECK(one(found, Factor::hose_lot, "H07") != nullptr);
    CHECK(one(found, Factor::gauge_week, "G2, 2026-W32") != nullptr);
    CHECK(std::any_of(found.begin(), found.end(), [](const Difference& d) {
        return time_text(d.from_ms).substr(0, 10) == "2026-05-25" && d.estimate > 30'000;
    }));
}

TEST_CASE("a hose lot of which more ends are stopped is named by that, and an ordinary one is not") {
    AuditFacts facts = year_facts(7);
    std::map<std::string, std::string> lots;
    for (const AssemblyFact& a : facts.assemblies)
        lots[a.serial] = a.hose_lot;
    // One end in 101 is stopped everywhere, of lot H09 one in 11 as well: both ends alike, for both numbers are odd.
    for (std::size_t i = 0; i < facts.ends.size(); ++i)
        if (i % 101 == 0 || (lots[facts.ends[i].serial] == "H09" && i % 11 == 0)) facts.ends[i].verdict = "uncertain";
    const auto found = found_in(facts);
    INFO(listed(found));
    REQUIRE(found.size() == 1);
    CHECK(found[0].response == Response::not_conforming);
    CHECK(found[0].level == "H09");
    CHECK(found[0].estimate == cqt::Approx(0.09).margin(0.002));  // 1/11 + 1/101 - 1/1111 against 1/101
}

// Slow: run by name.
TEST_CASE("a hundred faultless years, and ten with every fault", "[.rate]") {
    int alarms = 0, missed = 0, invented = 0;
    for (std::uint64_t number = 1000; number < 1100; ++number)
        alarms += !found_in(year_facts(number)).empty();
    Planted planted;
    planted.die_wears = planted.setting_bumped = planted.gauge_off = planted.hose_lot_bad = true;
    for (std::uint64_t number = 2000; number < 2010; ++number) {
        const auto found = found_in(year_facts(number, planted));
        int known = 0;
        for (const auto& [factor, level] : {std::pair(Factor::die_set, "D2"), std::pair(Factor::hose_lot, "H07"),
                                            std::pair(Factor::gauge_week, "G2, 2026-W32")}) {
            const bool is = one(found, factor, level) != nullptr;
            known += is;
            missed += !is;
        }
        int bumps = 0;
        for (const Difference& d : found)
            bumps += time_text(d.from_ms).substr(0, 10) == "2026-05-25" && d.estimate > 30'000;
        missed += bumps == 0;
        invented += static_cast<int>(found.size()) - known - bumps;
        UNSCOPED_INFO(listed(found));
    }
    std::cout << "of 100 faultless years " << alarms << " with a false alarm; of 40 planted faults " << missed
              << " missed, " << invented << " named that were not planted\n";
    CHECK(alarms <= 3);  // at 1 % four or more have p = 0.02
    CHECK(missed == 0);
    CHECK(invented == 0);
}

TEST_CASE("too few set-ups are not compared, and it says so") {
    SmallFacts f;
    f.assembly("S1");
    f.end("S1", "a", 25'010_um);
    const Audit audit = make_audit(f.facts);
    const Sheet& sheet = sheet_of(audit, "stands_out");
    CHECK(sheet.rows.empty());
    REQUIRE(sheet.notes.size() == 1);
    CHECK(sheet.notes[0].code == "audit.note.too_few_setups");
}
