// Requests as pages and programs send them, for the tests of signing in and of sessions.
#pragma once

#include <boost/json.hpp>
#include <string>
#include <vector>

#include "tests/station/api_station.h"
#include "tests/support/catch.h"

namespace crimpgate::test {

namespace json = boost::json;

inline constexpr std::int64_t minute_ms = 60'000;

inline HttpRequest request(const std::string& method, const std::string& path, const json::object& body = {}) {
    HttpRequest out;
    out.method = method;
    out.path = path;
    if (method == "POST") out.body = json::serialize(body);
    out.from_here = true;
    out.from_page = true;
    return out;
}

inline json::object json_of(const HttpResponse& response) {
    return json::parse(response.body).as_object();
}

inline std::string code_of(const HttpResponse& response) {
    const auto body = json_of(response);
    return body.contains("code") ? std::string(body.at("code").as_string()) : "";
}

inline std::string set_cookie(const HttpResponse& response) {
    for (const auto& [name, value] : response.headers)
        if (name == "Set-Cookie") return value;
    return "";
}

// The value of the cookie that the answer sets.
inline std::string token_in(const HttpResponse& response) {
    const auto text = set_cookie(response);
    const auto from = text.find('=') + 1;
    return text.substr(from, text.find(';') - from);
}

inline HttpRequest with_cookie(HttpRequest request, const std::string& token) {
    request.cookies["crimpgate"] = token;
    return request;
}

inline json::object pin_of(const std::string& person) {
    return {{"person", person}, {"pin", ApiStation::pin_of(person)}};
}

inline json::object passphrase_of(const std::string& person) {
    return {{"person", person}, {"passphrase", ApiStation::passphrase_of(person)}};
}

// A page at the station's own machine, signed in there and not at the bench unless it says so.
inline std::string page_of(ApiStation& station, const std::string& person, bool at_bench = false) {
    auto body = pin_of(person);
    body["cookie"] = true;
    body["at_bench"] = at_bench;
    const auto answer = station.ask(request("POST", "/api/sign-in", body));
    REQUIRE(answer.status == 200);
    return token_in(answer);
}

inline int status_of(ApiStation& station, const std::string& token, const std::string& path = "/api/session") {
    return station.ask(with_cookie(request("GET", path), token)).status;
}

inline std::vector<Entry> of_type(ApiStation& station, std::string_view type) {
    std::vector<Entry> out;
    for (auto& entry : station.entries())
        if (entry.type == type) out.push_back(std::move(entry));
    return out;
}

}  // namespace crimpgate::test
