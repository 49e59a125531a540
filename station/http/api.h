// The station's JSON API: every bench action and every read, as a function from a request to an answer.
//
// Who asks is whose session it is (Authorization: Bearer TOKEN, or a page's cookie), or for this one action whoever
// stands in the body's "by" with their PIN or passphrase (a lead who settles a hold at the operator's screen). What
// that person may do, the bench says. A write that stands on a cookie must carry "X-Crimpgate: page", since a browser
// sends cookies along whoever caused the request. The hash of a secret never leaves by this way, nor does a reading of
// a gauge study before the study is complete or given up: entries that hold one go out as {"seq", "type", "hash",
// "withheld": true}; the journal's file has them whole.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>

#include <boost/json/object.hpp>

#include "station/daemon/audit_source.h"
#include "station/daemon/desk.h"
#include "station/http/certificate_routes.h"
#include "station/http/checkpoint_routes.h"
#include "station/http/http_types.h"
#include "station/http/routes.h"
#include "station/people/sessions.h"
#include "station/people/sign_in_waits.h"

namespace crimpgate {

class GaugeLines;

// The profile that the configuration names for a gauge.
struct GaugeProfile {
    std::string profile;
    std::string sha256;  // of its file
};

struct ApiParts {
    std::string version;
    std::string shop{};
    std::map<std::string, GaugeProfile> gauges;  // of the configuration, by id
    GaugeLines* lines = nullptr;                 // null: a station without lines
    std::function<void()> wake{};                // streams that listen to lines have more to read
    entries::PrinterChosen printer{};            // the configuration's
    CertificateParts certificates{};
    CheckpointParts checkpoints{};
    // Makes the tags that failed, as what they were (R11).
    std::function<Ran(const std::string& who)> retry_tags{};
    // Prints one more copy of a tag (R11).
    std::function<Ran(const std::string& serial, const std::string& reason, const std::string& who)> reprint;
    // What the first person is added with; empty: none is asked for.
    std::string first_code{};
    // Whether a text could be printed on a tag (reports/fonts.h): names are refused where they are entered. May be
    // null.
    std::function<Result<void>(std::string_view)> printable;
};

namespace api {
struct ByBody;
}

struct Proved {
    std::string person;
    Secret secret = Secret::pin;
};

enum class ProvedFor { session, one_action };

struct ApiCall;

class Api {
  public:
    // After so many wrong PINs and passphrases in a row nobody gets in under that name any more until whoever sets the
    // station up gave them a new one (NIST SP 800-63B: 100 at most).
    static constexpr std::int64_t most_wrong = 100;

    // All of them must outlive the API.
    Api(Desk& desk, Journal& journal, Sessions& sessions, SignInWaits& waits, ApiParts parts);
    Api(const Api&) = delete;
    Api& operator=(const Api&) = delete;

    HttpAnswer operator()(const HttpRequest& request);

    Desk& desk() { return desk_; }
    Journal& journal() { return journal_; }
    Sessions& sessions() { return sessions_; }
    const ApiParts& parts() const { return parts_; }
    // The last time that this station read its journal through, since it was started.
    const std::optional<ReadThrough>& read_through() const { return read_through_; }
    void was_read_through(ReadThrough how) { read_through_ = std::move(how); }

    // Writes down which sessions ended meanwhile. To be called now and then, and after what ends one.
    void tend();

    // Who that is, if PIN or passphrase fits; a wrong one is noted in the journal. Refused with "people.wrong_pin",
    // "people.wait" (seconds), "people.locked", "people.pin_only_here", "people.one_secret".
    Result<Proved> prove(const api::ByBody& proof, bool from_here, ProvedFor what);
    // The one-time code of a station that knows nobody yet; "people.wrong_code", "people.wait" (seconds).
    Result<void> check_first_code(const std::string& typed);
    // A new PIN or passphrase, hashed; refused with what speaks against it (pins.h, passphrases.h). `known`: what
    // everybody knows of that person.
    Result<std::string> hash_for(Secret kind, const std::string& secret, const std::vector<std::string>& known) const;
    // The first text in `value` that no tag could print, with its member's name added.
    Result<void> check_texts(const boost::json::value& value, const std::string& member) const;

  private:
    void heard(const Entry& entry);
    std::optional<HttpResponse> act_as_other(ApiCall& call);

    Desk& desk_;
    Journal& journal_;
    Sessions& sessions_;
    SignInWaits& waits_;
    ApiParts parts_;
    std::optional<ReadThrough> read_through_;
};

// One request on its way through a route.
struct ApiCall {
    Api& api;
    const HttpRequest& request;
    std::string who;    // empty: nobody
    std::string token;  // of the session, empty without one
    bool by_cookie = false;
    std::string value;  // what stood for {serial} in the path
    boost::json::object body;

    // The value of a query parameter that is a whole number, `otherwise` when not given; "api.bad_number" (name).
    Result<std::int64_t> number(const std::string& name, std::int64_t otherwise, std::int64_t most) const;
};

// The journal's file again, for reading on another thread.
Result<Journal> second_look(const std::filesystem::path& file, const std::string& station);

HttpResponse ok(const boost::json::object& body);
// What a command led to: its entries' numbers and types, or its refusal.
HttpResponse answer_of(const Ran& ran);
// 403, 404, 409, 503 ... by the refusal's code.
HttpResponse refusal_of(const Message& message);
// "crimpgate", through TLS "__Host-crimpgate" (RFC 6265bis: then no other name and no plain connection can set it).
std::string_view session_cookie(bool secure);
// An entry as it may leave: its bytes, or nothing but its number, type and own hash where it holds a secret's hash or a
// value of a gauge study that people are still to measure in, blind to what was read before.
std::string open_bytes(const Entry& entry, const BenchState& state);

}  // namespace crimpgate
