// The station's JSON API: every bench action and every read, as a function from a request to an answer.
//
// Who asks is whose session it is (Authorization: Bearer TOKEN), or for this one action whoever stands in the body's
// "by" with their PIN (a lead who settles a hold at the operator's screen). What that person may do, the bench says.
// The hash of a PIN never leaves by this way: entries of type person.added go out as {"seq", "type", "hash",
// "withheld": true}; the journal's file has them whole.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>

#include <boost/json/object.hpp>

#include "station/daemon/desk.h"
#include "station/http/http_types.h"
#include "station/http/routes.h"
#include "station/people/sessions.h"
#include "station/people/sign_in_waits.h"

namespace crimpgate {

// The profile that the configuration names for a gauge.
struct GaugeProfile {
    std::string profile;
    std::string sha256;  // of its file
};

struct ApiParts {
    std::string version;
    std::string shop{};
    std::map<std::string, GaugeProfile> gauges;  // of the configuration, by id
    // Prints one more copy of a tag (R11).
    std::function<Ran(const std::string& serial, const std::string& reason, const std::string& who)> reprint;
    // Whether a text could be printed on a tag (reports/fonts.h): names are refused where they are entered. May be
    // null.
    std::function<Result<void>(std::string_view)> printable;
};

class Api {
  public:
    // All of them must outlive the API.
    Api(Desk& desk, Journal& journal, Sessions& sessions, SignInWaits& waits, ApiParts parts);

    HttpAnswer operator()(const HttpRequest& request);

    Desk& desk() { return desk_; }
    Journal& journal() { return journal_; }
    Sessions& sessions() { return sessions_; }
    const ApiParts& parts() const { return parts_; }

    // Who that is, if the PIN fits; refused with "people.wrong_pin" or "people.wait" (seconds). A wrong one is noted in
    // the journal.
    Result<void> prove_person(const std::string& person, const std::string& pin);
    // The first text in `value` that no tag could print, with its member's name added.
    Result<void> check_texts(const boost::json::value& value, const std::string& member) const;

  private:
    Desk& desk_;
    Journal& journal_;
    Sessions& sessions_;
    SignInWaits& waits_;
    ApiParts parts_;
};

// One request on its way through a route.
struct ApiCall {
    Api& api;
    const HttpRequest& request;
    std::string who;    // empty: nobody
    std::string token;  // of the session, empty without one
    std::string value;  // what stood for {serial} in the path
    boost::json::object body;

    // The value of a query parameter that is a whole number, `otherwise` when not given; "api.bad_number" (name).
    Result<std::int64_t> number(const std::string& name, std::int64_t otherwise, std::int64_t most) const;
};

HttpResponse ok(const boost::json::object& body);
// What a command led to: its entries' numbers and types, or its refusal.
HttpResponse answer_of(const Ran& ran);
// 403, 404, 409, 503 ... by the refusal's code.
HttpResponse refusal_of(const Message& message);
// An entry as it may leave: its bytes, or of a person's nothing but its number, type and hash.
std::string open_bytes(const Entry& entry);

}  // namespace crimpgate
