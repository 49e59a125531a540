#include "specs/order_application.h"

#include <array>
#include <string_view>

#include "specs/order_cells.h"

namespace crimpgate {

namespace {

// In the order of their enumerators.
constexpr std::array<std::string_view, 9> fluids{"mineral_oil", "hfa",   "hfb",  "hfc",  "hfd",
                                                 "ester",       "water", "fuel", "other"};
constexpr std::array<std::string_view, 7> tubes{"nbr", "cr", "epdm", "fkm", "ptfe", "thermoplastic", "other"};
constexpr std::array<std::string_view, 2> duties{"normal", "hard"};
constexpr std::array<std::string_view, 2> answers{"yes", "no"};
constexpr std::array<std::string_view, 3> media{"oil", "water", "emulsion"};

// A range that ends below its beginning is a slip of the pen: either of the two is wrong.
void in_order(order_cells::RowReader& read, std::string_view column, const std::optional<std::int64_t>& low,
              const std::optional<std::int64_t>& high) {
    if (low && high && *low > *high)
        read.error(column, "at least " + std::to_string(*low), message("order.range_reversed"));
}

}  // namespace

std::optional<Application> read_application(order_cells::RowReader& read) {
    constexpr std::int64_t coldest = -100, hottest = 500;
    Application a;
    if (const auto at = read.word("fluid", fluids)) a.fluid = static_cast<Fluid>(*at);
    if (const auto at = read.word("tube", tubes)) a.tube = static_cast<TubeCompound>(*at);
    a.fluid_min_c = read.whole("fluid_min_c", coldest, hottest);
    a.fluid_max_c = read.whole("fluid_max_c", coldest, hottest);
    in_order(read, "fluid_max_c", a.fluid_min_c, a.fluid_max_c);
    a.ambient_min_c = read.whole("ambient_min_c", coldest, hottest);
    a.ambient_max_c = read.whole("ambient_max_c", coldest, hottest);
    in_order(read, "ambient_max_c", a.ambient_min_c, a.ambient_max_c);
    a.vacuum = read.bar("vacuum_bar");
    a.hose_vacuum = read.bar("hose_vacuum_bar");
    a.bend_radius = read.length("bend_radius");
    a.bend_angle_deg = read.whole("bend_deg", 0, 360);
    a.straight_a = read.length("straight_a");
    a.straight_b = read.length("straight_b");
    a.distance = read.length("distance");
    a.slack = read.length("slack");
    a.planes = read.whole("planes", 0, 3);
    a.orientation_deg = read.whole("wanted_orientation_deg", 0, 360);
    if (const auto at = read.word("duty", duties)) a.duty = static_cast<Duty>(*at);
    if (a == Application{}) return std::nullopt;
    return a;
}

std::optional<ProofTest> read_proof_test(order_cells::RowReader& read) {
    const auto asked = read.word("proof_test", answers);
    ProofTest test;
    test.pressure = read.bar("proof_bar");
    if (const auto hold = read.whole("proof_hold_s", 30, 600)) test.hold_s = *hold;
    if (const auto at = read.word("proof_medium", media)) test.medium = std::string(media[*at]);
    if (asked && *asked == 0) return test;
    for (const std::string_view column : {"proof_bar", "proof_hold_s", "proof_medium"})
        if (!read.cell(column).empty()) read.error(column, "proof_test yes", message("order.proof_not_asked"));
    return std::nullopt;
}

}  // namespace crimpgate
