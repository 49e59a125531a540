// The one table of routes. The OpenAPI file is compared with it, both ways.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "station/http/http_types.h"

namespace crimpgate {

struct ApiCall;

// Who may ask at all. What they may do is the bench's to say; where the bench is not asked, this is the last word.
enum class Needs {
    nobody,
    here,          // this machine, or anybody signed in: what the bench's own screen shows
    first_person,  // somebody signed in, or nobody known yet and this machine
    signed_in,     // any person, by session or by "by"
    setter,
    office,  // lead, setter or auditor
};

struct BodyMember {
    std::string name;
    bool required = true;
    std::string kind;                // "string", "boolean", "integer", "array", "object"
    std::vector<std::string> words;  // of an enumeration
};

struct Route {
    std::string_view method;
    std::string_view path;  // "/api/assemblies/{serial}"; one {hole} at most, and last
    std::string_view name;  // the OpenAPI file's operationId
    Needs needs = Needs::signed_in;
    HttpAnswer (*handle)(ApiCall& call) = nullptr;
    std::vector<BodyMember> (*body)() = nullptr;  // null: none is read
};

const std::vector<Route>& routes();

// Handlers in other files.
namespace handlers {
HttpAnswer sign_in(ApiCall& call);
HttpAnswer sign_out(ApiCall& call);
HttpAnswer session(ApiCall& call);
HttpAnswer people_list(ApiCall& call);
HttpAnswer add_person(ApiCall& call);
HttpAnswer set_secret(ApiCall& call);
HttpAnswer register_gauge(ApiCall& call);
HttpAnswer register_reference(ApiCall& call);
HttpAnswer hold_assembly(ApiCall& call);
HttpAnswer settle_hold(ApiCall& call);
HttpAnswer reprint_tag(ApiCall& call);
HttpAnswer propose_table(ApiCall& call);
HttpAnswer check_table(ApiCall& call);
HttpAnswer tables_list(ApiCall& call);
HttpAnswer references_list(ApiCall& call);
HttpAnswer ports_list(ApiCall& call);
HttpAnswer profiles_list(ApiCall& call);
HttpAnswer set_gauge_line(ApiCall& call);
HttpAnswer listen_to_line(ApiCall& call);
HttpAnswer printers_list(ApiCall& call);
HttpAnswer choose_printer(ApiCall& call);
HttpAnswer limits(ApiCall& call);
HttpAnswer set_limits(ApiCall& call);
HttpAnswer set_screen(ApiCall& call);
HttpAnswer retry_tags(ApiCall& call);
HttpAnswer open_orders(ApiCall& call);
HttpAnswer open_order(ApiCall& call);
HttpAnswer health(ApiCall& call);
HttpAnswer openapi(ApiCall& call);
HttpAnswer bench(ApiCall& call);
HttpAnswer events(ApiCall& call);
HttpAnswer orders_list(ApiCall& call);
HttpAnswer holds_list(ApiCall& call);
HttpAnswer assembly(ApiCall& call);
HttpAnswer gauges_list(ApiCall& call);
HttpAnswer entries_list(ApiCall& call);
HttpAnswer verify_journal(ApiCall& call);
HttpAnswer rebuild_views(ApiCall& call);
HttpAnswer back_up_journal(ApiCall& call);
}  // namespace handlers

}  // namespace crimpgate
