#include "station/http/trace_page.h"

#include <boost/json.hpp>

#include "specs/serial.h"
#include "station/http/api.h"
#include "station/http/link_token.h"
#include "station/http/tag_door.h"
#include "station/http/trace_page_answers.h"
#include "station/http/trace_page_html.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::string_view under = "/t";

struct Split {
    std::string token, rest;
};
Split split(const std::string& path) {
    Split out;
    if (path.size() <= under.size() + 1) return out;
    const auto tail = std::string_view(path).substr(under.size() + 1);
    const auto slash = std::min(tail.find('/'), tail.size());
    out.token = tail.substr(0, slash);
    out.rest = tail.substr(slash);
    if (out.rest == "/") out.rest.clear();
    return out;
}

// The route and what stands for its {subject}.
std::pair<const CustomerRoute*, std::string> route_of(const std::string& rest) {
    for (const auto& route : customer_routes()) {
        const auto hole = route.path.find('{');
        if (hole == std::string_view::npos) {
            if (route.path == rest) return {&route, {}};
            continue;
        }
        if (!rest.starts_with(route.path.substr(0, hole))) continue;
        auto subject = rest.substr(hole);
        if (!subject.empty() && subject.find('/') == std::string::npos) return {&route, std::move(subject)};
    }
    return {nullptr, {}};
}

// By the token of a link or by the code on a tag.
Result<std::optional<LinkScope>> opened_by(const Journal& journal, const std::string& text, const std::string& today) {
    if (!looks_like_tag_text(text)) return link_of(journal, link_token_hash(text));
    const auto keys = station_keys(journal);
    if (!keys) return refuse(keys.error());
    const auto serial = serial_of_tag(text, *keys);
    if (!serial) return std::optional<LinkScope>();
    return link_of_tag(journal, *serial, today);
}

// What a tag shows a person first: the one assembly that it opens.
constexpr CustomerRoute first_of_a_tag{"", Looked::record, ""};

HttpResponse not_there() {
    return error_response(404, message("trace_page.not_there"));
}

HttpResponse wait(std::int64_t seconds) {
    auto response = error_response(429, message("trace_page.wait").with("seconds", std::to_string(seconds)));
    response.headers.emplace_back("Retry-After", std::to_string(seconds));
    return response;
}

std::string printed(const BenchState& state, const std::string& person) {
    const auto found = state.people.find(person);
    return found == state.people.end() || found->second.name.empty() ? person
                                                                     : found->second.name + " (" + person + ")";
}

}  // namespace

const std::vector<CustomerRoute>& customer_routes() {
    static const std::vector<CustomerRoute> table = {
        {"", Looked::overview, ""},
        {"/overview.json", Looked::overview, ""},
        {"/record/{serial}", Looked::record, "serial"},
        {"/results/{serial}", Looked::record, "serial"},
        {"/order/{order}", Looked::list, "order"},
        {"/lot/{lot}", Looked::list, "lot"},
        {"/list.csv", Looked::list, ""},
        {"/list.json", Looked::list, ""},
        {"/certificate/{file}", Looked::certificate, "certificate"},
        {"/evidence/{serial}", Looked::evidence, "serial"},
        {"/events.jsonld", Looked::events, ""},
        {"/events/{serial}", Looked::events, "serial"},
    };
    return table;
}

std::int64_t LooksAMinute::take(const std::string& name, std::int64_t now_ms) {
    constexpr std::int64_t minute_ms = 60'000;
    if (looks_.size() >= most_names && !looks_.contains(name)) {
        auto oldest = looks_.begin();
        for (auto one = looks_.begin(); one != looks_.end(); ++one)
            if (one->second.back() < oldest->second.back()) oldest = one;
        looks_.erase(oldest);
    }
    auto& looks = looks_[name];
    while (!looks.empty() && looks.front() <= now_ms - minute_ms)
        looks.pop_front();
    if (looks.size() >= most_) return (looks.front() + minute_ms - now_ms + 999) / 1000;
    looks.push_back(now_ms);
    return 0;
}

CustomerDoor::CustomerDoor(Api& api, PageText text, std::string prefix)
    : api_(api), text_(std::move(text)), prefix_(std::move(prefix)) {}

std::optional<HttpAnswer> CustomerDoor::answer(const HttpRequest& request) {
    if (request.path != under && !request.path.starts_with("/t/")) return std::nullopt;
    if (request.method != "GET") {
        // Without the path: the token stands in it.
        auto response = error_response(405, message("trace_page.only_read"));
        response.headers.emplace_back("Allow", "GET, HEAD");
        return response;
    }
    const auto [token, rest] = split(request.path);
    const auto now = api_.desk().now();
    auto found = opened_by(api_.journal(), token, now.local_date);
    if (!found) return refusal_of(found.error());
    if (!*found || (!(*found)->valid_until.empty() && (*found)->valid_until < now.local_date))
        return gone(request, rest.empty());
    if (const auto seconds = known_.take((*found)->link + " " + (*found)->serial, now.mono_ns / 1'000'000); seconds > 0)
        return rest.empty() ? page(429, json::serialize(json::object{{"wait", seconds}})) : wait(seconds);
    return through(request, **found, rest);
}

