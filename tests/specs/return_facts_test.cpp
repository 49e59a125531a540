// Figures of how a returned hose was used: read, laid over the order's, and held against the ratings.
#include "specs/return_facts.h"

#include <set>

#include "specs/failure_ranking.h"
#include "specs/return_questions.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

Application ordered() {
    Application out;
    out.highest_pressure = Pressure::from_bar(200);
    out.fluid_max_c = 70;
    out.ambient_max_c = 95;
    out.straight_a = 50'000_um;
    out.straight_b = 30'000_um;
    out.fluid = Fluid::mineral_oil;
    return out;
}

}  // namespace

TEST_CASE("codes of figures and of questions never meet, and every figure has words and bounds") {
    std::set<std::string_view> seen;
    for (const auto& fact : return_facts()) {
        CHECK(seen.insert(fact.code).second);
        CHECK(find_question(fact.code) == nullptr);
        CHECK(fact.words.starts_with("returned.fact."));
        if (fact.kind != FactKind::fluid) CHECK(fact.least < fact.most);
    }
    CHECK(fluid_codes().size() == static_cast<std::size_t>(Fluid::other) + 1);
}

TEST_CASE(
    "what was seen where the hose worked comes before what the order said, and what nobody knows changes nothing") {
    const auto used = stated_over(ordered(), {{"use.pressure", "31000"}, {"use.slack", "not_known"}});
    CHECK(used.highest_pressure == Pressure::from_bar(310));
    CHECK(used.straight_b == 30'000_um);
    CHECK_FALSE(used.slack);
    CHECK(stated_over(ordered(), {}) == ordered());
    const auto hot = stated_over(ordered(), {{"use.temperature_max", "80"}, {"use.fluid", "hfd"}});
    CHECK(application_evidence(hot, nullptr, {}).temperature_max_c == 80);
    CHECK(hot.fluid == Fluid::hfd);
    CHECK(application_evidence(ordered(), nullptr, {}).temperature_max_c == 95);  // the hotter of the two
    CHECK(application_evidence(ordered(), nullptr, {}).straight_lead == 30'000_um);
}

TEST_CASE("R8: a figure that is none, or out of all reason, is refused and never guessed") {
    CHECK(check_fact("use.pressure", "31000"));
    CHECK(check_fact("use.pressure", "31,5").error().code == "returned.fact_not_whole");
    CHECK(check_fact("use.pressure", "").error().code == "returned.fact_not_whole");
    CHECK(check_fact("use.pressure", "99999999999999999999").error().code == "returned.fact_not_whole");
    CHECK(check_fact("use.vacuum", "102").error().code == "returned.fact_out_of_range");  // more than the air presses
    CHECK(check_fact("use.colour", "1").error().code == "returned.no_such_question");
    // A record that holds such a figure all the same counts for nothing.
    CHECK(application_evidence({}, nullptr, {{"rated.pressure", "many"}}).rating == std::nullopt);
}

TEST_CASE("an unknown hose has the ratings that were read off it; one of ours has its record's") {
    const StatedFacts read = {{"rated.pressure", "27500"}, {"rated.bend_radius", "180000000"}};
    const auto unknown = application_evidence({}, nullptr, read);
    CHECK(unknown.rating == Pressure::from_bar(275));
    CHECK(unknown.bend_radius_min == 180'000_um);
    AssemblyFacts made;
    made.row_a.hose.dash = 8;
    made.row_a.hose.bend_radius = 200'000_um;
    made.rating.rating.pressure = Pressure::from_bar(350);
    const auto ours = application_evidence({}, &made, read);
    CHECK(ours.rating == Pressure::from_bar(350));
    CHECK(ours.bend_radius_min == 200'000_um);
    CHECK(ours.bore == 12'700_um);  // 8/16 in
}
