// What goes between the HTTP server and whoever answers: plain values, without the HTTP library's types.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

struct HttpRequest {
    std::string method;
    std::string path;                          // percent-decoded, UTF-8, "/api/bench"
    std::map<std::string, std::string> query;  // decoded; no name stands twice
    std::string authorization;
    std::string host;
    std::string origin;
    std::string fetch_site;  // Sec-Fetch-Site, as browsers send it
    std::string last_event_id;
    std::map<std::string, std::string, std::less<>> cookies;
    std::string body;
    bool from_here = false;  // the other end is this machine (loopback)
    std::string peer{};      // the other end's address; empty where nobody says
    bool secure = false;     // it came through TLS
    // It carries "X-Crimpgate: page", which no form and no link of another site can send: a write that stands on a
    // cookie needs it.
    bool from_page = false;

    // Empty when there is none of that name.
    std::string cookie(std::string_view name) const;
};

struct HttpResponse {
    int status = 200;
    std::string content_type = "application/json";
    std::string body;
    // Instead of what every answer has where the name is the same; Set-Cookie may stand more than once.
    std::vector<std::pair<std::string, std::string>> headers;
};

// One event of a stream; id 0: without one, so that a client's place stays where it is.
struct StreamEvent {
    std::int64_t id = 0;
    std::string event;
    std::string data;  // one line
};

// An answer that goes on: events by their ids from `next` on. The server asks `read` whenever the client has taken what
// it was sent, so a slow client costs a place in the numbering and not memory. `first` goes out before anything else.
struct EventStream {
    std::int64_t next = 1;
    std::vector<StreamEvent> first;
    std::function<Result<std::vector<StreamEvent>>(std::int64_t from, std::int64_t limit)> read;
};

// An answer that takes long: worked out on another thread, so that the bench does not wait. `work` must not touch
// anything that belongs to the loop; `then`, where there is one, runs on the loop after it, gets what work answered and
// gives the answer that goes out. What the two share they hold together. A client that is gone by then changes nothing
// of it; a station that stops meanwhile does not come to `then`.
struct LaterAnswer {
    std::function<HttpResponse()> work;
    std::function<HttpResponse(HttpResponse worked)> then{};
};

using HttpAnswer = std::variant<HttpResponse, EventStream, LaterAnswer>;
using HttpHandler = std::function<HttpAnswer(const HttpRequest&)>;

// {"code": ..., "details": {...}, "words": "..."}: for a program and for the person in front of it.
HttpResponse error_response(int status, const Message& message);

}  // namespace crimpgate
