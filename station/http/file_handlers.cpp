// Spec tables and orders as CSV: every error of a file at once, and a file with one error is refused whole.
#include <boost/json.hpp>
#include <set>

#include "specs/order.h"
#include "specs/row_differences.h"
#include "specs/spec_columns.h"
#include "specs/spec_table.h"
#include "station/bench/application_steps.h"
#include "station/entries/entry_json.h"
#include "station/http/api.h"
#include "station/http/application_routes.h"
#include "station/http/describe_commands.h"
#include "station/journal/queries.h"
#include "station/json/canonical.h"
#include "station/json/reflect.h"
#include "station/json/utc_text.h"
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

// With the proof test's pressure worked out where the file leaves it to the rule: twice what the assembly is rated for
// (ISO 6605:2017 5.2).
entries::OrderOpened opened(const Order& order, const Rating& rating) {
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
    out.application = order.application;
    if (order.proof_test)
        out.proof_test =
            entries::ProofTestAsked{order.proof_test->pressure.value_or(Pressure::from_kpa(2 * rating.pressure.kpa())),
                                    order.proof_test->hold_s, order.proof_test->medium};
    return out;
}

std::vector<Message> messages_of(const SpecTable& table) {
    std::vector<Message> out;
    for (auto& warning : warnings_of(table)) {
        Message m{std::move(warning.code), std::move(warning.details)};
        if (m.detail("spec").empty()) m.with("spec", warning.spec_id);
        out.push_back(std::move(m));
    }
    return out;
}

json::array told_all(const std::vector<Message>& messages) {
    json::array out;
    for (const auto& m : messages)
        out.push_back(told(m));
    return out;
}

// A table's name and every text in it must be printable: they stand on tags and certificates.
Result<void> check_table_texts(const ApiCall& call, const std::string& name, const std::vector<SpecRow>& rows) {
    if (auto fine = call.api.check_texts(json::string(name), "name"); !fine) return fine;
    for (const auto& row : rows)
        if (auto fine = call.api.check_texts(to_json(row), row.spec_id); !fine) return fine;
    return {};
}

const char* word_of(RowChange change) {
    switch (change) {
        case RowChange::added:
            return "new";
        case RowChange::changed:
            return "changed";
        case RowChange::same:
            return "same";
        case RowChange::kept:
            return "kept";
    }
    return "";
}

// "differences" without the rows that stay the same, and "counts" with them.
void add_differences(json::object& out, const BenchState& state, const std::vector<SpecRow>& rows, LengthUnit unit) {
    std::map<RowChange, std::int64_t> counts;
    json::array list;
    for (const auto& row : row_differences(state.rows, rows, unit)) {
        ++counts[row.change];
        if (row.change == RowChange::same) continue;
        json::array cells;
        for (const auto& cell : row.cells)
            cells.push_back(json::object{{"column", cell.column}, {"before", cell.before}, {"after", cell.after}});
        json::object one{{"spec_id", row.spec_id}, {"change", word_of(row.change)}, {"cells", std::move(cells)}};
        if (!row.twin.empty()) one["twin"] = row.twin;
        list.push_back(std::move(one));
    }
    json::object numbers;
    for (const auto change : {RowChange::added, RowChange::changed, RowChange::same, RowChange::kept})
        numbers[word_of(change)] = counts[change];
    out["differences"] = std::move(list);
    out["counts"] = std::move(numbers);
}

// The one that a file's lengths are in.
LengthUnit unit_of(const std::string& csv) {
    std::vector<TableError> none;
    const auto file = read_csv(csv);
    if (file.rows.empty()) return LengthUnit::mm;
    const auto header = read_spec_header(file.rows.front(), none);
    const auto* crimp = header.find("crimp");
    return crimp == nullptr ? LengthUnit::mm : crimp->length_unit;
}

}  // namespace

