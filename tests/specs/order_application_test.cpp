// The columns of an order file that tell what the machine asks, and the proof test.
#include "specs/order_application.h"

#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

constexpr std::string_view needed =
    "order_id,customer,customer_part,quantity,spec_a,spec_b,overall_length_mm,length_rule,hose_lots,fitting_a_lots,"
    "fitting_b_lots,pressure_bar";
constexpr std::string_view cells = "W-1,C,P,1,A,B,750,din20066,R1,F1,F2,250";

tl::expected<std::vector<Order>, std::vector<TableError>> file(const std::string& columns, const std::string& values) {
    return parse_orders(std::string(needed) + "," + columns + "\n" + std::string(cells) + "," + values + "\n");
}

Order order(const std::string& columns, const std::string& values) {
    const auto orders = file(columns, values);
    REQUIRE(orders.has_value());
    return orders->front();
}

std::vector<std::string> wrong(const std::string& columns, const std::string& values) {
    std::vector<std::string> out;
    if (const auto orders = file(columns, values); !orders)
        for (const auto& e : orders.error())
            out.push_back(e.column + " " + e.why.code);
    return out;
}

}  // namespace

TEST_CASE("An order file tells what the machine asks of the assembly") {
    const auto o = order(
        "fluid,tube,fluid_min_c,fluid_max_c,ambient_min_c,ambient_max_c,vacuum_bar,hose_vacuum_bar,bend_radius_mm,"
        "bend_deg,straight_a_mm,straight_b_mm,distance_mm,slack_mm,planes,wanted_orientation_deg,duty",
        "hfc,nbr,-20,60,-30,45,0.2,0.6,200,90,40,50.5,600,38,1,270,hard");
    REQUIRE(o.application.has_value());
    const auto& a = *o.application;
    CHECK(a.highest_pressure == Pressure::from_bar(250));
    CHECK(a.fluid == Fluid::hfc);
    CHECK(a.tube == TubeCompound::nbr);
    CHECK(a.fluid_min_c == -20);
    CHECK(a.fluid_max_c == 60);
    CHECK(a.ambient_min_c == -30);
    CHECK(a.ambient_max_c == 45);
    CHECK(a.vacuum == Pressure::from_kpa(20));
    CHECK(a.hose_vacuum == Pressure::from_kpa(60));
    CHECK(a.bend_radius == 200'000_um);
    CHECK(a.bend_angle_deg == 90);
    CHECK(a.straight_a == 40'000_um);
    CHECK(a.straight_b == 50'500_um);
    CHECK(a.distance == 600'000_um);
    CHECK(a.slack == 38'000_um);
    CHECK(a.planes == 1);
    CHECK(a.orientation_deg == 270);
    CHECK(a.duty == Duty::hard);
    CHECK_FALSE(o.proof_test.has_value());
}

TEST_CASE("R4: lengths of the run may be inches, exactly, and what is left empty is not stated") {
    const auto o = order("bend_radius_in,straight_a_in,fluid,bend_deg", "7.0625,,,");
    REQUIRE(o.application.has_value());
    CHECK(o.application->bend_radius == Length::from_nm(179'387'500));
    CHECK_FALSE(o.application->straight_a.has_value());
    CHECK_FALSE(o.application->fluid.has_value());
    CHECK_FALSE(o.application->bend_angle_deg.has_value());
    CHECK_FALSE(order("bend_radius_mm,fluid", ",").application.has_value());
    // Nothing, and 0: two answers.
    CHECK(order("vacuum_bar,bend_deg,planes", "0,0,0").application->vacuum == Pressure{});
}

TEST_CASE("R8: an application cell that does not fit is told, and none is guessed") {
    CHECK(wrong("fluid", "oil") == std::vector<std::string>{"fluid order.word"});
    CHECK(wrong("tube", "NBR") == std::vector<std::string>{"tube order.word"});
    CHECK(wrong("duty", "soft") == std::vector<std::string>{"duty order.word"});
    CHECK(wrong("fluid_max_c", "60.5") == std::vector<std::string>{"fluid_max_c order.number"});
    CHECK(wrong("fluid_max_c", "501") == std::vector<std::string>{"fluid_max_c order.number"});
    CHECK(wrong("fluid_min_c,fluid_max_c", "60,-20") == std::vector<std::string>{"fluid_max_c order.range_reversed"});
    CHECK(wrong("ambient_min_c,ambient_max_c", "5,4") ==
          std::vector<std::string>{"ambient_max_c order.range_reversed"});
    CHECK(wrong("vacuum_bar", "-0.2") == std::vector<std::string>{"vacuum_bar order.number"});
    CHECK(wrong("vacuum_bar", "0.001") == std::vector<std::string>{"vacuum_bar decimal.not_whole"});
    CHECK(wrong("bend_radius_mm", "\"200,5\"") == std::vector<std::string>{"bend_radius_mm decimal.wrong_mark"});
    CHECK(wrong("bend_radius_mm", "-1") == std::vector<std::string>{"bend_radius_mm order.number"});
    CHECK(wrong("bend_radius_mm,bend_radius_in", "200,8") ==
          std::vector<std::string>{"bend_radius_in order.column_twice"});
    CHECK(wrong("planes", "4") == std::vector<std::string>{"planes order.number"});
    CHECK(wrong("bend_deg", "361") == std::vector<std::string>{"bend_deg order.number"});
}

// ISO 6605:2017 5.2: twice the working pressure, 30 s to 60 s.
TEST_CASE("A proof test is asked for by yes, and what it leaves open is the standard's") {
    CHECK(order("proof_test", "yes").proof_test == ProofTest{std::nullopt, 30, "oil"});
    CHECK(order("proof_test,proof_bar,proof_hold_s,proof_medium", "yes,500,60,water").proof_test ==
          ProofTest{Pressure::from_bar(500), 60, "water"});
    CHECK_FALSE(order("proof_test", "no").proof_test.has_value());
    CHECK_FALSE(order("proof_test,proof_bar", ",").proof_test.has_value());
    CHECK(wrong("proof_test", "maybe") == std::vector<std::string>{"proof_test order.word"});
    CHECK(wrong("proof_test,proof_medium", "yes,nitrogen") == std::vector<std::string>{"proof_medium order.word"});
    CHECK(wrong("proof_test,proof_hold_s", "yes,29") == std::vector<std::string>{"proof_hold_s order.number"});
    CHECK(wrong("proof_test,proof_hold_s", "yes,601") == std::vector<std::string>{"proof_hold_s order.number"});
    // A figure without the test that it is for: somebody meant one.
    CHECK(wrong("proof_bar", "500") == std::vector<std::string>{"proof_bar order.proof_not_asked"});
    CHECK(wrong("proof_test,proof_hold_s", "no,30") == std::vector<std::string>{"proof_hold_s order.proof_not_asked"});
}
