// check-table and check-order: what a file says, before the station is asked to believe it.
#include <ctime>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/order.h"
#include "specs/shown_text.h"
#include "specs/spec_table.h"
#include "station/words/catalogue.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

// The sentence without the place that is told above it already.
std::string sentence_alone(const TableError& error) {
    std::string words = say(error.why);
    for (const std::string& place :
         {fmt::format("Line {}, {}: ", error.line, error.column), fmt::format("Line {}: ", error.line)}) {
        if (!words.starts_with(place)) continue;
        words.erase(0, place.size());
        if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
        break;
    }
    return words;
}

std::string count(std::size_t n, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", n, n == 1 ? one : many);
}

void tell_errors(const std::string& file, const std::vector<TableError>& errors) {
    print(fmt::format("{}: {}. Nothing of this file can be used until all are corrected.\n", file,
                      count(errors.size(), "error", "errors")));
    for (const auto& error : errors) {
        print(fmt::format("\nline {}{}{}\n", error.line, error.column.empty() ? "" : ", column ",
                          shown_text(error.column)));
        if (!error.found.empty()) print(fmt::format("    found     {}\n", shown_text(error.found)));
        if (!error.expected.empty()) print(fmt::format("    expected  {}\n", shown_text(error.expected, 200)));
        print(fmt::format("    {}\n", sentence_alone(error)));
    }
}

json::object told(const Message& m) {
    json::object details;
    for (const auto& d : m.details)
        details[d.name] = d.text;
    return {{"code", m.code}, {"details", std::move(details)}, {"words", say(m)}};
}

json::array errors_json(const std::vector<TableError>& errors) {
    json::array out;
    for (const auto& error : errors) {
        auto one = told(error.why);
        one["line"] = error.line;
        one["column"] = error.column;
        one["found"] = error.found;
        one["expected"] = error.expected;
        out.push_back(std::move(one));
    }
    return out;
}

int refused(const CommandLine& line, const std::string& file, const std::vector<TableError>& errors) {
    if (line.has("--json"))
        print_json({{"file", file}, {"good", false}, {"errors", errors_json(errors)}});
    else
        tell_errors(file, errors);
    return Exit::found_wrong;
}

std::string around(const Toleranced& size) {
    return fmt::format("{} -{}/+{}", exact_mm(size.nominal), exact_mm(size.minus), exact_mm(size.plus));
}

Date today() {
    const std::time_t now = std::time(nullptr);
    std::tm parts{};
    localtime_r(&now, &parts);
    return std::chrono::year(parts.tm_year + 1900) / std::chrono::month(static_cast<unsigned>(parts.tm_mon + 1)) /
           std::chrono::day(static_cast<unsigned>(parts.tm_mday));
}

void tell_rows(const SpecTable& table) {
    TextTable rows({"row", "rev", "hose", "fitting", "die", "crimper", "crimp mm", "depth mm", "flats"});
    for (const auto& row : table.rows)
        rows.add({row.spec_id, row.revision, fmt::format("{} -{}", row.hose.type, row.hose.dash),
                  fmt::format("{} -{} {}", row.fitting.series, row.fitting.dash, row.fitting.end_size), row.die_set,
                  row.crimper, around(row.crimp), around(row.depth), std::to_string(row.flats.size())});
    print("\n" + rows.text());
}

// One order held against the table.
struct Held {
    const Order& order;
    tl::expected<OrderPlan, std::vector<Message>> plan;
};

std::string plan_text(const OrderPlan& plan) {
    const auto pressure = plan.rating.rating.pressure;
    std::string out = fmt::format("    cut the hose to {} mm; finished {} to {} mm\n", exact_mm(plan.cut_length),
                                  exact_mm(plan.overall.band().lower), exact_mm(plan.overall.band().upper));
    out += fmt::format("    working pressure {} bar, {} MPa, {} psi\n", pressure.to_bar_text(1),
                       pressure.to_mpa_text(2), pressure.to_psi_text());
    for (const auto& lot : plan.undated_hose_lots)
        out += fmt::format("    hose lot {} has no date: read the print on the hose before it is used\n", lot);
    return out;
}

json::object held_json(const Held& held) {
    json::object out{{"order", held.order.order_id}, {"can_be_made", held.plan.has_value()}};
    if (held.plan) {
        out["cut_length_nm"] = held.plan->cut_length.nm();
        out["overall_lower_nm"] = held.plan->overall.band().lower.nm();
        out["overall_upper_nm"] = held.plan->overall.band().upper.nm();
        out["working_pressure_kpa"] = held.plan->rating.rating.pressure.kpa();
        json::array undated(held.plan->undated_hose_lots.begin(), held.plan->undated_hose_lots.end());
        out["undated_hose_lots"] = std::move(undated);
    } else {
        json::array problems;
        for (const auto& why : held.plan.error())
            problems.push_back(told(why));
        out["problems"] = std::move(problems);
    }
    return out;
}

