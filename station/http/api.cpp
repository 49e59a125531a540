// From a request to its route: method, path, who asks, body.
#include "station/http/api.h"

#include <boost/json.hpp>
#include <charconv>

#include "station/daemon/study_facts.h"
#include "station/http/describe_commands.h"
#include "station/json/canonical.h"
#include "station/json/reflect.h"
#include "station/people/first_code.h"
#include "station/people/passphrases.h"
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

std::string bearer_of(const HttpRequest& request) {
    constexpr std::string_view bearer = "Bearer ";
    return request.authorization.starts_with(bearer) ? request.authorization.substr(bearer.size()) : std::string();
}

// What an open page asks for again and again without anybody having touched it.
bool asked_by_itself(const Route& route) {
    return route.method == "GET" && (route.name == "bench" || route.name == "events" || route.name == "session");
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
    if (person == people.end() || person->second.retired) return not_signed_in();
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
    : desk_(desk), journal_(journal), sessions_(sessions), waits_(waits), parts_(std::move(parts)) {
    desk_.on_entry([this](const Entry& entry) { heard(entry); });
}

// The first person is there, what a session stood on has changed, or somebody who has one works at the bench.
void Api::heard(const Entry& entry) {
    if (entry.type == entries::PersonRetired::type || entry.type == entries::RoleGiven::type ||
        entry.type == entries::SecretSet::type) {
        const auto& person = entry.body.at("person").as_string();
        sessions_.end_all_of(std::string(person.data(), person.size()));
    }
    if (entry.type == entries::PersonAdded::type) parts_.first_code.clear();
    if (entry.type == entries::ReadingTaken::type) sessions_.used_by(entry.who);
}

void Api::tend() {
    sessions_.limit_pages(rules_in_force(desk_.rules(), desk_.state()).sign_out_after_ms);
    for (auto& person : sessions_.take_ended())
        desk_.note(entries::SessionEnded{std::move(person)});
}

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

    ApiCall call{*this, request, {}, bearer_of(request), false, std::move(value), {}};
    if (call.token.empty()) {
        call.token = request.cookie(session_cookie(request.secure));
        call.by_cookie = !call.token.empty();
    }
    if (request.method == "POST" && call.by_cookie && !request.from_page)
        return error_response(403, message("api.not_from_page"));
    sessions_.limit_pages(rules_in_force(desk_.rules(), desk_.state()).sign_out_after_ms);
    if (auto person = sessions_.person(call.token, asked_by_itself(*route))) call.who = std::move(*person);
    if (request.method == "POST") {
        if (!request.body.empty()) {
            auto body = parse_strict_object(request.body);
            if (!body) return error_response(400, body.error());
            call.body = std::move(*body);
        }
        if (route->name != "signIn")
            if (auto refused = act_as_other(call)) return std::move(*refused);
    }
    if (auto refused = may_ask(call, route->needs)) return std::move(*refused);
    auto answer = route->handle(call);
    if (request.method == "POST") tend();
    return answer;
}

// "by": this one action as whoever proves to be that person; the session is not part of it.
std::optional<HttpResponse> Api::act_as_other(ApiCall& call) {
    const auto* by = call.body.if_contains("by");
    if (by == nullptr) return std::nullopt;
    api::ByBody other;
    if (auto read = reflect::read(*by, other, "by"); !read) return error_response(400, read.error());
    auto proved = prove(other, call.request.from_here, ProvedFor::one_action);
    if (!proved) return refusal_of(proved.error());
    call.who = std::move(proved->person);
    call.token.clear();
    call.by_cookie = false;
    call.body.erase("by");
    return std::nullopt;
}

