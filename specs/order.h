// Work orders from a CSV file, and whether an order can be made from the spec rows at hand.
//
// The columns are described in specs/ORDER_FORMAT.md. All errors of a file are found in one go; a file with one error
// is refused whole.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/application.h"
#include "specs/assembly.h"
#include "specs/dates.h"
#include "specs/length_tolerance.h"
#include "specs/lot.h"
#include "specs/spec_row.h"
#include "specs/table_error.h"

namespace crimpgate {

// Each assembly is to be proof-tested before it passes. ISO 6605:2017 5.2: twice the working pressure, 30 to 60 s.
struct ProofTest {
    std::optional<Pressure> pressure;  // not given: twice the assembly's working pressure
    std::int64_t hold_s = 30;
    std::string medium = "oil";  // a liquid, never gas: "oil", "water" or "emulsion"
    bool operator==(const ProofTest&) const = default;
};

struct Order {
    std::string order_id;
    std::string customer;
    std::string customer_part;
    std::int64_t quantity = 0;
    std::string spec_a;
    std::string spec_b;
    Length overall_length;
    LengthRule length_rule = LengthRule::din20066;
    std::optional<Orientation> orientation;  // both ends bent only; see ORDER_FORMAT.md for the rule
    std::vector<Lot> hose_lots;
    std::vector<Lot> fitting_a_lots;
    std::vector<Lot> fitting_b_lots;
    std::optional<Pressure> needed_pressure;  // the system's highest, spikes included
    std::optional<Date> due;
    std::string notes;
    std::optional<Application> application;  // nothing of it was stated: no column of it was filled
    std::optional<ProofTest> proof_test;
    bool operator==(const Order&) const = default;
};

// "din20066", "sae_j517": as orders and records write them.
std::string_view code_of(LengthRule rule);

// Errors in the order of their lines.
tl::expected<std::vector<Order>, std::vector<TableError>> parse_orders(std::string_view csv);

// What the bench needs beside the order, worked out once.
struct OrderPlan {
    SpecRow row_a;
    SpecRow row_b;
    AssemblyRating rating;
    Length cut_length;
    Toleranced overall;                          // with the tolerance of the order's length rule
    std::vector<std::string> undated_hose_lots;  // their age could not be checked: someone has to read the print
};

// Everything that stands in the way, at once: a spec row that is not there ("order.no_spec"), ends on different hoses
// ("order.hoses_differ"), nothing left to cut ("assembly.too_short"), less hose than both depths take
// ("order.no_room"), no length tolerance, a hose lot too old on the day of assembly (dates.h), or a needed pressure
// above the assembly's
// ("order.pressure_too_low").
tl::expected<OrderPlan, std::vector<Message>> check_order(
    const Order& order, const std::vector<SpecRow>& rows, Date assembled,
    std::int64_t hose_age_limit_years = usual_hose_age_limit_years);

}  // namespace crimpgate
