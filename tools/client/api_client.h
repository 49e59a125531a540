// A small blocking client of the station's JSON API, for the command line, the demo and tests.
//
// Every call has a deadline. A refusal by the station is an answer (status and words), not an error; an error is a
// station that cannot be reached or does not speak properly ("client.*").
#pragma once

#include <chrono>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <boost/json/object.hpp>

#include "specs/message.h"

namespace crimpgate {

struct ApiReply {
    int status = 0;
    std::string text;                                          // the body as it came
    boost::json::object json;                                  // the same read; empty when it is no JSON object
    std::vector<std::pair<std::string, std::string>> headers;  // names in lower case

    bool ok() const { return status >= 200 && status < 300; }
    std::string code() const;   // of a refusal, or ""
    std::string words() const;  // of a refusal, or ""
    std::string header(const std::string& lower_case_name) const;
};

class ApiClient {
  public:
    using Headers = std::vector<std::pair<std::string, std::string>>;

    ApiClient(std::string host, std::uint16_t port, std::chrono::milliseconds deadline = std::chrono::seconds(30));
    ~ApiClient();
    ApiClient(ApiClient&&) noexcept;
    ApiClient& operator=(ApiClient&&) noexcept;

    // Keeps one connection open and makes a new one when the station has closed it.
    Result<ApiReply> get(const std::string& target);
    Result<ApiReply> post(const std::string& target, const boost::json::object& body = {});
    // Anything else: further headers replace those that the client would send (Host, Origin ...).
    Result<ApiReply> request(const std::string& method, const std::string& target, const std::string& body,
                             const Headers& headers = {});

    // Signs in and keeps the token for the calls that follow. A secret of nothing but digits is a PIN, any other a
    // passphrase.
    Result<ApiReply> sign_in(const std::string& person, const std::string& secret,
                             std::optional<bool> at_bench = std::nullopt);
    void use_token(std::string token) { token_ = std::move(token); }
    const std::string& token() const { return token_; }

  private:
    struct Line;
    std::string host_;
    std::uint16_t port_;
    std::chrono::milliseconds deadline_;
    std::string token_;
    std::unique_ptr<Line> line_;
};

struct ApiEvent {
    std::int64_t id = 0;  // 0: it had none
    std::string event;
    std::string data;
};

// GET /api/events, one event at a time.
class EventReader {
  public:
    // `target`: "/api/events?from=1"; `last_event_id` as a browser sends it when it comes back, empty: none.
    static Result<EventReader> open(const std::string& host, std::uint16_t port, const std::string& target,
                                    const std::string& last_event_id = "");
    ~EventReader();
    EventReader(EventReader&&) noexcept;
    EventReader& operator=(EventReader&&) noexcept;

    // Nothing when none came within that time, or when the stream has ended (see ended()).
    std::optional<ApiEvent> next(std::chrono::milliseconds wait);
    bool ended() const;

  private:
    struct Line;
    explicit EventReader(std::unique_ptr<Line> line);
    std::unique_ptr<Line> line_;
};

}  // namespace crimpgate
