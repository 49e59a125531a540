// What a customer gets through a link, everything under /t/<token>: a page for people and files for machines, without
// an account and without a session. In the token's place may stand the signed code of a tag (tag_door.h), for the one
// assembly that it is of, where a link says that the tags open it, too.
//
// R12: the token's link says whose and, where it is of one delivery, which; everything is looked up by these two
// (station/journal/customer_view.h). A token that is wrong, revoked or past its last day gets the same answer in the
// same time, since nothing but its hash is ever looked up. What is not in the link's scope is answered as what does not
// exist, without saying again what was asked for. Each look that showed something is in the journal (link.looked)
// before it is answered; the token is in no entry and in no log, and no page sends it on (Referrer-Policy).
//
// A link is looked through thirty times a minute at most, and by each tag as often. Unknown tokens wait by address, and
// only they: 130 bits are not guessed, so the limit guards the station's time alone, and behind a proxy all customers
// share one address.
#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "station/entries/record_entries.h"
#include "station/http/check_page.h"
#include "station/http/http_types.h"
#include "station/journal/customer_view.h"

namespace crimpgate {

class Api;

// One thing that can be asked for through a link.
struct CustomerRoute {
    std::string_view path;  // behind /t/<token>: "", "/overview.json", "/record/{subject}"
    Looked looked = Looked::overview;
    std::string_view about;  // what {subject} is: "serial", "order", "lot", "certificate"; empty: it has none
};
const std::vector<CustomerRoute>& customer_routes();

// So many in any minute, by name. Knows a bounded number of names: the one longest unheard of makes room.
class LooksAMinute {
  public:
    explicit LooksAMinute(std::size_t most) : most_(most) {}
    // 0: counted and free to go on; else seconds to wait.
    std::int64_t take(const std::string& name, std::int64_t now_ms);

  private:
    static constexpr std::size_t most_names = 4096;
    std::size_t most_;
    std::map<std::string, std::deque<std::int64_t>> looks_;
};

class CustomerDoor {
  public:
    static constexpr std::size_t looks_a_minute = 30, unknown_a_minute = 10;

    // `text` gives a page's file, `prefix` the path that files are served under. The API must outlive the door.
    CustomerDoor(Api& api, PageText text, std::string prefix);

    // Nothing when the path is not under /t.
    std::optional<HttpAnswer> answer(const HttpRequest& request);

  private:
    HttpAnswer through(const HttpRequest& request, const LinkScope& scope, const std::string& rest);
    HttpResponse page(int status, const std::string& shown) const;
    HttpResponse gone(const HttpRequest& request, bool for_people);
    // On record; refused when the journal cannot be written (R10).
    std::optional<HttpResponse> noted(const LinkScope& scope, Looked what, const std::string& subject);

    Api& api_;
    PageText text_;
    std::string prefix_;
    LooksAMinute known_{looks_a_minute};
    LooksAMinute unknown_{unknown_a_minute};
};

}  // namespace crimpgate
