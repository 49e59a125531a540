#include "specs/application.h"

#include <set>

#include <rapidcheck.h>

#include "tests/specs/application_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;
using enum FindingSeverity;

TEST_CASE("R10: what is not stated is named as not checked, never passed") {
    const auto all = check_application({}, assembly());
    std::vector<std::string> codes;
    for (const auto& f : all) {
        codes.push_back(f.what.code);
        // An order without elbows and a dated hose lot are all that is known here.
        if (f.what.code == "application.orientation_not_needed" || f.what.code == "application.hose_age_holds")
            continue;
        INFO(f.what.code);
        CHECK(f.severity == note);
        CHECK(f.source.empty());
    }
    CHECK(codes == std::vector<std::string>{"application.pressure_not_stated", "application.duty_not_stated",
                                            "application.fluid_not_stated", "application.fluid_heat_not_stated",
                                            "application.fluid_cold_not_stated", "application.ambient_heat_not_stated",
                                            "application.ambient_cold_not_stated", "application.vacuum_not_stated",
                                            "application.bend_not_stated", "application.lead_not_stated",
                                            "application.lead_not_stated", "application.bend_length_not_stated",
                                            "application.length_not_stated", "application.slack_not_stated",
                                            "application.movement_not_stated", "application.orientation_not_needed",
                                            "application.hose_age_holds"});
    CHECK_FALSE(has_stop(all));
}

