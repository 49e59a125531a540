// Spec tables and orders as CSV: every error of a file at once, and a file with one error is refused whole.
#include <boost/json.hpp>
#include <set>

#include "specs/order.h"
#include "specs/spec_table.h"
#include "station/entries/entry_json.h"
#include "station/http/api.h"
#include "station/http/describe_commands.h"
#include "station/json/canonical.h"
#include "station/json/reflect.h"
#include "station/people/pins.h"
#include "station/words/catalogue.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

json::object told(const Message& m) {
    auto out = reflect::write(m).as_object();
    out["words"] = say(m);
    return out;
}

HttpResponse refused_with(int status, const Message& why, const char* name, json::array list) {
    auto response = error_response(status, why);
    auto body = json::parse(response.body).as_object();
    body[name] = std::move(list);
    response.body = canonical(body);
    return response;
}

HttpResponse file_refused(const std::vector<TableError>& errors) {
    json::array list;
    for (const auto& e : errors) {
        auto one = told(e.why);
        one["line"] = static_cast<std::int64_t>(e.line);
        one["column"] = e.column;
        one["found"] = e.found;
        one["expected"] = e.expected;
        list.push_back(std::move(one));
    }
    return refused_with(422, message("api.file_refused").with("count", std::to_string(errors.size())), "errors",
                        std::move(list));
}

std::vector<entries::LotIssued> issued(const std::vector<Lot>& lots) {
    std::vector<entries::LotIssued> out;
    for (const auto& lot : lots)
        out.push_back({lot.number, lot.made ? lot.made->text() : std::string()});
    return out;
}

entries::OrderOpened opened(const Order& order) {
    entries::OrderOpened out;
    out.order = order.order_id;
    out.customer = order.customer;
    out.customer_part = order.customer_part;
    out.quantity = order.quantity;
    out.spec_a = order.spec_a;
    out.spec_b = order.spec_b;
    out.overall_length = order.overall_length;
    out.length_rule = std::string(code_of(order.length_rule));
    if (order.orientation) {
        out.orientation_deg = order.orientation->degrees();
        out.orientation_rule = "a_down_counter_clockwise";  // the one that order files use
    }
    out.hose_lots = issued(order.hose_lots);
    out.fitting_a_lots = issued(order.fitting_a_lots);
    out.fitting_b_lots = issued(order.fitting_b_lots);
    out.needed_pressure = order.needed_pressure;
    if (order.due) out.due = to_text(*order.due);
    out.notes = order.notes;
    return out;
}

}  // namespace

namespace handlers {

HttpAnswer propose_table(ApiCall& call) {
    auto read = reflect::from_json<api::TableBody>(call.body);
    if (!read) return error_response(400, read.error());
    auto table = parse_spec_table(read->csv);
    if (!table) return file_refused(table.error());
    commands::ProposeTable propose;
    propose.table = read->name;
    propose.file_sha256 = sha256_hex(read->csv);
    propose.warnings_acknowledged = read->acknowledge_warnings.value_or(false);
    json::array warnings;
    for (auto& warning : warnings_of(*table)) {
        Message m{std::move(warning.code), std::move(warning.details)};
        if (m.detail("spec").empty()) m.with("spec", warning.spec_id);
        warnings.push_back(told(m));
        propose.warnings.push_back(std::move(m));
    }
    if (auto fine = call.api.check_texts(json::string(propose.table), "name"); !fine)
        return error_response(400, fine.error());
    for (const auto& row : table->rows)
        if (auto fine = call.api.check_texts(to_json(row), row.spec_id); !fine)
            return error_response(400, fine.error());
    propose.rows = std::move(table->rows);
    const auto ran = call.api.desk().run(propose, call.who);
    if (ran.refusal && ran.refusal->code == "bench.warnings_open")
        return refused_with(409, *ran.refusal, "warnings", std::move(warnings));
    return answer_of(ran);
}

HttpAnswer open_orders(ApiCall& call) {
    auto read = reflect::from_json<api::OrdersBody>(call.body);
    if (!read) return error_response(400, read.error());
    auto orders = parse_orders(read->csv);
    if (!orders) return file_refused(orders.error());
    auto& desk = call.api.desk();
    std::vector<SpecRow> rows;
    for (const auto& [id, row] : desk.state().rows)
        rows.push_back(row);
    const auto today = parse_date(desk.now().local_date);
    if (!today) return error_response(500, today.error());

    json::array errors, undated;
    const auto error = [&](const Order& order, const Message& why) {
        auto one = told(why);
        one["order"] = order.order_id;
        errors.push_back(std::move(one));
    };
    std::vector<entries::OrderOpened> ready;
    for (const auto& order : *orders) {
        if (desk.state().orders.contains(order.order_id))
            error(order, message("bench.order_known").with("order", order.order_id));
        const auto plan = check_order(order, rows, *today, desk.rules().hose_age_years);
        if (plan) {
            for (const auto& lot : plan->undated_hose_lots)
                undated.push_back(json::object{{"order", order.order_id}, {"lot", lot}});
        } else {
            for (const auto& why : plan.error())
                error(order, why);
        }
        ready.push_back(opened(order));
        if (auto fine = call.api.check_texts(reflect::write(ready.back()), ""); !fine) error(order, fine.error());
    }
    if (!errors.empty()) {
        const auto count = std::to_string(errors.size());
        return refused_with(422, message("api.file_refused").with("count", count), "errors", std::move(errors));
    }
    json::array entries;
    for (auto& order : ready) {
        const auto ran = desk.run(commands::OpenOrder{std::move(order)}, call.who);
        if (ran.refusal) return refusal_of(*ran.refusal);
        for (const auto& entry : ran.entries)
            entries.push_back(json::object{{"seq", entry.seq}, {"type", entry.type}});
    }
    return ok({{"entries", std::move(entries)}, {"undated_hose_lots", std::move(undated)}});
}

}  // namespace handlers
}  // namespace crimpgate
