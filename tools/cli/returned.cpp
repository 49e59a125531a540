// return: hoses that came back, at a running station: the list, opening one, what its record says, and its report.
#include <algorithm>

#include <fmt/format.h>
#include <boost/json.hpp>

#include "specs/shown_text.h"
#include "station/json/reflect.h"
#include "station/words/catalogue.h"
#include "tools/cli/address.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/pin.h"
#include "tools/cli/text_table.h"
#include "tools/client/api_client.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

Message refusal_in(const ApiReply& reply) {
    if (reply.code().empty()) return message("cli.strange_answer").with("status", std::to_string(reply.status));
    Message why{reply.code(), {}};
    if (const auto* details = reply.json.if_contains("details"); details != nullptr && details->is_object())
        for (const auto& [name, text] : details->get_object())
            if (text.is_string()) why.with(std::string_view(name), std::string_view(text.get_string()));
    return why;
}

Result<ApiReply> answer(Result<ApiReply> reply) {
    if (reply && !reply->ok()) return refuse(refusal_in(*reply));
    return reply;
}

// Signed in at the station; signs out again.
class AtStation {
  public:
    static Result<AtStation> open(const CommandLine& line, bool& wrong) {
        wrong = true;
        if (line.has("--journal")) return refuse(message("cli.needs_station"));
        const auto address = station_address(line);
        if (!address) return refuse(address.error());
        if (line.value("--person").empty()) return refuse(message("cli.who_asks"));
        wrong = false;
        const auto person = line.value("--person");
        const auto secret =
            line.has("--pin-file") ? pin_from_file(line.value("--pin-file")) : pin_from_terminal(person);
        if (!secret) return refuse(secret.error());
        // Siblings are counted in the whole journal, which takes its time on a large one.
        ApiClient client(address->first, address->second, std::chrono::seconds(120));
        const auto in = answer(client.sign_in(person, *secret, false));
        if (!in) return refuse(in.error());
        return AtStation(std::move(client));
    }
    AtStation(AtStation&&) = default;
    AtStation& operator=(AtStation&&) = delete;
    ~AtStation() {
        if (!client_.token().empty()) (void)client_.post("/api/sign-out");
    }

    ApiClient& client() { return client_; }

  private:
    explicit AtStation(ApiClient client) : client_(std::move(client)) {}
    ApiClient client_;
};

template <class F>
int at_station(const CommandLine& line, F&& work) {
    bool wrong = false;
    auto station = AtStation::open(line, wrong);
    if (!station) return wrong ? fail(Exit::wrong_use, station.error()) : fail_with(station.error());
    return work(station->client());
}

std::string said(const json::value& value) {
    Message m;
    return reflect::read(value, m, "") ? say(m) : std::string();
}

std::string say_code(const json::value& code) {
    return say(Message{std::string(code.as_string()), {}});
}

std::string points(std::int64_t n) {
    return n > 0 ? "+" + std::to_string(n) : std::to_string(n);
}

void put_ranking(std::string& out, const json::object& ranking, bool all) {
    out += fmt::format("WHAT THE RECORD SAYS\n    {}\n\n", said(ranking.at("record_sentence")));
    out += fmt::format("LIKELY CAUSES\n    {}\n", said(ranking.at("conclusion")));
    for (const auto& value : ranking.at("modes").as_array()) {
        const auto& mode = value.as_object();
        if (!all && !yes_in(mode, "reach")) continue;
        out += fmt::format("\n  {}. {}  ({} points)\n", number_in(mode, "rank"), say_code(mode.at("words")),
                           points(number_in(mode, "points")));
        for (const auto& line : mode.at("lines").as_array()) {
            out += fmt::format("    {:>3}  {}", points(line.at("weight").as_int64()), said(line.at("what")));
            if (const auto* together = line.as_object().if_contains("together")) out += " + " + say_code(*together);
            out += '\n';
        }
        out += fmt::format("    at the bench: {}\n    in use: {}\n", say_code(mode.at("bench")),
                           say_code(mode.at("in_use")));
    }
}

