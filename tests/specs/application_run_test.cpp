// How the hose runs: bends, leads and lengths of the application check.
#include "specs/application.h"

#include <numbers>

#include <rapidcheck.h>

#include "tests/specs/application_kit.h"

using namespace crimpgate;
using namespace crimpgate::test;
using enum FindingSeverity;

// EN 853 2SN -8: 180 mm (public reference file, two pages).
TEST_CASE("R4: a bend at the row's radius is inside, one nanometre less is not, and the published table warns") {
    Application wanted;
    wanted.bend_radius = 180'000_um;
    CHECK(the(check_application(wanted, assembly()), "application.bend_holds").severity == holds);
    wanted.bend_radius = 180'000'000_nm - 1_nm;
    const auto below = the(check_application(wanted, assembly()), "application.bend_below_row");
    CHECK(below.severity == stop);
    CHECK(below.confidence == SourceMark::spec_row);
    // A maker who allows less than the standard: the row stops, the table warns.
    auto tighter = row_2sn_08();
    tighter.hose.bend_radius = 120'000_um;
    wanted.bend_radius = 150'000_um;
    const auto published = the(check_application(wanted, assembly_of(tighter)), "application.bend_below_published");
    CHECK(published.severity == warn);
    CHECK(published.source == "EN 853 2SN");
    CHECK(published.confidence == SourceMark::one_page);
    CHECK(published.what.detail("limit") == "180");
    wanted.bend_radius = 119'999_um;
    CHECK(the(check_application(wanted, assembly_of(tighter)), "application.bend_below_row").severity == stop);
    // The stricter of two rows about one hose.
    auto facts = assembly_of(tighter);
    facts.row_b.hose.bend_radius = 200'000_um;
    wanted.bend_radius = 190'000_um;
    CHECK(the(check_application(wanted, facts), "application.bend_below_row").what.detail("limit") == "200");
}

