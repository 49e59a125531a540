// certificate: a lead has the station issue one, and gets its files.
#include <chrono>
#include <filesystem>

#include <boost/json.hpp>

#include "specs/serial.h"
#include "specs/shown_text.h"
#include "tools/cli/address.h"
#include "tools/cli/commands.h"
#include "tools/cli/files.h"
#include "tools/cli/pin.h"
#include "tools/cli/text_table.h"
#include "tools/client/api_client.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

// What it is about: a serial as the word, or one of the two options.
Result<std::pair<std::string, std::string>> subject_of(const CommandLine& line) {
    const auto count = (line.words.empty() ? 0 : 1) + (line.has("--order") ? 1 : 0) + (line.has("--delivery") ? 1 : 0);
    if (count != 1) return refuse(message("cli.certificate_of_one"));
    if (line.has("--order")) return std::pair{std::string("order"), line.value("--order")};
    if (line.has("--delivery")) return std::pair{std::string("delivery"), line.value("--delivery")};
    const auto serial = Serial::parse(line.words[0]);
    if (!serial) return refuse(serial.error());
    return std::pair{std::string("serial"), serial->text()};
}

Message refusal_in(const ApiReply& reply) {
    if (reply.code().empty()) return message("cli.strange_answer").with("status", std::to_string(reply.status));
    Message why{reply.code(), {}};
    if (const auto* details = reply.json.if_contains("details"); details != nullptr && details->is_object())
        for (const auto& [name, text] : details->get_object())
            if (text.is_string()) why.with(std::string_view(name), std::string_view(text.get_string()));
    return why;
}

// Each that stands in the way, by serial and stage.
void print_in_the_way(const json::object& answer) {
    const auto* list = answer.if_contains("in_the_way");
    if (list == nullptr || !list->is_array()) return;
    for (const auto& one : list->get_array())
        print(std::string(one.at("serial").as_string()) + "  " + std::string(one.at("stage").as_string()) + "\n");
}

Result<void> fetch(ApiClient& client, const std::string& name, const std::string& folder) {
    const auto reply = client.get("/api/certificates/" + name);
    if (!reply) return refuse(reply.error());
    if (!reply->ok()) return refuse(refusal_in(*reply));
    return write_file((std::filesystem::path(folder) / name).string(), reply->text);
}

}  // namespace

int certificate(const CommandLine& line) {
    const auto subject = subject_of(line);
    if (!subject) return fail(Exit::wrong_use, subject.error());
    const auto address = station_address(line);
    if (!address) return fail(Exit::wrong_use, address.error());
    if (line.value("--person").empty()) return fail(Exit::wrong_use, message("cli.who_asks"));
    const auto person = line.value("--person");
    const auto secret = line.has("--pin-file") ? pin_from_file(line.value("--pin-file")) : pin_from_terminal(person);
    if (!secret) return fail(Exit::cannot, secret.error());
    // Some hundred assemblies take a while.
    ApiClient client(address->first, address->second, std::chrono::minutes(5));
    const auto in = client.sign_in(person, *secret, false);
    if (!in) return fail(Exit::cannot, in.error());
    if (!in->ok()) return fail(Exit::cannot, refusal_in(*in));

    json::object body{{"subject", subject->first},
                      {"id", subject->second},
                      {"statement", line.has("--statement") ? line.value("--statement") : "declaration"},
                      {"function", line.value("--function")},
                      {"independent", line.has("--independent")}};
    for (const auto* option : {"--paper", "--language"})
        if (line.has(option)) body[option + 2] = line.value(option);
    if (line.has("--with-link")) body["with_link"] = true;
    if (line.has("--link-until")) body["link_until"] = line.value("--link-until");
    const auto reply = client.post("/api/certificates", body);
    int how = Exit::fine;
    if (!reply) {
        how = fail(Exit::cannot, reply.error());
    } else if (!reply->ok()) {
        print_in_the_way(reply->json);
        how = fail(reply->status == 400 ? Exit::wrong_use : Exit::cannot, refusal_in(*reply));
    } else {
        const std::string number(reply->json.at("certificate").as_string());
        const auto folder = line.has("--to") ? line.value("--to") : std::string(".");
        for (const auto* ending : {".pdf", ".json"})
            if (const auto done = fetch(client, number + ending, folder); !done) how = fail(Exit::cannot, done.error());
        if (line.has("--json"))
            print_json(reply->json);
        else
            print(number + "\n");
        if (const auto link = text_in(reply->json, "link"); !link.empty() && !line.has("--json"))
            print(link + " is the customer's page that it carries the address of\n");
    }
    (void)client.post("/api/sign-out");
    return how;
}

}  // namespace crimpgate::cli
