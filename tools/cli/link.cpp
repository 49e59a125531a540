// link: what a customer sees of their own assemblies without an account.
#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "tools/cli/commands.h"
#include "tools/cli/opened.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

int empty(const char* field) {
    return fail(Exit::wrong_use, message("bench.field_empty").with("field", field));
}

std::string how_it_stands(const json::object& link) {
    if (link.contains("revoked_seq")) return "revoked: " + shown_text(text_in(link, "revoke_reason"));
    const auto last = text_in(link, "valid_until"), paper = text_in(link, "certificate");
    return (last.empty() ? "until revoked" : "until " + last) + (paper.empty() ? "" : ", printed on " + paper);
}

bool tags_open(const json::object& link) {
    const auto* value = link.if_contains("opens_by_tag");
    return value != nullptr && value->is_bool() && value->get_bool();
}

}  // namespace

int link_list(const CommandLine& line) {
    const auto asked = opened_source(line);
    if (!asked.source) return asked.how;
    auto list = asked.source->links();
    if (!list) return fail_with(list.error());
    if (line.has("--json")) {
        print_json({{"links", std::move(*list)}});
        return Exit::fine;
    }
    TextTable table({"link", "customer", "of", "good", "tags open it", "looks", "last look", "by"});
    for (const auto& value : *list) {
        const auto& link = value.as_object();
        const auto delivery = text_in(link, "delivery"), looked = text_in(link, "looked");
        table.add({text_in(link, "link"), shown_text(text_in(link, "customer")),
                   delivery.empty() ? "everything" : delivery, how_it_stands(link), tags_open(link) ? "yes" : "-",
                   std::to_string(number_in(link, "looks")), looked.empty() ? "-" : short_time(looked) + " UTC",
                   text_in(link, "who")});
    }
    print(table.empty() ? "No link was made yet.\n" : table.text());
    return Exit::fine;
}

int link_make(const CommandLine& line) {
    if (line.value("--customer").empty()) return empty("customer");
    json::object body{{"customer", line.value("--customer")}};
    if (line.has("--delivery")) body["delivery"] = line.value("--delivery");
    if (line.has("--until")) body["valid_until"] = line.value("--until");
    if (line.has("--by-tag")) body["opens_by_tag"] = true;
    const auto asked = opened_source(line);
    if (!asked.source) return asked.how;
    const auto made = asked.source->make_link(body);
    if (!made) return fail_with(made.error());
    if (line.has("--json")) {
        print_json(*made);
        return Exit::fine;
    }
    print(fmt::format(
        "{}\n{}\n\nThis address is shown this one time. Whoever has it sees what is behind it: send it to the "
        "customer and to nobody else.\n",
        text_in(*made, "link"), text_in(*made, "address")));
    const auto* good = made->if_contains("for_customers");
    if (good == nullptr || !good->is_bool() || !good->get_bool())
        print(
            "The configuration names no address for customers ([record] link): this one is as you reach the station "
            "yourself, and no tag carries one.\n");
    if (line.has("--by-tag"))
        print(
            "The tags of these assemblies open it, too, each for its own: anybody who stands before the hose can read "
            "its record.\n");
    return Exit::fine;
}

int link_revoke(const CommandLine& line) {
    if (line.value("--reason").empty()) return empty("reason");
    const auto asked = opened_source(line);
    if (!asked.source) return asked.how;
    const auto done = asked.source->revoke_link({{"link", line.words.front()}, {"reason", line.value("--reason")}});
    if (!done) return fail_with(done.error());
    print("Revoked. It shows nothing any more.\n");
    return Exit::fine;
}

}  // namespace crimpgate::cli
