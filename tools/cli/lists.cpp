// orders, holds and entries: what a station has in work, what was stopped, and what happened.
#include <algorithm>
#include <limits>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "station/json/canonical.h"
#include "station/words/finding_words.h"
#include "tools/cli/commands.h"
#include "tools/cli/source.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

struct Asked {
    std::unique_ptr<Source> source;
    int how = Exit::fine;
};

Asked ask(const CommandLine& line) {
    bool wrong = false;
    auto source = open_source(line, Access::read, wrong);
    if (!source) return {nullptr, wrong ? fail(Exit::wrong_use, source.error()) : fail_with(source.error())};
    return {std::move(*source)};
}

std::string lots_of(const json::object& order) {
    std::string out;
    const auto* lots = order.if_contains("lots");
    if (lots == nullptr || !lots->is_array()) return out;
    for (const auto& value : lots->get_array()) {
        const auto& lot = value.as_object();
        std::string part = text_in(lot, "part");
        if (part.starts_with("fitting_")) part = part == "fitting_a" ? "fitting A" : "fitting B";
        std::string text = fmt::format("{} {}", part, text_in(lot, "lot"));
        if (const auto made = text_in(lot, "made"); !made.empty()) text += " (" + made + ")";
        out += out.empty() ? text : ", " + text;
    }
    return out;
}

std::string n(const json::object& row, std::string_view name) {
    return std::to_string(number_in(row, name));
}

std::string cause_words(const json::object& hold, const Lengths& lengths) {
    const std::string cause = text_in(hold, "cause");
    if (cause == "failed") return fmt::format("end {} is out of its band", end_in(hold));
    if (cause == "uncertain") return fmt::format("end {} is too close to a limit for its gauge to tell", end_in(hold));
    if (cause == "suspect")
        return fmt::format("suspect, since gauge {} then failed its proof by {} {}", text_in(hold, "gauge"),
                           lengths.in(hold, "gauge_error_nm"), lengths.name());
    return "put aside by hand: " + text_in(hold, "reason");
}

std::string how_words(const std::string& how) {
    if (how == "recrimp") return "crimp again and measure anew";
    if (how == "remeasure") return "measure again";
    if (how == "concession") return "CONCESSION";
    return how;
}

}  // namespace

std::string hold_text(const json::object& hold, ShownUnit unit) {
    std::string out = fmt::format("{}  on hold since {} UTC (entry {})", text_in(hold, "serial"),
                                  short_time(text_in(hold, "time")), number_in(hold, "seq"));
    if (const auto order = text_in(hold, "order"); !order.empty())
        out += fmt::format(", order {} for {}", order, text_in(hold, "customer"));
    out += fmt::format("\n    why: {}\n", cause_words(hold, Lengths{length_unit(unit)}));
    if (const auto maker = text_in(hold, "made_by"); !maker.empty()) out += fmt::format("    measured by {}\n", maker);
    if (const auto delivery = text_in(hold, "delivery"); !delivery.empty())
        out += fmt::format("    LEFT THE HOUSE with {} on {}, to {}\n", delivery, text_in(hold, "delivered"),
                           shown_text(text_in(hold, "to")));
    if (!hold.contains("settled_seq")) {
        out += fmt::format("    OPEN; {}\n", yes_in(hold, "recrimp_possible")
                                                 ? "may be crimped again, measured again, scrapped or conceded"
                                                 : "cannot be crimped again");
        return out;
    }
    out += fmt::format("    settled {} UTC by {} (entry {}): {}", short_time(text_in(hold, "settled")),
                       text_in(hold, "settled_by"), number_in(hold, "settled_seq"), how_words(text_in(hold, "how")));
    if (const auto reference = text_in(hold, "customer_reference"); !reference.empty())
        out += fmt::format(", customer's reference {}", reference);
    if (const auto reason = text_in(hold, "settle_reason"); !reason.empty()) out += fmt::format("; {}", reason);
    return out + "\n";
}

int orders(const CommandLine& line) {
    const auto asked = ask(line);
    if (!asked.source) return asked.how;
    auto list = asked.source->orders();
    if (!list) return fail_with(list.error());
    if (line.has("--json")) {
        print_json({{"orders", std::move(*list)}});
        return Exit::fine;
    }
    TextTable table(
        {"order", "customer", "part", "wanted", "passed", "in work", "on hold", "to take up", "scrapped", "due"});
    std::string lots;
    for (const auto& value : *list) {
        const auto& order = value.as_object();
        table.add({text_in(order, "order"), text_in(order, "customer"), text_in(order, "customer_part"),
                   n(order, "quantity"), n(order, "passed"), n(order, "in_work"), n(order, "on_hold"),
                   n(order, "to_be_taken_up"), n(order, "scrapped"), text_in(order, "due")});
        lots += fmt::format("    {}: {}\n", text_in(order, "order"), lots_of(order));
    }
    print(table.empty() ? "No order was opened at this station.\n" : table.text() + "\nLots\n" + lots);
    return Exit::fine;
}

int holds(const CommandLine& line) {
    const auto asked = ask(line);
    if (!asked.source) return asked.how;
    auto list = asked.source->holds(line.has("--all"));
    if (!list) return fail_with(list.error());
    if (line.has("--json")) {
        print_json({{"holds", std::move(*list)}});
        return Exit::fine;
    }
    if (list->empty()) print(line.has("--all") ? "Nothing was ever put on hold.\n" : "Nothing waits to be settled.\n");
    const auto unit = asked.source->shown_unit();
    if (!unit) return fail_with(unit.error());
    for (const auto& hold : *list)
        print(hold_text(hold.as_object(), *unit));
    return Exit::fine;
}

int entries(const CommandLine& line) {
    const auto from = cli::number_in(line, "--from", 1, 1, json_integer_limit);
    if (!from) return fail(Exit::wrong_use, from.error());
    auto left = cli::number_in(line, "--count", json_integer_limit, 1, json_integer_limit);
    if (!left) return fail(Exit::wrong_use, left.error());
    const auto asked = ask(line);
    if (!asked.source) return asked.how;
    const auto unit = line.has("--json") ? Result<ShownUnit>(ShownUnit::mm) : asked.source->shown_unit();
    if (!unit) return fail_with(unit.error());
    constexpr std::int64_t piece = 500;
    for (std::int64_t next = *from; *left > 0;) {
        const auto found = asked.source->entries(next, std::min(piece, *left));
        if (!found) return fail_with(found.error());
        for (const auto& value : *found) {
            const auto& entry = value.as_object();
            if (line.has("--json")) {
                print_json(entry);
            } else {
                const std::string who = text_in(entry, "who");
                print(fmt::format("{:>6}  {:<19}  {:<8}  {}\n", number_in(entry, "seq"),
                                  short_time(text_in(entry, "time")), who.empty() ? "-" : who,
                                  entry_sentence(entry, *unit)));
            }
            next = number_in(entry, "seq") + 1;
        }
        *left -= static_cast<std::int64_t>(found->size());
        if (found->empty()) break;
    }
    return Exit::fine;
}

}  // namespace crimpgate::cli