void tell_order(const Order& order) {
    print(fmt::format("\n{} for {}, part {}: {} of {} mm, end A {}, end B {}\n", order.order_id, order.customer,
                      order.customer_part, order.quantity, exact_mm(order.overall_length), order.spec_a, order.spec_b));
}

int hold_against(const CommandLine& line, const std::string& file, const std::vector<Order>& orders,
                 const SpecTable& table, Date on, std::int64_t hose_age) {
    std::vector<Held> all;
    std::size_t bad = 0;
    for (const auto& order : orders) {
        all.push_back({order, crimpgate::check_order(order, table.rows, on, hose_age)});
        if (!all.back().plan) ++bad;
    }
    if (line.has("--json")) {
        json::array list;
        for (const auto& held : all)
            list.push_back(held_json(held));
        print_json({{"file", file}, {"good", bad == 0}, {"orders", std::move(list)}});
        return bad == 0 ? Exit::fine : Exit::found_wrong;
    }
    print(fmt::format("{}: {}, assembled on {}: {}.\n", file, count(orders.size(), "order", "orders"), to_text(on),
                      bad == 0 ? std::string("all can be made")
                               : count(bad, "cannot be made like this", "cannot be made like this")));
    for (const auto& held : all) {
        tell_order(held.order);
        if (held.plan) print(plan_text(*held.plan));
        if (!held.plan)
            for (const auto& why : held.plan.error())
                print(fmt::format("    {}\n", say(why)));
    }
    return bad == 0 ? Exit::fine : Exit::found_wrong;
}

}  // namespace

int check_table(const CommandLine& line) {
    const std::string& file = line.words[0];
    const auto text = read_file(file);
    if (!text) return fail(Exit::cannot, text.error());
    const auto table = parse_spec_table(*text);
    if (!table) return refused(line, file, table.error());
    const auto warnings = warnings_of(*table);
    if (line.has("--json")) {
        json::array list, rows;
        for (const auto& warning : warnings) {
            auto one = told(Message{warning.code, warning.details});
            one["spec_id"] = warning.spec_id;
            list.push_back(std::move(one));
        }
        for (const auto& row : table->rows)
            rows.push_back(json::object{{"spec_id", row.spec_id}, {"revision", row.revision}});
        print_json({{"file", file}, {"good", true}, {"warnings", std::move(list)}, {"rows", std::move(rows)}});
        return Exit::fine;
    }
    print(fmt::format("{}: no errors, {}, {}.\n", file, count(warnings.size(), "warning", "warnings"),
                      count(table->rows.size(), "row", "rows")));
    if (!warnings.empty()) print("\nWhoever adopts this table must have seen:\n");
    for (const auto& warning : warnings)
        print(fmt::format("    {}: {}\n", warning.spec_id, say(Message{warning.code, warning.details})));
    tell_rows(*table);
    return Exit::fine;
}

int check_order(const CommandLine& line) {
    Date on = today();
    if (line.has("--on")) {
        const auto given = parse_date(line.value("--on"));
        if (!given) return fail(Exit::wrong_use, given.error());
        on = *given;
    }
    const auto hose_age = cli::number_in(line, "--hose-age", usual_hose_age_limit_years, 1, 50);
    if (!hose_age) return fail(Exit::wrong_use, hose_age.error());
    const std::string& file = line.words[0];
    const auto text = read_file(file);
    if (!text) return fail(Exit::cannot, text.error());
    const auto orders = parse_orders(*text);
    if (!orders) return refused(line, file, orders.error());
    if (line.has("--table")) {
        const auto table_text = read_file(line.value("--table"));
        if (!table_text) return fail(Exit::cannot, table_text.error());
        const auto table = parse_spec_table(*table_text);
        if (!table) return refused(line, line.value("--table"), table.error());
        return hold_against(line, file, *orders, *table, on, *hose_age);
    }
    if (line.has("--json")) {
        json::array list;
        for (const auto& order : *orders)
            list.push_back(json::object{{"order", order.order_id}, {"quantity", order.quantity}});
        print_json({{"file", file}, {"good", true}, {"orders", std::move(list)}});
        return Exit::fine;
    }
    print(fmt::format("{}: no errors, {}. Not held against a spec table; --table does that.\n", file,
                      count(orders->size(), "order", "orders")));
    for (const auto& order : *orders)
        tell_order(order);
    return Exit::fine;
}

}  // namespace crimpgate::cli
