#include "specs/order.h"

#include <algorithm>
#include <set>
#include <utility>

#include "specs/csv.h"
#include "specs/order_application.h"
#include "specs/order_cells.h"

namespace crimpgate {

namespace {

using order_cells::Header;
using order_cells::RowReader;

Order read_order(RowReader& read) {
    Order order;
    order.order_id = read.text("order_id", true);
    order.customer = read.text("customer", true);
    order.customer_part = read.text("customer_part", true);
    order.quantity = read.quantity();
    order.spec_a = read.text("spec_a", true);
    order.spec_b = read.text("spec_b", true);
    order.overall_length = read.overall_length();
    order.length_rule = read.length_rule();
    order.orientation = read.orientation();
    order.hose_lots = read.lots("hose_lots", true);
    order.fitting_a_lots = read.lots("fitting_a_lots", false);
    order.fitting_b_lots = read.lots("fitting_b_lots", false);
    order.needed_pressure = read.pressure();
    order.due = read.due();
    order.notes = read.text("notes", false, order_cells::longest_notes);
    order.application = read_application(read);
    if (order.application) order.application->highest_pressure = order.needed_pressure;
    order.proof_test = read_proof_test(read);
    return order;
}

bool same_hose(const HoseSpec& a, const HoseSpec& b) {
    return a.maker == b.maker && a.type == b.type && a.dash == b.dash;
}

}  // namespace

std::string_view code_of(LengthRule rule) {
    return rule == LengthRule::din20066 ? "din20066" : "sae_j517";
}

tl::expected<std::vector<Order>, std::vector<TableError>> parse_orders(std::string_view csv) {
    const auto file = read_csv(csv);
    std::vector<TableError> errors;
    std::vector<Order> orders;
    if (file.rows.size() < 2)
        errors.push_back(table_error(1, "", "", "a header and one row an order", message("order.no_rows")));
    if (!file.rows.empty()) {
        const Header header(file.rows.front(), errors);
        for (const auto& e : file.errors)
            errors.push_back(table_error(e.line, header.name_of(e.ordinal), "", "", e.why));
        std::set<std::string, std::less<>> ids;
        for (std::size_t i = 1; i < file.rows.size(); ++i) {
            const auto& row = file.rows[i];
            if (row.fields.size() != header.size()) continue;  // told by the reader
            RowReader read(header, row, errors);
            auto order = read_order(read);
            if (!order.order_id.empty() && !ids.insert(order.order_id).second)
                read.error("order_id", "each order once", message("order.twice"));
            orders.push_back(std::move(order));
        }
    } else {
        for (const auto& e : file.errors)
            errors.push_back(table_error(e.line, "", "", "", e.why));
    }
    std::stable_sort(errors.begin(), errors.end(),
                     [](const TableError& a, const TableError& b) { return a.line < b.line; });
    if (!errors.empty()) return tl::unexpected(std::move(errors));
    return orders;
}

tl::expected<OrderPlan, std::vector<Message>> check_order(const Order& order, const std::vector<SpecRow>& rows,
                                                          Date assembled, std::int64_t hose_age_limit_years) {
    std::vector<Message> problems;
    const auto row_of = [&](const std::string& id) {
        return std::find_if(rows.begin(), rows.end(), [&](const SpecRow& row) { return row.spec_id == id; });
    };
    const auto row_a = row_of(order.spec_a);
    const auto row_b = row_of(order.spec_b);
    if (row_a == rows.end()) problems.push_back(message("order.no_spec").with("spec", order.spec_a));
    if (row_b == rows.end() && order.spec_b != order.spec_a)
        problems.push_back(message("order.no_spec").with("spec", order.spec_b));

    OrderPlan plan;
    for (const auto& lot : order.hose_lots) {
        if (!lot.made)
            plan.undated_hose_lots.push_back(lot.number);
        else if (const auto young = check_hose_age(*lot.made, assembled, hose_age_limit_years); !young)
            problems.push_back(Message(young.error()).with("lot", lot.number));
    }
    if (row_a == rows.end() || row_b == rows.end()) return tl::unexpected(std::move(problems));

    plan.row_a = *row_a;
    plan.row_b = *row_b;
    if (!same_hose(row_a->hose, row_b->hose))
        problems.push_back(message("order.hoses_differ").with("spec_a", order.spec_a).with("spec_b", order.spec_b));

    if (const auto cut = cut_length(order.overall_length, row_a->fitting.cut_off, row_b->fitting.cut_off); !cut) {
        problems.push_back(cut.error());
    } else {
        plan.cut_length = *cut;
        const auto depths = row_a->depth.nominal + row_b->depth.nominal;
        if (*cut < depths)
            problems.push_back(
                message("order.no_room").with("cut_length", cut->to_mm_text(3)).with("depths", depths.to_mm_text(3)));
    }
    if (const auto overall = toleranced_length(order.overall_length, order.length_rule, row_a->hose.dash))
        plan.overall = *overall;
    else
        problems.push_back(overall.error());

    plan.rating = working_pressure(*row_a, *row_b);
    if (order.needed_pressure && *order.needed_pressure > plan.rating.rating.pressure)
        problems.push_back(message("order.pressure_too_low")
                               .with("needed", order.needed_pressure->to_bar_text(2))
                               .with("rating", plan.rating.rating.pressure.to_bar_text(2)));
    if (!problems.empty()) return tl::unexpected(std::move(problems));
    return plan;
}

}  // namespace crimpgate
