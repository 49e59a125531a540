// From a request to its route: method, path, who asks, body.
#include "station/http/api.h"

#include <boost/json.hpp>
#include <charconv>

#include "station/http/describe_commands.h"
#include "station/json/canonical.h"
#include "station/json/reflect.h"
#include "station/people/pins.h"

namespace crimpgate {
namespace {

// What stands in `path` for the route's {hole}; nothing when it is another path.
std::optional<std::string> match(std::string_view pattern, std::string_view path) {
    const auto hole = pattern.find('{');
    if (hole == std::string_view::npos) return path == pattern ? std::optional<std::string>("") : std::nullopt;
    if (path.substr(0, hole) != pattern.substr(0, hole)) return std::nullopt;
    const auto value = path.substr(std::min(hole, path.size()));
    if (value.empty() || value.find('/') != std::string_view::npos) return std::nullopt;
    return std::string(value);
}

std::string token_of(const HttpRequest& request) {
    constexpr std::string_view bearer = "Bearer ";
    return request.authorization.starts_with(bearer) ? request.authorization.substr(bearer.size()) : std::string();
}

HttpResponse not_signed_in() {
    auto response = error_response(401, message("api.sign_in"));
    response.headers.emplace_back("WWW-Authenticate", "Bearer");
    return response;
}

// Nothing: go on.
std::optional<HttpResponse> may_ask(const ApiCall& call, Needs needs) {
    const auto& people = call.api.desk().state().people;
    switch (needs) {
        case Needs::nobody:
            return std::nullopt;
        case Needs::here:
            if (call.request.from_here) return std::nullopt;
            break;
        case Needs::first_person:
            if (people.empty() && call.request.from_here) return std::nullopt;
            break;
        case Needs::signed_in:
        case Needs::setter:
        case Needs::office:
            break;
    }
    const auto person = people.find(call.who);
    if (person == people.end()) return not_signed_in();
    const Role role = person->second.role;
    const auto not_allowed = [&](Message why) {
        return error_response(403, std::move(why).with("person", person->second.name));
    };
    if (needs == Needs::setter && role != Role::setter) return not_allowed(message("bench.not_a_setter"));
    if (needs == Needs::office && role == Role::operator_) return not_allowed(message("api.office_only"));
    return std::nullopt;
}

}  // namespace

Api::Api(Desk& desk, Journal& journal, Sessions& sessions, SignInWaits& waits, ApiParts parts)
    : desk_(desk), journal_(journal), sessions_(sessions), waits_(waits), parts_(std::move(parts)) {}

HttpAnswer Api::operator()(const HttpRequest& request) {
    const Route* route = nullptr;
    std::string value, allowed;
    for (const auto& candidate : routes()) {
        auto found = match(candidate.path, request.path);
        if (!found) continue;
        if (candidate.method == request.method && route == nullptr) {
            route = &candidate;
            value = std::move(*found);
        }
        if (!allowed.empty()) allowed += ", ";
        allowed += candidate.method;
    }
    if (allowed.empty()) return error_response(404, message("api.no_route").with("path", request.path));
    if (route == nullptr) {
        auto response =
            error_response(405, message("api.wrong_method").with("path", request.path).with("allowed", allowed));
        response.headers.emplace_back("Allow", allowed);
        return response;
    }

    ApiCall call{*this, request, {}, token_of(request), std::move(value), {}};
    if (auto person = sessions_.person(call.token)) call.who = std::move(*person);
    if (request.method == "POST") {
        if (!request.body.empty()) {
            auto body = parse_strict_object(request.body);
            if (!body) return error_response(400, body.error());
            call.body = std::move(*body);
        }
        if (const auto* by = call.body.if_contains("by"); by != nullptr && route->name != "signIn") {
            api::ByBody other;
            if (auto read = reflect::read(*by, other, "by"); !read) return error_response(400, read.error());
            if (auto proved = prove_person(other.person, other.pin); !proved) return refusal_of(proved.error());
            call.who = other.person;
            call.body.erase("by");
        }
    }
    if (auto refused = may_ask(call, route->needs)) return std::move(*refused);
    return route->handle(call);
}

Result<void> Api::prove_person(const std::string& person, const std::string& pin) {
    const auto& people = desk_.state().people;
    const auto known = people.find(person);
    const std::string waits_for = known == people.end() ? std::string() : person;
    if (const auto left = waits_.left_ms(waits_for); left > 0)
        return refuse(message("people.wait").with("seconds", std::to_string((left + 999) / 1000)));
    const bool fits = known != people.end() && pin_fits(known->second.pin_hash, pin);
    if (known == people.end()) pretend_to_check(pin);
    if (fits) {
        waits_.succeeded(waits_for);
        return {};
    }
    waits_.failed(waits_for);
    // Not a name that nobody has: it may be a PIN typed into the wrong field.
    desk_.note(entries::SignInRefused{waits_for.empty() ? "unknown" : person});
    return refuse(message("people.wrong_pin"));
}

Result<void> Api::check_texts(const boost::json::value& value, const std::string& member) const {
    if (!parts_.printable) return {};
    if (value.is_string()) {
        if (auto fine = parts_.printable(std::string_view(value.get_string())); !fine)
            return refuse(std::move(fine.error()).with("member", member));
    } else if (value.is_array()) {
        for (const auto& element : value.get_array())
            if (auto fine = check_texts(element, member); !fine) return fine;
    } else if (value.is_object()) {
        for (const auto& [name, inner] : value.get_object())
            if (auto fine = check_texts(inner, member.empty() ? std::string(name) : member + "." + std::string(name));
                !fine)
                return fine;
    }
    return {};
}

Result<std::int64_t> ApiCall::number(const std::string& name, std::int64_t otherwise, std::int64_t most) const {
    const auto found = request.query.find(name);
    if (found == request.query.end()) return otherwise;
    const std::string& text = found->second;
    std::int64_t parsed = 0;
    const auto [end, ec] = std::from_chars(text.data(), text.data() + text.size(), parsed);
    if (ec != std::errc{} || end != text.data() + text.size() || parsed < 0 || parsed > most)
        return refuse(
            message("api.bad_number").with("name", name).with("found", text).with("most", std::to_string(most)));
    return parsed;
}

HttpResponse ok(const boost::json::object& body) {
    HttpResponse response;
    response.body = canonical(body);
    return response;
}

HttpResponse answer_of(const Ran& ran) {
    if (ran.refusal) return refusal_of(*ran.refusal);
    boost::json::array entries;
    for (const auto& entry : ran.entries)
        entries.push_back(boost::json::object{{"seq", entry.seq}, {"type", entry.type}});
    return ok({{"entries", std::move(entries)}});
}

HttpResponse refusal_of(const Message& m) {
    const std::string_view code = m.code;
    int status = 409;
    if (code == "people.wrong_pin") status = 401;
    if (code == "people.wait") status = 429;
    if (code.starts_with("people.pin_") || code.starts_with("json.") || code.starts_with("print.") ||
        code == "api.bad_number" || code == "bench.field_empty" || code == "bench.must_be_positive")
        status = 400;
    if (code.starts_with("bench.not_a_") || code == "bench.not_an_operator" || code == "bench.nobody" ||
        code == "bench.not_allowed" || code == "bench.own_hold" || code == "bench.own_reading" ||
        code == "bench.void_needs_lead")
        status = 403;
    if (code == "trace.no_serial" || code == "bench.no_serial" || code == "bench.no_order" ||
        code == "bench.no_gauge" || code == "bench.no_reference")
        status = 404;
    if (code.starts_with("journal.")) status = 503;
    return error_response(status, m);
}

std::string open_bytes(const Entry& entry) {
    if (entry.type != entries::PersonAdded::type && entry.type != entries::SecretSet::type) return entry.bytes;
    return canonical(boost::json::object{
        {"seq", entry.seq}, {"type", entry.type}, {"hash", to_hex(entry.hash)}, {"withheld", true}});
}

}  // namespace crimpgate