HttpResponse CustomerDoor::gone(const HttpRequest& request, bool for_people) {
    const auto seconds = unknown_.take(request.peer, api_.desk().now().mono_ns / 1'000'000);
    if (seconds > 0) return for_people ? page(429, json::serialize(json::object{{"wait", seconds}})) : wait(seconds);
    if (for_people) return page(404, json::serialize(json::object{{"gone", true}}));
    return error_response(404, message("trace_page.gone"));
}

HttpResponse CustomerDoor::page(int status, const std::string& shown) const {
    auto response = trace_page_html(text_, prefix_, shown);
    response.status = status;
    return response;
}

std::optional<HttpResponse> CustomerDoor::noted(const LinkScope& scope, Looked what, const std::string& subject) {
    entries::LinkLooked look{scope.link, what, subject};
    if (!scope.serial.empty()) look.by_tag = scope.serial;
    const auto ran = api_.desk().note(look);
    if (ran.refusal) return refusal_of(*ran.refusal);
    return std::nullopt;
}

// Cheap look-ups, the note in the journal and the signature here on the loop; what may take long on another thread with
// a journal of its own.
HttpAnswer CustomerDoor::through(const HttpRequest&, const LinkScope& scope, const std::string& rest) {
    auto [route, subject] = route_of(rest);
    if (route == nullptr) return not_there();
    std::string serial;  // of a look at one assembly
    TraceWork work;
    if (rest.empty() && !scope.serial.empty()) {
        route = &first_of_a_tag;
        serial = subject = scope.serial;
    } else if (route->about == "serial") {
        // As a person types it.
        const auto typed = Serial::parse(subject);
        auto one = customer_assembly(api_.journal(), scope, typed ? typed->text() : subject);
        if (!one) return one.error().code == "trace_page.not_there" ? not_there() : refusal_of(one.error());
        serial = std::string(one->at("serial").as_string());
        subject = serial;
    } else if (route->about == "order" || route->about == "lot") {
        CustomerFilter filter;
        (route->about == "order" ? filter.order : filter.lot) = subject;
        filter.limit = 1;
        const auto some = customer_assemblies(api_.journal(), scope, filter);
        if (!some) return refusal_of(some.error());
        if (some->empty()) return not_there();
    } else if (route->about == "certificate") {
        const auto known = customer_certificate(api_.journal(), scope, subject.substr(0, subject.rfind('.')));
        if (!known) return known.error().code == "trace_page.not_there" ? not_there() : refusal_of(known.error());
        const bool paper = subject.ends_with(".pdf"), results = subject.ends_with(".qif");
        if (!paper && !results && !subject.ends_with(".json")) return not_there();
        subject = std::string(known->at("certificate").as_string());
        if (!results) {
            if (auto refused = noted(scope, route->looked, subject)) return std::move(*refused);
            return certificate_for(api_, *known, paper);
        }
        auto kept = certificate_for(api_, *known, false);
        if (kept.status != 200) return kept;
        work = certificate_results(std::move(kept.body), *known);
    }

    const auto& desk = api_.desk();
    TraceAsked asked;
    asked.scope = scope;
    asked.serial = serial;
    if (route->about == "order") asked.order = subject;
    if (route->about == "lot") asked.lot = subject;
    asked.shop = api_.parts().shop;
    asked.address = api_.parts().certificates.address;
    asked.link = api_.parts().certificates.link;
    asked.station = api_.journal().station();
    asked.time_zone = desk.time_zone();
    asked.now_ms = desk.now().utc_ms;
    for (const auto& [id, person] : desk.state().people)
        asked.names[id] = printed(desk.state(), id);
    if (route->looked == Looked::evidence) {
        auto checkpoint = checkpoint_over(api_, serial);
        if (!checkpoint) return refusal_of(checkpoint.error());
        asked.checkpoint = std::move(*checkpoint);
    }
    if (auto refused = noted(scope, route->looked, subject)) return std::move(*refused);

    if (!work) work = trace_work(*route, rest);
    LaterAnswer later;
    later.work = [work, asked, file = api_.journal().file()]() -> HttpResponse {
        const auto journal = second_look(file, asked.station);
        if (!journal) return refusal_of(journal.error());
        return work(*journal, asked);
    };
    if (rest.empty())
        later.then = [this](HttpResponse worked) { return worked.status == 200 ? page(200, worked.body) : worked; };
    return later;
}

}  // namespace crimpgate