// SAE J517 scope: the lower of hose and connector; vectors of the trade: 4SH -16 (380 bar) with a 28L cone (100 bar).
TEST_CASE("R4, R13: the highest pressure with its spikes may reach the rating and not exceed it") {
    auto facts = assembly();
    const auto at = [&](std::int64_t kpa) {
        Application wanted;
        wanted.highest_pressure = Pressure::from_kpa(kpa);
        return check_application(wanted, facts).front();
    };
    CHECK(at(27'500).severity == holds);
    CHECK(at(27'500).what.code == "application.pressure_holds");
    CHECK(at(27'501).severity == stop);
    CHECK(at(27'501).what.detail("found") == "275.01");
    CHECK(at(27'501).what.detail("rating") == "275");
    CHECK(at(27'501).confidence == SourceMark::several_pages);
    facts.row_b.fitting.working_pressure = {Pressure::from_bar(100), "100 bar"};
    facts.rating = working_pressure(facts.row_a, facts.row_b);
    CHECK(at(10'000).severity == holds);
    CHECK(at(10'001).what.code == "application.pressure_above_rating");
    CHECK(at(10'001).what.detail("governs") == "fitting_b");
}

// Scopes of EN 853, 856, 857 (2015): oil -40 to +100 C here as the row says, water based -40 to +70, water 0 to +70.
TEST_CASE("Temperatures stay in the row's range, and with water in the standard's narrower one") {
    const auto worst = [](std::optional<Fluid> fluid, std::int64_t low, std::int64_t high, std::string_view standard) {
        auto row = row_2sn_08();
        row.hose.standard = standard;
        Application wanted;
        wanted.fluid = fluid;
        wanted.fluid_min_c = low;
        wanted.fluid_max_c = high;
        const auto all = check_application(wanted, assembly_of(row));
        return std::pair(find(all, "application.fluid_too_cold") != nullptr,
                         find(all, "application.fluid_too_hot") != nullptr);
    };
    using Told = std::pair<bool, bool>;
    CHECK(worst(Fluid::mineral_oil, -40, 100, "EN 853 2SN") == Told{false, false});
    CHECK(worst(Fluid::mineral_oil, -41, 101, "EN 853 2SN") == Told{true, true});
    for (const auto fluid : {Fluid::hfa, Fluid::hfb, Fluid::hfc}) {
        CHECK(worst(fluid, -40, 70, "EN 853 2SN") == Told{false, false});
        CHECK(worst(fluid, -41, 71, "ISO 1436 2SN") == Told{true, true});
    }
    CHECK(worst(Fluid::water, 0, 70, "EN 853 2SN") == Told{false, false});
    CHECK(worst(Fluid::water, -1, 71, "EN 853 2SN") == Told{true, true});
    // Of a hose to no known standard only the row's own range is known.
    CHECK(worst(Fluid::water, -40, 100, "") == Told{false, false});
    CHECK(worst(std::nullopt, -40, 100, "EN 853 2SN") == Told{false, false});
}

TEST_CASE("A temperature's finding names the maker's row, or the standard's scope where that is the narrower") {
    Application wanted;
    wanted.fluid_max_c = 101;
    auto hot = the(check_application(wanted, assembly()), "application.fluid_too_hot");
    CHECK(hot.severity == stop);
    CHECK(hot.source == "NH-2SN-08-K12, 1");
    CHECK(hot.confidence == SourceMark::spec_row);
    CHECK(hot.what.detail("high") == "100");
    wanted.fluid = Fluid::hfc;
    hot = the(check_application(wanted, assembly()), "application.fluid_too_hot");
    CHECK(hot.source == "EN 853:2015, EN 856:2015, EN 857:2015 (scope)");
    CHECK(hot.what.detail("high") == "70");
    // The air round the hose is held against the rubber's range, whatever flows inside.
    wanted.ambient_max_c = 100;
    wanted.ambient_min_c = -41;
    const auto all = check_application(wanted, assembly());
    CHECK(the(all, "application.ambient_heat_holds").severity == holds);
    CHECK(the(all, "application.ambient_too_cold").severity == stop);
    CHECK(the(all, "application.ambient_too_cold").confidence == SourceMark::common_practice);
    // Two rows that say different things of one hose: the narrower.
    auto facts = assembly();
    facts.row_b.hose.temperature_max_c = 80;
    wanted = {};
    wanted.fluid_max_c = 81;
    CHECK(the(check_application(wanted, facts), "application.fluid_too_hot").what.detail("high") == "80");
}

// EN 853, 856, 857: not for castor-oil or ester based fluids; HFD R, S, T excluded.
TEST_CASE("Esters and HFD stop an order on a hose to EN 853, 856 or 857") {
    const auto about = [](Fluid fluid, std::string_view standard) {
        auto row = row_2sn_08();
        row.hose.standard = standard;
        Application wanted;
        wanted.fluid = fluid;
        return check_application(wanted, assembly_of(row))[2];
    };
    for (const auto* standard : {"EN 853 2SN", "EN 857 2SC", "EN 856 4SH", "SAE 100R13"}) {
        INFO(standard);
        CHECK(about(Fluid::ester, standard).severity == stop);
        CHECK(about(Fluid::hfd, standard).severity == stop);
        CHECK(about(Fluid::hfd, standard).what.code == "application.fluid_excluded");
        for (const auto fluid : {Fluid::mineral_oil, Fluid::hfa, Fluid::hfb, Fluid::hfc, Fluid::water})
            CHECK(about(fluid, standard).severity == holds);
        for (const auto fluid : {Fluid::fuel, Fluid::other})
            CHECK(about(fluid, standard).severity == warn);
    }
    for (const auto fluid : {Fluid::mineral_oil, Fluid::ester})
        CHECK(about(fluid, "maker's own").what.code == "application.fluid_no_scope");
}

TEST_CASE("A tube that its fluid attacks stops the order, marked as common practice") {
    const auto about = [](Fluid fluid, std::optional<TubeCompound> tube) {
        Application wanted;
        wanted.fluid = fluid;
        wanted.tube = tube;
        return check_application(wanted, assembly())[3];
    };
    CHECK(about(Fluid::mineral_oil, TubeCompound::epdm).severity == stop);
    CHECK(about(Fluid::fuel, TubeCompound::epdm).severity == stop);
    CHECK(about(Fluid::hfd, TubeCompound::nbr).severity == stop);
    CHECK(about(Fluid::mineral_oil, TubeCompound::nbr).severity == holds);
    CHECK(about(Fluid::mineral_oil, TubeCompound::epdm).confidence == SourceMark::common_practice);
    CHECK(about(Fluid::hfc, TubeCompound::fkm).what.code == "application.tube_no_rule");
    CHECK(about(Fluid::hfc, TubeCompound::fkm).severity == note);
    CHECK(about(Fluid::mineral_oil, std::nullopt).what.code == "application.tube_not_stated");
}

TEST_CASE("Any vacuum is warned of unless the maker's own figure is at hand, since no printed one is reliable") {
    Application wanted;
    const auto about = [&] {
        const auto all = check_application(wanted, assembly());
        const auto at = std::find_if(all.begin(), all.end(),
                                     [](const auto& f) { return f.what.code.starts_with("application.vacuum"); });
        REQUIRE(at != all.end());
        return *at;
    };
    CHECK(about().severity == note);
    wanted.vacuum = Pressure{};
    CHECK(about().severity == holds);
    wanted.vacuum = Pressure::from_kpa(1);
    CHECK(about().severity == warn);
    CHECK(about().what.code == "application.vacuum_no_figure");
    wanted.vacuum = Pressure::from_kpa(60);
    wanted.hose_vacuum = Pressure::from_kpa(60);
    CHECK(about().severity == holds);
    wanted.vacuum = Pressure::from_kpa(61);
    CHECK(about().severity == stop);
    CHECK(about().what.detail("found") == "0.61");
}

TEST_CASE("A hose flexes in one plane; more than one is warned of") {
    Application wanted;
    const std::pair<std::int64_t, FindingSeverity> cases[] = {{0, holds}, {1, holds}, {2, warn}, {3, warn}};
    for (const auto& [planes, severity] : cases) {
        wanted.planes = planes;
        const auto all = check_application(wanted, assembly());
        const auto at = std::find_if(all.begin(), all.end(),
                                     [](const auto& f) { return f.what.code.starts_with("application.movement"); });
        REQUIRE(at != all.end());
        CHECK(at->severity == severity);
    }
}

// MIL-DTL-83796/5 and a trade page: +-3 degrees up to 24 in (609.6 mm), +-5 above.
TEST_CASE("R4: the angle between two elbows is the one that the machine wants, within its tolerance") {
    auto row = row_2sn_08();
    row.fitting.end_form = "24 deg cone, female swivel, elbow 90";
    const auto about = [&](std::optional<std::int64_t> wanted_deg, std::optional<std::int64_t> ordered,
                           Length overall) {
        auto facts = assembly_of(row);
        facts.overall = overall;
        facts.orientation_deg = ordered;
        Application wanted;
        wanted.orientation_deg = wanted_deg;
        const auto all = check_application(wanted, facts);
        const auto at = std::find_if(all.begin(), all.end(),
                                     [](const auto& f) { return f.what.code.starts_with("application.orientation"); });
        REQUIRE(at != all.end());
        return *at;
    };
    CHECK(about(90, 95, 750'000_um).severity == holds);
    CHECK(about(90, 96, 750'000_um).severity == stop);
    CHECK(about(90, 93, 609'600_um).severity == holds);
    CHECK(about(90, 94, 609'600_um).severity == stop);
    CHECK(about(359, 3, 750'000_um).severity == holds);  // across zero
    CHECK(about(2, 357, 750'000_um).severity == holds);
    CHECK(about(2, 356, 750'000_um).severity == stop);
    CHECK(about(90, 270, 750'000_um).severity == stop);  // the classic mix-up of two rules
    CHECK(about(90, 90, 750'000_um).source == "MIL-DTL-83796/5, SAE J517");
    CHECK(about(std::nullopt, std::nullopt, 750'000_um).what.code == "application.orientation_not_ordered");
    CHECK(about(std::nullopt, std::nullopt, 750'000_um).severity == warn);
    CHECK(about(std::nullopt, 90, 750'000_um).severity == note);
}

// ISO 8331:1991, DIN 20066:2002 as summarised: hose at most 4 years old at assembly. 2Q12 counts from 2012-04-01.
TEST_CASE("A hose lot beyond its age stops the order, and one without a date is not checked") {
    auto facts = assembly();
    facts.hose_lots = {{"R1", *HoseQuarter::parse("2Q12")}, {"R2", std::nullopt}};
    facts.day = *parse_date("2016-04-01");
    const auto of_lot = [&](std::string_view lot) {
        const auto all = check_application({}, facts);
        const auto at =
            std::find_if(all.begin(), all.end(), [&](const auto& f) { return f.what.detail("lot") == lot; });
        REQUIRE(at != all.end());
        return *at;
    };
    CHECK(of_lot("R1").severity == holds);
    CHECK(of_lot("R2").what.code == "application.hose_age_not_stated");
    CHECK(of_lot("R2").severity == note);
    facts.day = *parse_date("2016-06-15");  // the trade's edge case: stopped here, since the first day counts
    CHECK(of_lot("R1").severity == stop);
    CHECK(of_lot("R1").source == "ISO 8331:1991, DIN 20066:2002");
    facts.hose_age_limit_years = 10;
    CHECK(of_lot("R1").severity == holds);
    CHECK(of_lot("R1").source == "shop's own limit");
}

// DGUV Regel 113-020, DIN 20066:2002: 6 years with at most 2 of storage; 2 years on hard duty.
TEST_CASE("The duty gives the guide value for how long an assembly serves") {
    Application wanted;
    wanted.duty = Duty::normal;
    CHECK(the(check_application(wanted, assembly()), "application.duty_normal").what.detail("years") == "6");
    wanted.duty = Duty::hard;
    CHECK(the(check_application(wanted, assembly()), "application.duty_hard").severity == warn);
    CHECK(the(check_application(wanted, assembly()), "application.duty_hard").what.detail("years") == "2");
}

TEST_CASE("R13: every stop and warning names where its rule comes from, and every topic is always answered") {
    CHECK(rc::check("whatever is stated", [] {
        const auto maybe = [](std::int64_t low, std::int64_t high) -> std::optional<std::int64_t> {
            if (*rc::gen::inRange(0, 3) == 0) return std::nullopt;
            return *rc::gen::inRange<std::int64_t>(low, high);
        };
        const auto length = [&](std::int64_t high_um) -> std::optional<Length> {
            const auto um = maybe(0, high_um);
            return um ? std::optional(Length::from_um(*um)) : std::nullopt;
        };
        const auto pressure = [&](std::int64_t high) -> std::optional<Pressure> {
            const auto kpa = maybe(0, high);
            return kpa ? std::optional(Pressure::from_kpa(*kpa)) : std::nullopt;
        };
        Application wanted;
        wanted.highest_pressure = pressure(60'000);
        wanted.vacuum = pressure(100);
        wanted.hose_vacuum = pressure(100);
        wanted.fluid_min_c = maybe(-60, 20);
        wanted.fluid_max_c = maybe(20, 150);
        wanted.ambient_min_c = maybe(-60, 20);
        wanted.ambient_max_c = maybe(20, 150);
        if (const auto f = maybe(0, 9)) wanted.fluid = static_cast<Fluid>(*f);
        if (const auto t = maybe(0, 7)) wanted.tube = static_cast<TubeCompound>(*t);
        wanted.bend_radius = length(400'000);
        wanted.bend_angle_deg = maybe(0, 361);
        wanted.straight_a = length(80'000);
        wanted.straight_b = length(80'000);
        wanted.distance = length(900'000);
        wanted.slack = length(100'000);
        wanted.planes = maybe(0, 4);
        wanted.orientation_deg = maybe(0, 360);
        auto row = *rc::gen::element(row_2sn_08(), with_geometry(row_2sn_08()));
        row.hose.standard = *rc::gen::element<std::string>("EN 853 2SN", "EN 856 R12", "SAE 100R15", "");
        const auto all = check_application(wanted, assembly_of(row));
        std::set<std::string> topics;
        for (const auto& f : all) {
            const auto topic = f.what.code.substr(12, f.what.code.find('_', 12) - 12);
            topics.insert(topic);
            RC_ASSERT((f.severity == note) == f.source.empty());
        }
        for (const auto* topic : {"pressure", "duty", "fluid", "vacuum", "bend", "length", "slack", "movement",
                                  "orientation", "hose", "lead", "ambient"})
            RC_ASSERT(topics.contains(topic));
    }));
}