namespace handlers {

HttpAnswer check_table(ApiCall& call) {
    auto read = reflect::from_json<api::TableCheckBody>(call.body);
    if (!read) return error_response(400, read.error());
    const auto table = parse_spec_table(read->csv);
    if (!table) return file_refused(table.error());
    if (auto fine = check_table_texts(call, read->name, table->rows); !fine) return error_response(400, fine.error());
    json::object out{{"rows", static_cast<std::int64_t>(table->rows.size())},
                     {"warnings", told_all(messages_of(*table))}};
    add_differences(out, call.api.desk().state(), table->rows, unit_of(read->csv));
    return ok(out);
}

HttpAnswer tables_list(ApiCall& call) {
    auto rows = spec_rows_in_force(call.api.journal());
    if (!rows) return refusal_of(rows.error());
    json::array in_force;
    for (auto& found : *rows) {
        auto& shown = found.as_object();
        auto row = shown.at("row").as_object();
        row["table"] = shown.at("table");
        row["adopted_seq"] = shown.at("seq");
        row["adopted"] = shown.at("time");
        row["adopted_by"] = shown.at("who");
        in_force.push_back(std::move(row));
    }
    const auto& desk = call.api.desk();
    const bool inches = rules_in_force(desk.rules(), desk.state()).shown_unit == ShownUnit::inch;
    json::array proposals;
    for (const auto& [seq, proposal] : desk.state().proposals) {
        json::object one{{"proposed_seq", seq},
                         {"table", proposal.table.table},
                         {"proposed_by", proposal.by},
                         {"proposed", utc_text(proposal.utc_ms)},
                         {"utc_ms", proposal.utc_ms},
                         {"rows", static_cast<std::int64_t>(proposal.table.rows.size())},
                         {"warnings", told_all(proposal.table.warnings)}};
        add_differences(one, desk.state(), proposal.table.rows, inches ? LengthUnit::inch : LengthUnit::mm);
        proposals.push_back(std::move(one));
    }
    return ok({{"in_force", std::move(in_force)}, {"proposals", std::move(proposals)}});
}

HttpAnswer propose_table(ApiCall& call) {
    auto read = reflect::from_json<api::TableBody>(call.body);
    if (!read) return error_response(400, read.error());
    auto table = parse_spec_table(read->csv);
    if (!table) return file_refused(table.error());
    commands::ProposeTable propose;
    propose.table = read->name;
    propose.file_sha256 = sha256_hex(read->csv);
    propose.warnings_acknowledged = read->acknowledge_warnings.value_or(false);
    propose.warnings = messages_of(*table);
    if (auto fine = check_table_texts(call, propose.table, table->rows); !fine)
        return error_response(400, fine.error());
    propose.rows = std::move(table->rows);
    const auto ran = call.api.desk().run(propose, call.who);
    if (ran.refusal && ran.refusal->code == "bench.warnings_open")
        return refused_with(409, *ran.refusal, "warnings", told_all(propose.warnings));
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
        ready.push_back(opened(order, plan ? plan->rating.rating : Rating{}));
        if (plan && ready.back().proof_test)
            if (const auto fits = proof_test_fits(*ready.back().proof_test, plan->rating.rating.pressure); !fits)
                error(order, fits.error());
        if (auto fine = call.api.check_texts(reflect::write(ready.back()), ""); !fine) error(order, fine.error());
    }
    if (!errors.empty()) {
        const auto count = std::to_string(errors.size());
        return refused_with(422, message("api.file_refused").with("count", count), "errors", std::move(errors));
    }
    json::array entries, findings;
    for (auto& order : ready) {
        const auto id = order.order;
        const auto ran = desk.run(commands::OpenOrder{std::move(order)}, call.who);
        if (ran.refusal) return refusal_of(*ran.refusal);
        for (const auto& entry : ran.entries)
            entries.push_back(json::object{{"seq", entry.seq}, {"type", entry.type}});
        const auto& found = desk.state().orders.at(id).order.application_findings;
        for (auto& one : told_findings(found.value_or(std::vector<ApplicationFinding>{}), id))
            findings.push_back(std::move(one));
    }
    return ok({{"entries", std::move(entries)},
               {"findings", std::move(findings)},
               {"undated_hose_lots", std::move(undated)}});
}

}  // namespace handlers
}  // namespace crimpgate