std::string one_text(const json::object& found, bool all) {
    const auto& about = found.at("about").as_object();
    std::string out =
        fmt::format("{}  {}  from {}, came on {}\n", text_in(about, "return"),
                    text_in(about, "serial").empty() ? "unknown hose" : text_in(about, "serial"),
                    text_in(about, "customer").empty() ? "nobody knows whom" : shown_text(text_in(about, "customer")),
                    text_in(about, "received"));
    if (const auto reported = text_in(about, "reported"); !reported.empty())
        out += fmt::format("    \"{}\"\n", shown_text(reported));
    out += "\nCAUTION\n";
    const auto& ranking = found.at("ranking").as_object();
    for (const auto& caution : ranking.at("cautions").as_array())
        out += fmt::format("    {}\n", said(caution));
    out += '\n';
    for (const auto& notice : found.at("notices").as_array())
        out += fmt::format("LOOK: {}\n\n", said(notice));
    put_ranking(out, ranking, all);
    TextTable groups({"what they share", "", "at risk", "others", "out"});
    for (const auto& value : found.at("groups").as_array()) {
        const auto& group = value.as_object();
        groups.add({text_in(group, "group"), shown_text(text_in(group, "key")), yes_in(group, "at_risk") ? "yes" : "no",
                    std::to_string(number_in(group, "assemblies")), std::to_string(number_in(group, "delivered"))});
    }
    if (!groups.empty()) out += "\nSIBLINGS\n" + groups.text(2);
    out += "\nWHAT CANNOT BE KNOWN\n";
    for (const auto& unknown : ranking.at("unknown").as_array())
        out += fmt::format("    {}\n", said(unknown));
    return out;
}

}  // namespace

int return_list(const CommandLine& line) {
    return at_station(line, [&](ApiClient& client) {
        const auto reply = answer(client.get("/api/returns"));
        if (!reply) return fail_with(reply.error());
        if (line.has("--json")) {
            print_json(reply->json);
            return static_cast<int>(Exit::fine);
        }
        TextTable table({"return", "serial", "sent by", "came on", "open questions", "state"});
        for (const auto& value : reply->json.at("returns").as_array()) {
            const auto& one = value.as_object();
            table.add({text_in(one, "return"), text_in(one, "serial"), shown_text(text_in(one, "customer")),
                       text_in(one, "received"), std::to_string(number_in(one, "open")),
                       yes_in(one, "concluded") ? "concluded" : "open"});
        }
        print(table.empty() ? "No hose has come back so far.\n" : table.text());
        return static_cast<int>(Exit::fine);
    });
}

int return_open(const CommandLine& line) {
    json::object body;
    for (const auto& [option, member] : {std::pair{"--serial", "serial"}, std::pair{"--customer", "customer"},
                                         std::pair{"--received", "received"}, std::pair{"--reported", "reported"}})
        if (line.has(option)) body[member] = line.value(option);
    if (line.has("--hurt")) body["someone_hurt"] = true;
    if (!body.contains("serial") && !body.contains("reported"))
        return fail(Exit::wrong_use, message("returned.nothing_known"));
    return at_station(line, [&](ApiClient& client) {
        const auto reply = answer(client.post("/api/returns", body));
        if (!reply) return fail_with(reply.error());
        if (line.has("--json")) {
            print_json(reply->json);
            return static_cast<int>(Exit::fine);
        }
        print(fmt::format("{} is open. {}\n", text_in(reply->json, "return"),
                          say(message("returned.caution.evidence_maybe"))));
        return static_cast<int>(Exit::fine);
    });
}

int return_show(const CommandLine& line) {
    return at_station(line, [&](ApiClient& client) {
        const auto reply = answer(client.get("/api/returns/" + line.words.front()));
        if (!reply) return fail_with(reply.error());
        if (line.has("--json"))
            print_json(reply->json);
        else
            print(one_text(reply->json, line.has("--all")));
        return static_cast<int>(Exit::fine);
    });
}

int return_report(const CommandLine& line) {
    const auto word = [&](std::string_view option, std::string_view first, std::string_view second) {
        return !line.has(option) || line.value(option) == first || line.value(option) == second;
    };
    for (const auto& [option, first, second] :
         {std::tuple{"--copy", "internal", "customer"}, std::tuple{"--paper", "a4", "letter"},
          std::tuple{"--language", "en", "de"}})
        if (!word(option, first, second))
            return fail(Exit::wrong_use, message("cli.bad_choice")
                                             .with("option", option)
                                             .with("found", shown_text(line.value(option)))
                                             .with("may", fmt::format("{}, {}", first, second)));
    if (line.value("--pdf").empty()) return fail(Exit::wrong_use, message("bench.field_empty").with("field", "pdf"));
    return at_station(line, [&](ApiClient& client) {
        std::string target = "/api/returns.pdf?return=" + line.words.front();
        for (const auto& [option, name] :
             {std::pair{"--copy", "copy"}, std::pair{"--paper", "paper"}, std::pair{"--language", "language"}})
            if (line.has(option)) target += fmt::format("&{}={}", name, line.value(option));
        const auto reply = answer(client.get(target));
        if (!reply) return fail_with(reply.error());
        if (auto done = write_file(line.value("--pdf"), reply->text); !done) return fail(Exit::cannot, done.error());
        print(line.value("--pdf") + "\n");
        return static_cast<int>(Exit::fine);
    });
}

}  // namespace crimpgate::cli
