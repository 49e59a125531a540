// delivery: what left the house.
#include <fmt/format.h>
#include <boost/json.hpp>
#include <cstdio>
#include <vector>

#include "specs/shown_text.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/opened.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

// A serial a line, blanks around it and empty lines passed over.
Result<json::array> serials_in(const std::string& file) {
    const auto text = read_file(file);
    if (!text) return refuse(text.error());
    json::array out;
    std::string_view rest = *text;
    if (rest.starts_with("\xEF\xBB\xBF")) rest.remove_prefix(3);
    while (!rest.empty()) {
        auto one = rest.substr(0, rest.find('\n'));
        rest.remove_prefix(std::min(one.size() + 1, rest.size()));
        const auto from = one.find_first_not_of(" \t\r");
        if (from == std::string_view::npos) continue;
        one = one.substr(from, one.find_last_not_of(" \t\r") + 1 - from);
        // As a person types it: small letters, hyphens.
        const auto serial = Serial::parse(one);
        out.push_back(json::string(serial ? serial->text() : std::string(one)));
    }
    return out;
}

// What was refused, and below it every reason.
int fail_for(const Message& why, const std::vector<std::string>& reasons) {
    const int how = fail_with(why);
    for (const auto& reason : reasons)
        std::fprintf(stderr, "    %s\n", reason.c_str());
    return how;
}

int empty(const char* field) {
    return fail(Exit::wrong_use, message("bench.field_empty").with("field", field));
}

}  // namespace

int delivery_list(const CommandLine& line) {
    const auto asked = opened_source(line);
    if (!asked.source) return asked.how;
    auto list = asked.source->deliveries();
    if (!list) return fail_with(list.error());
    if (line.has("--json")) {
        print_json({{"deliveries", std::move(*list)}});
        return Exit::fine;
    }
    TextTable table({"delivery", "sent on", "customer", "note", "to", "assemblies", "by"});
    for (const auto& value : *list) {
        const auto& d = value.as_object();
        const auto out = number_in(d, "out"), sent = number_in(d, "sent");
        table.add({text_in(d, "delivery"), text_in(d, "date"), shown_text(text_in(d, "customer")),
                   shown_text(text_in(d, "note_number")), shown_text(text_in(d, "to")),
                   out == sent ? std::to_string(sent) : fmt::format("{} of {}", out, sent), text_in(d, "who")});
    }
    print(table.empty() ? "Nothing was delivered yet, as far as this record knows.\n" : table.text());
    return Exit::fine;
}

int delivery_show(const CommandLine& line) {
    const auto asked = opened_source(line);
    if (!asked.source) return asked.how;
    const auto found = asked.source->delivery(line.words.front());
    if (!found) return fail_with(found.error());
    if (line.has("--json")) {
        print_json(*found);
        return Exit::fine;
    }
    const auto& d = found->at("delivery").as_object();
    print(
        fmt::format("{} for {}, sent on {} to {}{}, by {}\n\n", text_in(d, "delivery"),
                    shown_text(text_in(d, "customer")), text_in(d, "date"), shown_text(text_in(d, "to")),
                    text_in(d, "note_number").empty() ? "" : ", delivery note " + shown_text(text_in(d, "note_number")),
                    text_in(d, "who")));
    TextTable table({"serial", "order", "part", "stage", "hose lot"});
    for (const auto& value : found->at("assemblies").as_array()) {
        const auto& a = value.as_object();
        table.add({text_in(a, "serial"), shown_text(text_in(a, "order")), shown_text(text_in(a, "customer_part")),
                   text_in(a, "stage"), shown_text(text_in(a, "hose_lot"))});
    }
    if (!table.empty()) print(table.text());
    for (const auto& value : found->at("taken_back").as_array()) {
        const auto& back = value.as_object();
        print(fmt::format("\nTaken back {} UTC by {} (entry {}): {}\n    {}\n", short_time(text_in(back, "time")),
                          text_in(back, "who"), number_in(back, "seq"), shown_text(text_in(back, "reason")),
                          json::serialize(back.at("serials"))));
    }
    return Exit::fine;
}

int delivery_send(const CommandLine& line) {
    for (const auto& [option, field] : {std::pair{"--customer", "customer"}, {"--to", "to"}, {"--serials", "serials"}})
        if (line.value(option).empty()) return empty(field);
    auto serials = serials_in(line.value("--serials"));
    if (!serials) return fail(Exit::cannot, serials.error());
    json::object body{
        {"customer", line.value("--customer")}, {"to", line.value("--to")}, {"serials", std::move(*serials)}};
    if (line.has("--note")) body["note_number"] = line.value("--note");
    if (line.has("--date")) body["date"] = line.value("--date");
    const auto asked = opened_source(line);
    if (!asked.source) return asked.how;
    std::vector<std::string> reasons;
    if (const auto sent = asked.source->send_delivery(body, false, reasons); !sent)
        return fail_for(sent.error(), reasons);
    print("Written down as sent.\n");
    return Exit::fine;
}

int delivery_take_back(const CommandLine& line) {
    for (const auto& [option, field] : {std::pair{"--serials", "serials"}, {"--reason", "reason"}})
        if (line.value(option).empty()) return empty(field);
    auto serials = serials_in(line.value("--serials"));
    if (!serials) return fail(Exit::cannot, serials.error());
    const json::object body{
        {"delivery", line.words.front()}, {"serials", std::move(*serials)}, {"reason", line.value("--reason")}};
    const auto asked = opened_source(line);
    if (!asked.source) return asked.how;
    std::vector<std::string> reasons;
    if (const auto back = asked.source->send_delivery(body, true, reasons); !back)
        return fail_for(back.error(), reasons);
    print("Written down as taken back.\n");
    return Exit::fine;
}

}  // namespace crimpgate::cli
