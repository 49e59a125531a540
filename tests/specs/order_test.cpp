#include "specs/order.h"

#include <fstream>
#include <iterator>

#include "specs/spec_table.h"
#include "tests/specs/sample_row.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

constexpr std::string_view header =
    "order_id,customer,customer_part,quantity,spec_a,spec_b,overall_length_mm,length_rule,orientation_deg,hose_lots,"
    "fitting_a_lots,fitting_b_lots,pressure_bar,due,notes\r\n";

std::string file(std::string_view rows) {
    return std::string(header) + std::string(rows);
}

Date date(std::string_view text) {
    return *parse_date(text);
}

Order good_order() {
    const auto orders = parse_orders(
        file("W-1,Aldermoor Cranes,AC-7,8,NH-1,NH-2,750,din20066,,R118@2Q26,F-A1,F-B1,250,2026-12-04,\r\n"));
    REQUIRE(orders.has_value());
    return orders->front();
}

std::vector<SpecRow> two_rows() {
    auto a = test::sample_row();
    a.spec_id = "NH-1";
    auto b = test::sample_row();
    b.spec_id = "NH-2";
    b.fitting.cut_off = 42'500_um;
    return {a, b};
}

std::vector<std::string> codes(const tl::expected<OrderPlan, std::vector<Message>>& plan) {
    std::vector<std::string> all;
    if (!plan)
        for (const auto& m : plan.error())
            all.push_back(m.code);
    return all;
}

