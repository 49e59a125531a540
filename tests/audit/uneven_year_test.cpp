// What stands out where a year is less tidy than the theory: crimps that went wrong, a wear that begins in mid-year, a
// lot whose ends scatter.
#include "tests/support/catch.h"

#include "reports/audit/differences.h"
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

void add(EndFact& end, double by_um) {
    end.mean = *end.mean + um(by_um);
}

}  // namespace

TEST_CASE("a crimp that stopped short is one bad end, not a jump of its set-up nor a set-up that differs") {
    AuditFacts facts = year_facts(21);
    // One end in 151, some of them at the edge of a set-up and some next to nothing but the edge.
    std::size_t wild = 0;
    for (std::size_t i = 0; i < facts.ends.size(); i += 151) {
        add(facts.ends[i], i % 2 == 0 ? 280 : -270);
        facts.ends[i].verdict = "fails";
        ++wild;
    }
    REQUIRE(wild > 100);
    const auto found = found_in(facts);
    INFO(listed(found));
    CHECK(found.empty());
    // They are still there for the share that does not conform.
    const Compared compared = compared_of(work_of(facts, {}));
    std::size_t left_out = 0;
    for (const ComparedEnd& end : compared.ends)
        left_out += !end.conforms && !end.level_known;
    CHECK(left_out == wild);
}

TEST_CASE("a die set that begins to wear in mid-year is named once, as a wear, with when it began") {
    AuditFacts facts = year_facts(22);
    std::map<std::string, std::string> dies;
    for (const AssemblyFact& a : facts.assemblies)
        dies[a.serial] = a.die_set_a;
    const std::int64_t begin = facts.ends[facts.ends.size() * 6 / 10].ms, last = facts.ends.back().ms;
    for (EndFact& end : facts.ends)
        if (dies[end.serial] == "D1" && end.ms > begin)
            add(end, 45 * static_cast<double>(end.ms - begin) / static_cast<double>(last - begin));
    const auto found = found_in(facts);
    INFO(listed(found));
    REQUIRE(found.size() == 1);
    CHECK(found[0].pattern == Pattern::trend);
    CHECK(found[0].level == "D1");
    CHECK(found[0].estimate / 1000 == cqt::Approx(45).margin(7));
    // To a twelfth of the year either way.
    CHECK(std::abs(static_cast<double>(found[0].from_ms - begin)) / 86'400'000 < 35);
}

TEST_CASE("of a lot that comes out larger and scatters, the lot is named and not its scatter as jumps") {
    AuditFacts facts = year_facts(23);
    std::map<std::string, std::string> lots;
    for (const AssemblyFact& a : facts.assemblies)
        lots[a.serial] = a.hose_lot;
    Chance chance(5);
    for (EndFact& end : facts.ends)
        if (lots[end.serial] == "H09") add(end, 30 + 13 * chance.normal());
    const auto found = found_in(facts);
    INFO(listed(found));
    REQUIRE(found.size() == 1);
    CHECK(found[0].level == "H09");
    CHECK(found[0].pattern == Pattern::differs);
}

TEST_CASE("of two calipers at one bench the one that left the middle is named, not its mirror image") {
    AuditFacts facts = year_facts(25);
    std::map<std::pair<std::string, std::string>, std::string> by;
    for (ReadingFact& r : facts.readings) {
        if (r.gauge == "G3") r.gauge = "G1";
        by[{r.serial, r.end}] = r.gauge;
    }
    const std::int64_t from = facts.ends[9'600].ms, to = facts.ends[9'999].ms;  // days 120 to 124 are ISO week 26
    for (EndFact& end : facts.ends)
        if (end.ms >= from && end.ms <= to && by[{end.serial, end.end}] == "G1") add(end, -15);
    const auto found = found_in(facts);
    INFO(listed(found));
    std::size_t named = 0;
    for (const Difference& d : found)
        if (d.factor == Factor::gauge_week || d.factor == Factor::gauge) {
            ++named;
            CHECK(d.level == "G1, 2026-W26");
        }
    CHECK(named == 1);
}