// Trade's check value: 1/2 in 2SN (OD 23.0, ID 12.7): 1.5 x OD is 34.5 mm (DGUV 113-020 fig. 9), 2 x bore 25.4 mm.
TEST_CASE("R4: the straight lead is the larger of 1.5 outside diameters and 2 bores") {
    CHECK(straight_lead(23'000_um, 8) == 34'500_um);
    CHECK(straight_lead(Length{}, 8) == 25'400_um);
    CHECK(straight_lead(16'000_um, 8) == 25'400_um);   // 24 against 25.4: the bore rule governs
    CHECK(straight_lead(1_nm, 0) == 2_nm);             // half a nanometre goes up
    CHECK(straight_lead(38'900_um, 16) == 58'350_um);  // 2SN -16
    CHECK(hose_diameter(row_2sn_08())->od == 23'000_um);
    CHECK_FALSE(hose_diameter(row_2sn_08())->from_row);
    CHECK(hose_diameter(with_geometry(row_2sn_08()))->from_row);
    auto skived = with_geometry(row_2sn_08());
    skived.skive = Skive::outer;  // there the row's diameter is over the wire
    CHECK_FALSE(hose_diameter(skived)->from_row);
    skived.hose.standard = "maker's own";
    CHECK_FALSE(hose_diameter(skived).has_value());
}

TEST_CASE("A lead that is too short stops by the row's diameter and warns by one from memory") {
    const auto lead_a = [](Length found, const SpecRow& row) {
        Application wanted;
        wanted.straight_a = found;
        const auto all = check_application(wanted, assembly_of(row));
        const auto at = std::find_if(all.begin(), all.end(), [](const auto& f) {
            return f.what.code.starts_with("application.lead") && f.what.detail("end") == "A";
        });
        REQUIRE(at != all.end());
        return *at;
    };
    const auto sure = with_geometry(row_2sn_08());
    CHECK(lead_a(34'500_um, sure).severity == holds);
    CHECK(lead_a(34'499'999_nm, sure).severity == stop);
    CHECK(lead_a(34'499'999_nm, sure).what.code == "application.lead_too_short");
    CHECK(lead_a(34'499'999_nm, sure).what.detail("needed") == "34.5");
    CHECK(lead_a(34'499'999_nm, sure).what.detail("by_bore") == "25.4");
    CHECK(lead_a(34'499'999_nm, row_2sn_08()).severity == warn);
    CHECK(lead_a(34'499'999_nm, row_2sn_08()).confidence == SourceMark::from_memory);
    // Below two bores it takes no diameter to say so.
    CHECK(lead_a(25'399'999_nm, row_2sn_08()).severity == stop);
    auto unknown = row_2sn_08();
    unknown.hose.standard = "";
    CHECK(lead_a(25'400_um, unknown).what.code == "application.lead_no_diameter");
    CHECK(lead_a(25'400_um, unknown).severity == note);
    CHECK(lead_a(25'399'999_nm, unknown).severity == stop);
}

// SAE J343:2016, ISO 6803: a half turn takes pi (r + d/2). By hand for 2SN -8 (r 180, d 23.0): 191.5 pi = 601.615 mm;
// 2SN -16 (r 300, d 38.9) at 90 degrees: 319.45 pi / 2 = 501.791 mm.
TEST_CASE("R4: the length of a bend is rounded up to the next tenth of a millimetre, never down") {
    CHECK(arc_length(180'000_um, 23'000_um, 180) == 601'700_um);
    CHECK(arc_length(180'000_um, 23'000_um, 90) == 300'900_um);
    CHECK(arc_length(180'000_um, 23'000_um, 45) == 150'500_um);
    CHECK(arc_length(300'000_um, 38'900_um, 90) == 501'800_um);
    CHECK(arc_length(180'000_um, 23'000_um, 0) == Length{});
    CHECK(rc::check("it is never less than pi says, and never more than a tenth of a millimetre above", [] {
        const auto r = *rc::gen::inRange<std::int64_t>(1, 2'000'000);
        const auto d = *rc::gen::inRange<std::int64_t>(1, 120'000);
        const auto angle = *rc::gen::inRange<std::int64_t>(1, 361);
        const auto mm = static_cast<double>(arc_length(Length::from_um(r), Length::from_um(d), angle).nm()) / 1e6;
        const double exact = std::numbers::pi * (static_cast<double>(r) / 1e3 + static_cast<double>(d) / 2e3) *
                             static_cast<double>(angle) / 180.0;
        RC_ASSERT(mm >= exact);
        RC_ASSERT(mm <= exact * (1 + 1e-7) + 0.1 + 1e-6);
    }));
}

TEST_CASE("A bend that takes more hose than there is between the shells stops the order") {
    // 612 mm are free. At 90 degrees: 300.9 + 2 x 34.5 = 369.9.
    Application wanted;
    wanted.bend_angle_deg = 90;
    const auto fits = the(check_application(wanted, assembly()), "application.bend_length_holds");
    CHECK(fits.what.detail("needed") == "369.9");
    CHECK(fits.what.detail("free") == "612");
    CHECK(fits.what.detail("radius") == "180");  // not stated: the row's smallest
    // At 180 degrees 565.5 + 2 x 25.4 = 616.3 even for a hose without thickness.
    wanted.bend_angle_deg = 180;
    const auto short_ = the(check_application(wanted, assembly()), "application.bend_length_short");
    CHECK(short_.severity == stop);
    CHECK(short_.what.detail("needed") == "670.7");
    // At 170 degrees 534.1 + 50.8 = 584.9 without thickness, 568.2 + 69 = 637.2 with it: then it depends on how sure
    // the diameter is.
    wanted.bend_angle_deg = 170;
    CHECK(the(check_application(wanted, assembly()), "application.bend_length_short").severity == warn);
    CHECK(the(check_application(wanted, assembly_of(with_geometry(row_2sn_08()))), "application.bend_length_short")
              .severity == stop);
    // A longer lead than the rule asks for takes its own length: 300.9 + 276.6 + 34.5 is just what is there.
    wanted.bend_angle_deg = 90;
    wanted.straight_a = 276'600_um;
    CHECK(the(check_application(wanted, assembly()), "application.bend_length_holds").what.detail("needed") == "612");
    wanted.straight_a = 276'601_um;
    CHECK(find(check_application(wanted, assembly()), "application.bend_length_holds") == nullptr);
    // Just what a hose without thickness would need is not yet surely too short; one nanometre more is.
    wanted.straight_b = 34'500_um;
    wanted.straight_a = 612'000_um - 34'500_um - arc_length(180'000_um, Length{}, 90);
    CHECK(the(check_application(wanted, assembly()), "application.bend_length_short").severity == warn);
    wanted.straight_a = *wanted.straight_a + 1_nm;
    CHECK(the(check_application(wanted, assembly()), "application.bend_length_short").severity == stop);
    wanted = {};
    wanted.bend_angle_deg = 0;
    CHECK(the(check_application(wanted, assembly()), "application.bend_none").severity == holds);
    CHECK(the(check_application(wanted, assembly()), "application.lead_not_needed").severity == holds);
    CHECK(the(check_application(wanted, assembly()), "application.bend_length_not_needed").severity == holds);
}

// EN 853, 856, 857, SAE J517: wire braid and spiral +2 / -4 %; R12, R13, R15 +-2 % (from memory).
TEST_CASE("A hose that pressure would shorten below its way is never fitted tight") {
    CHECK(length_change("EN 853 2SN").shorter_permille == 40);
    CHECK(length_change("EN 856 4SH").longer_permille == 20);
    CHECK(length_change("").shorter_permille == 40);  // the wider where nothing is known
    for (const auto* stiff : {"EN 856 R12", "SAE 100R13", "SAE 100R15"}) {
        CHECK(length_change(stiff).shorter_permille == 20);
        CHECK(length_change(stiff).mark == SourceMark::from_memory);
    }
    // 4 % of 612 mm free are 24.48 mm; the shortest that DIN 20066 lets through is 746 mm.
    Application wanted;
    wanted.bend_angle_deg = 0;
    wanted.distance = 721'520_um;
    const auto fits = the(check_application(wanted, assembly()), "application.length_holds");
    CHECK(fits.what.detail("shorter") == "24.48");
    CHECK(fits.what.detail("longer") == "12.24");
    CHECK(fits.what.detail("spare") == "24.48");
    wanted.distance = 721'520'001_nm;
    CHECK(the(check_application(wanted, assembly()), "application.length_tight").severity == stop);
    wanted.distance = 760'000_um;  // pulled to reach
    CHECK(the(check_application(wanted, assembly()), "application.length_tight").what.detail("spare") == "-14");
    // Along a bend the ends' distance cannot show that there is enough, only that there is not.
    wanted.distance = 600'000_um;
    wanted.bend_angle_deg = 90;
    CHECK(the(check_application(wanted, assembly()), "application.length_bent").severity == note);
    wanted.slack = 24'480_um;
    CHECK(the(check_application(wanted, assembly()), "application.length_holds").severity == holds);
    wanted.slack = 24'479_um;
    CHECK(the(check_application(wanted, assembly()), "application.length_tight").severity == stop);
}

// US Army aviation training manual: slack of at least 5 % of the hose (here 688 mm cut: 34.4 mm).
TEST_CASE("Less slack than 5 % of the hose is warned of") {
    Application wanted;
    wanted.slack = 34'400_um;
    CHECK(the(check_application(wanted, assembly()), "application.slack_holds").severity == holds);
    wanted.slack = 34'399_um;
    const auto little = the(check_application(wanted, assembly()), "application.slack_too_small");
    CHECK(little.severity == warn);
    CHECK(little.what.detail("needed") == "34.4");
    CHECK(little.confidence == SourceMark::one_page);
    wanted = {};
    wanted.bend_angle_deg = 0;
    wanted.distance = 711'600_um;  // 746 - 711.6 = 34.4
    CHECK(the(check_application(wanted, assembly()), "application.slack_holds").severity == holds);
}