std::string read_file(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    REQUIRE(in.good());
    return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("An order says everything that the bench has to know") {
    const auto orders = parse_orders(
        file("W-1,Aldermoor Cranes,AC-7,8,NH-1,NH-2,750.5,din20066,360,R118@2Q26; R119,F-A1;F-A2,F-B1,250,2026-12-04,"
             "\"caps on, please\"\n"
             "W-2,Aldermoor Cranes,AC-8,1,NH-1,NH-1,1200,sae_j517,,R118,F-A1,F-A1,,,\n"));
    REQUIRE(orders.has_value());
    REQUIRE(orders->size() == 2);
    const auto& o = orders->front();
    CHECK(o.order_id == "W-1");
    CHECK(o.customer == "Aldermoor Cranes");
    CHECK(o.customer_part == "AC-7");
    CHECK(o.quantity == 8);
    CHECK(o.spec_a == "NH-1");
    CHECK(o.spec_b == "NH-2");
    CHECK(o.overall_length == 750'500_um);
    CHECK(o.length_rule == LengthRule::din20066);
    CHECK(o.orientation == *Orientation::make(0, OrientationRule::near_down_counter_clockwise, NearEnd::a));
    CHECK(o.hose_lots == std::vector<Lot>{{"R118", *HoseQuarter::parse("2Q26")}, {"R119", std::nullopt}});
    CHECK(o.fitting_a_lots == std::vector<Lot>{{"F-A1", std::nullopt}, {"F-A2", std::nullopt}});
    CHECK(o.needed_pressure == Pressure::from_bar(250));
    CHECK(o.due == date("2026-12-04"));
    CHECK(o.notes == "caps on, please");
    const auto& second = orders->back();
    CHECK(second.length_rule == LengthRule::sae_j517);
    CHECK_FALSE(second.orientation.has_value());
    CHECK_FALSE(second.needed_pressure.has_value());
    CHECK_FALSE(second.due.has_value());
    CHECK(second.notes.empty());
}

TEST_CASE("R4: an overall length in inches is exact, and optional columns may be left out") {
    const auto orders = parse_orders(
        "order_id,customer,customer_part,quantity,spec_a,spec_b,overall_length_in,length_rule,hose_lots,fitting_a_lots,"
        "fitting_b_lots,pressure_mpa\nW-1,C,P,1,A,B,18.125,sae_j517,R1,F1,F2,27.5\n");
    REQUIRE(orders.has_value());
    CHECK(orders->front().overall_length == Length::from_nm(460'375'000));
    CHECK(orders->front().needed_pressure == Pressure::from_bar(275));
}

TEST_CASE("Every wrong cell of an order file is told at once, with its line and column") {
    const auto orders =
        parse_orders(file("W-1,,AC-7,0,NH-1,NH-2,-750,din,361,R118@5Q26,F-A1@2Q26,,0,04.12.2026,\r\n"
                          "W-2,C,P,1.0,A,B,\"750,5\",din20066,,R1;;R2,F1;F1,F2;,abc,2026-02-30,\r\n"
                          "W-2,C,P,1,A,B,750,din20066,,R1,F1,F2,,,\r\n"));
    REQUIRE_FALSE(orders.has_value());
    struct Told {
        int line;
        std::string_view column, code;
    };
    const std::vector<Told> expected = {
        {2, "customer", "order.empty"},
        {2, "quantity", "order.quantity"},
        {2, "overall_length_mm", "order.length"},
        {2, "length_rule", "order.length_rule"},
        {2, "orientation_deg", "order.orientation"},
        {2, "hose_lots", "order.lot_date"},
        {2, "fitting_a_lots", "order.lot"},
        {2, "fitting_b_lots", "order.empty"},
        {2, "pressure_bar", "pressure.not_positive"},
        {2, "due", "date.form"},
        {3, "quantity", "order.quantity"},
        {3, "overall_length_mm", "decimal.wrong_mark"},
        {3, "hose_lots", "order.lot"},
        {3, "fitting_a_lots", "order.lot_twice"},
        {3, "fitting_b_lots", "order.lot"},
        {3, "pressure_bar", "decimal.strange_character"},
        {3, "due", "date.no_such_day"},
        {4, "order_id", "order.twice"},
    };
    const auto& told = orders.error();
    REQUIRE(told.size() == expected.size());
    for (std::size_t i = 0; i < told.size(); ++i) {
        INFO(i << ": " << told[i].why.code << " in " << told[i].column);
        CHECK(told[i].line == expected[i].line);
        CHECK(told[i].column == expected[i].column);
        CHECK(told[i].why.code == expected[i].code);
    }
    CHECK(told[1].found == "0");
    CHECK(told[3].expected == "din20066 or sae_j517");
}

TEST_CASE("A column that is unknown, missing or there twice is told, and so is a file without orders") {
    const auto codes_of = [](std::string_view csv) {
        std::vector<std::string> all;
        const auto orders = parse_orders(csv);
        if (!orders)
            for (const auto& e : orders.error())
                all.push_back(e.why.code + " " + e.column);
        return all;
    };
    CHECK(codes_of(
              "order_id,customer,customer_part,quantity,spec_a,spec_b,overall_length_mm,overall_length_in,length_rule,"
              "hose_lots,fitting_a_lots,colour\nW,C,P,1,A,B,750,29,din20066,R,F,red\n") ==
          std::vector<std::string>{"order.column_twice overall_length_in", "order.unknown_column colour",
                                   "order.missing_column fitting_b_lots"});
    CHECK(codes_of("order_id,customer,customer_part,quantity,spec_a,spec_b,length_rule,hose_lots,fitting_a_lots,"
                   "fitting_b_lots,pressure_psi\nW,C,P,1,A,B,din20066,R,F,G,4000\n") ==
          std::vector<std::string>{"order.unknown_column pressure_psi",
                                   "order.missing_column overall_length_mm or overall_length_in"});
    CHECK(codes_of(header) == std::vector<std::string>{"order.no_rows "});
    CHECK(codes_of("") == std::vector<std::string>{"order.no_rows "});
    CHECK(codes_of(file("W-1,C,P\r\n")) == std::vector<std::string>{"csv.uneven "});
    CHECK(codes_of(file("W-1,C,\"a\nb\",1,A,B,750,din20066,,R,F,G,,,\r\n")) ==
          std::vector<std::string>{"order.text customer_part"});
}

TEST_CASE("An order that can be made comes back with its rating, its cut length and its length band") {
    const auto plan = check_order(good_order(), two_rows(), date("2026-11-25"));
    REQUIRE(plan.has_value());
    CHECK(plan->row_a.spec_id == "NH-1");
    CHECK(plan->row_b.spec_id == "NH-2");
    CHECK(plan->rating.rating.pressure == Pressure::from_bar(275));
    CHECK(plan->rating.governs == Component::hose);
    CHECK(plan->cut_length == 676'500_um);
    CHECK(plan->overall.band() == Band{746'000_um, 762'000_um});  // DIN 20066, DN 12, over 630 mm: +12 / -4
    CHECK(plan->undated_hose_lots.empty());
}

TEST_CASE("R13: an order that asks for more pressure than the assembly is rated for is refused") {
    auto order = good_order();
    order.needed_pressure = Pressure::from_bar(275);
    CHECK(check_order(order, two_rows(), date("2026-11-25")).has_value());
    order.needed_pressure = Pressure::from_kpa(27'501);
    const auto refused = check_order(order, two_rows(), date("2026-11-25"));
    REQUIRE(codes(refused) == std::vector<std::string>{"order.pressure_too_low"});
    CHECK(refused.error()[0].detail("needed") == "275.01");
    CHECK(refused.error()[0].detail("rating") == "275.00");
    // One fitting rated lower than the hose governs.
    auto rows = two_rows();
    rows[1].fitting.working_pressure = {Pressure::from_bar(100), "100 bar"};
    CHECK(codes(check_order(good_order(), rows, date("2026-11-25"))) ==
          std::vector<std::string>{"order.pressure_too_low"});
}

TEST_CASE("R10: an order without its spec rows, or on two different hoses, is refused") {
    auto order = good_order();
    order.spec_b = "NH-9";
    const auto missing = check_order(order, two_rows(), date("2026-11-25"));
    REQUIRE(codes(missing) == std::vector<std::string>{"order.no_spec"});
    CHECK(missing.error()[0].detail("spec") == "NH-9");
    CHECK(codes(check_order(good_order(), {}, date("2026-11-25"))) ==
          std::vector<std::string>{"order.no_spec", "order.no_spec"});

    const auto with_b = [](auto change) {
        auto rows = two_rows();
        change(rows[1].hose);
        return codes(check_order(good_order(), rows, date("2026-11-25")));
    };
    const std::vector<std::string> differ{"order.hoses_differ"};
    CHECK(with_b([](HoseSpec& h) { h.dash = 6; }) == differ);
    CHECK(with_b([](HoseSpec& h) { h.type = "Brisk 3"; }) == differ);
    CHECK(with_b([](HoseSpec& h) { h.maker = "Estwick"; }) == differ);
}

TEST_CASE("A hose lot too old on the day of assembly stops the order, one without a date is named") {
    auto order = good_order();
    order.hose_lots = {{"R1", *HoseQuarter::parse("4Q22")}, {"R2", *HoseQuarter::parse("3Q22")}, {"R3", std::nullopt}};
    // First days 2022-10-01 and 2022-07-01; four years on.
    const auto old = check_order(order, two_rows(), date("2026-10-01"));
    REQUIRE(codes(old) == std::vector<std::string>{"hose.too_old"});
    CHECK(old.error()[0].detail("lot") == "R2");
    const auto longer = check_order(order, two_rows(), date("2026-10-01"), 10);
    REQUIRE(longer.has_value());
    CHECK(longer->undated_hose_lots == std::vector<std::string>{"R3"});
}

TEST_CASE("A length that leaves no hose, or less than both depths take, is refused") {
    auto order = good_order();
    order.overall_length = 73'500_um;
    CHECK(codes(check_order(order, two_rows(), date("2026-11-25"))) == std::vector<std::string>{"assembly.too_short"});
    order.overall_length = 149'499_um;  // cut 75.999 mm, depths 38 + 38
    CHECK(codes(check_order(order, two_rows(), date("2026-11-25"))) == std::vector<std::string>{"order.no_room"});
    order.overall_length = 149'500_um;
    CHECK(check_order(order, two_rows(), date("2026-11-25")).has_value());
}

TEST_CASE("Several things in the way of an order are told together") {
    auto order = good_order();
    order.overall_length = 50'000_um;
    order.needed_pressure = Pressure::from_bar(400);
    order.hose_lots = {{"R1", *HoseQuarter::parse("1Q20")}};
    CHECK(codes(check_order(order, two_rows(), date("2026-11-25"))) ==
          std::vector<std::string>{"hose.too_old", "assembly.too_short", "order.pressure_too_low"});
}

TEST_CASE("The demo's order is eight assemblies that the demo's spec table can make") {
    const std::string examples = std::string(CRIMPGATE_SOURCE_DIR) + "/specs/examples/";
    const auto table = parse_spec_table(read_file(examples + "demo_table.csv"));
    REQUIRE(table.has_value());
    const auto orders = parse_orders(read_file(examples + "demo_order.csv"));
    REQUIRE(orders.has_value());
    REQUIRE(orders->size() == 1);
    CHECK(orders->front().quantity == 8);
    const auto plan = check_order(orders->front(), table->rows, date("2026-11-25"));
    CHECK(codes(plan).empty());
}