Result<Proved> Api::prove(const api::ByBody& proof, bool from_here, ProvedFor what) {
    if (proof.pin.has_value() == proof.passphrase.has_value()) return refuse(message("people.one_secret"));
    // Six digits are no proof for whoever asks from afar, without the badge in hand at this one machine.
    if (proof.pin && !from_here) return refuse(message("people.pin_only_here"));
    const Secret kind = proof.pin ? Secret::pin : Secret::passphrase;
    const std::string& secret = proof.pin ? *proof.pin : *proof.passphrase;
    const auto* known = person_of_code(desk_.state(), proof.person, kind);
    // The state changes with every note below.
    const std::string person = known == nullptr ? std::string() : known->first;
    const std::int64_t wrong = known == nullptr ? 0 : known->second.wrong_in_a_row;
    if (wrong >= most_wrong) return refuse(message("people.locked"));
    const std::string place = known == nullptr ? waits_.unknown(proof.person) : "person " + person;
    if (const auto left = waits_.left_ms(place); left > 0)
        return refuse(message("people.wait").with("seconds", std::to_string((left + 999) / 1000)));
    const std::string hash = known == nullptr      ? std::string()
                             : kind == Secret::pin ? known->second.pin_hash
                                                   : known->second.passphrase_hash;
    if (hash.empty()) pretend_to_check(secret);
    if (hash.empty() || !pin_fits(hash, secret)) {
        waits_.failed(place);
        // Not a name that nobody has: it may be a PIN typed into the wrong field.
        desk_.note(entries::SignInRefused{person.empty() ? "unknown" : person});
        return refuse(message("people.wrong_pin"));
    }
    waits_.succeeded(place);
    // The wrong ones before it are no longer in a row, which the record has to say: a session of one action.
    if (wrong > 0 && what == ProvedFor::one_action) {
        desk_.note(entries::SessionBegun{person, kind, from_here});
        desk_.note(entries::SessionEnded{person});
    }
    return Proved{person, kind};
}

Result<void> Api::check_first_code(const std::string& typed) {
    if (parts_.first_code.empty()) return {};
    const std::string place = "first person";
    if (const auto left = waits_.left_ms(place); left > 0)
        return refuse(message("people.wait").with("seconds", std::to_string((left + 999) / 1000)));
    if (is_first_code(parts_.first_code, typed)) return {};
    waits_.failed(place);
    return refuse(message("people.wrong_code"));
}

Result<std::string> Api::hash_for(Secret kind, const std::string& secret, const std::vector<std::string>& known) const {
    if (kind == Secret::pin) return hash_pin(secret);
    auto all = known;
    all.push_back(parts_.shop);
    return hash_passphrase(secret, all);
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

Result<Journal> second_look(const std::filesystem::path& file, const std::string& station) {
    JournalOptions options;
    options.station = station;
    options.access = JournalAccess::read;
    return Journal::open(file, options);
}

HttpResponse refusal_of(const Message& m) {
    const std::string_view code = m.code;
    int status = 409;
    if (code == "people.wait") status = 429;
    if (code.starts_with("people.pin_") || code.starts_with("people.passphrase_") || code == "people.one_secret" ||
        code.starts_with("json.") || code.starts_with("print.") || code == "api.bad_number" ||
        code == "bench.field_empty" || code == "bench.must_be_positive")
        status = 400;
    if (code == "people.wrong_pin" || code == "people.wrong_code") status = 401;
    if (code == "people.locked" || code == "people.pin_only_here" || code == "people.bench_only_here" ||
        code.starts_with("bench.not_a_") || code == "bench.not_an_operator" || code == "bench.nobody" ||
        code == "bench.not_allowed" || code == "bench.own_hold" || code == "bench.own_reading" ||
        code == "bench.study_own" || code == "bench.study_not_yours" || code == "bench.void_needs_lead")
        status = 403;
    if (code == "trace.no_serial" || code == "bench.no_serial" || code == "bench.no_order" ||
        code == "bench.no_gauge" || code == "bench.no_reference" || code == "bench.no_study" ||
        code == "bench.no_sample")
        status = 404;
    if (code.starts_with("journal.")) status = 503;
    return error_response(status, m);
}

std::string_view session_cookie(bool secure) {
    return secure ? "__Host-crimpgate" : "crimpgate";
}

namespace {

bool read_in_open_study(const Entry& entry, const BenchState& state) {
    if (entry.type != entries::StudyMeasured::type) return false;
    const auto* name = entry.body.if_contains("study");
    if (name == nullptr || !name->is_string()) return true;
    const auto study = state.studies.find(std::string(name->get_string()));
    return study == state.studies.end() || still_blind(study->second);
}

}  // namespace

std::string open_bytes(const Entry& entry, const BenchState& state) {
    const bool secret = entry.type == entries::PersonAdded::type || entry.type == entries::SecretSet::type;
    if (!secret && !read_in_open_study(entry, state)) return entry.bytes;
    return canonical(boost::json::object{
        {"seq", entry.seq}, {"type", entry.type}, {"hash", to_hex(entry.hash)}, {"withheld", true}});
}

}  // namespace crimpgate
