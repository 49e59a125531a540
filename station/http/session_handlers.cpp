// Signing in and out, and who that is.
#include <boost/json.hpp>

#include "station/http/api.h"
#include "station/http/describe_commands.h"
#include "station/json/reflect.h"

namespace crimpgate::handlers {

namespace {

// Not for scripts, for this site alone, and gone with the browser (RFC 6265bis).
std::string cookie_header(const HttpRequest& request, const std::string& token, std::string_view more) {
    std::string text(session_cookie(request.secure));
    text += "=" + token + "; HttpOnly; SameSite=Strict; Path=/";
    if (request.secure) text += "; Secure";
    text += more;
    return text;
}

boost::json::object shown(const std::string& id, const PersonState& person) {
    return {{"person", id},
            {"name", person.name},
            {"role", reflect::enum_name(person.role)},
            {"language", person.language}};
}

}  // namespace

HttpAnswer sign_in(ApiCall& call) {
    auto read = reflect::from_json<api::SignInBody>(call.body);
    if (!read) return error_response(400, read.error());
    const bool cookie = read->cookie.value_or(false);
    // Nobody is to be signed in by a page that is not ours.
    if (cookie && !call.request.from_page) return error_response(403, message("api.not_from_page"));
    api::ByBody proof;
    proof.person = read->person;
    proof.pin = read->pin;
    proof.passphrase = read->passphrase;
    const auto proved = call.api.prove(proof, call.request.from_here, ProvedFor::session);
    if (!proved) return refusal_of(proved.error());

    auto& desk = call.api.desk();
    const auto person = desk.state().people.at(proved->person);
    const bool works = person.role == Role::operator_ || person.role == Role::lead;
    const bool at_bench = read->at_bench.value_or(works && call.request.from_here);
    if (at_bench && !call.request.from_here) return refusal_of(message("people.bench_only_here"));
    if (at_bench)
        if (auto ran = desk.run(commands::SignIn{}, proved->person); ran.refusal) return refusal_of(*ran.refusal);
    entries::SessionBegun begun;
    begun.person = proved->person;
    begun.secret = proved->secret;
    begun.from_here = call.request.from_here;
    if (auto noted = desk.note(begun); noted.refusal) return refusal_of(*noted.refusal);

    // A token that was there before must not become worth more than it was (session fixation).
    if (call.by_cookie) call.api.sessions().end(call.token);
    const auto token = call.api.sessions().begin(proved->person, cookie ? SessionKind::page : SessionKind::program);
    auto body = shown(proved->person, person);
    if (!cookie) body["token"] = token;
    auto answer = ok(body);
    if (cookie) answer.headers.emplace_back("Set-Cookie", cookie_header(call.request, token, ""));
    return answer;
}

// Also at the bench, for whoever stands there.
HttpAnswer sign_out(ApiCall& call) {
    if (auto read = reflect::from_json<api::NoBody>(call.body); !read) return error_response(400, read.error());
    auto& desk = call.api.desk();
    Ran ran;
    if (desk.state().person == call.who) ran = desk.run(commands::SignOut{}, call.who);
    if (!ran.refusal) call.api.sessions().end(call.token);
    auto answer = answer_of(ran);
    if (!ran.refusal && call.by_cookie)
        answer.headers.emplace_back("Set-Cookie", cookie_header(call.request, "", "; Max-Age=0"));
    return answer;
}

HttpAnswer session(ApiCall& call) {
    return ok(shown(call.who, call.api.desk().state().people.at(call.who)));
}

}  // namespace crimpgate::handlers
