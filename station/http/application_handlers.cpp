// What an order's application came to, a lead's answer to what it stops, and the proof test at the bench.
#include <boost/json.hpp>

#include "station/bench/application_steps.h"
#include "station/http/api.h"
#include "station/http/application_routes.h"
#include "station/http/body_members.h"
#include "station/http/describe_commands.h"
#include "station/json/reflect.h"
#include "station/words/catalogue.h"

namespace crimpgate {

namespace commands {

BOOST_DESCRIBE_STRUCT(OverrideApplication, (), (order, reason))
BOOST_DESCRIBE_STRUCT(TestProof, (), (reached, held_s, medium, seen, manometer))

}  // namespace commands

namespace json = boost::json;

json::array told_findings(const std::vector<ApplicationFinding>& findings, const std::string& order) {
    json::array out;
    for (const auto& f : findings) {
        auto one = reflect::write(f.what).as_object();
        one["words"] = say(f.what);
        one["severity"] = reflect::enum_name(f.severity);
        one["source"] = f.source;
        one["confidence"] = reflect::enum_name(f.confidence);
        if (!order.empty()) one["order"] = order;
        out.push_back(std::move(one));
    }
    return out;
}

namespace {

template <class T>
HttpAnswer command(ApiCall& call) {
    auto read = reflect::from_json<T>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    return answer_of(call.api.desk().run(*read, call.who));
}

// As it was found when the order was opened, and what of it a lead still has to answer for today.
HttpAnswer order_application(ApiCall& call) {
    const auto& desk = call.api.desk();
    const auto wanted = call.request.query.find("order");
    const std::string id = wanted == call.request.query.end() ? std::string() : wanted->second;
    const auto found = desk.state().orders.find(id);
    if (found == desk.state().orders.end()) return refusal_of(message("bench.no_order").with("order", id));
    const auto& order = found->second.order;
    json::object out{
        {"order", id},
        {"checked", order.application_findings.has_value()},
        {"findings", order.application_findings ? told_findings(*order.application_findings) : json::array()}};
    if (order.application) out["application"] = reflect::write_struct(*order.application);
    if (order.proof_test) out["proof_test"] = reflect::write_struct(*order.proof_test);
    json::array open, answered;
    for (const auto& code : open_stops(desk.state(), order, rules_in_force(desk.rules(), desk.state()), desk.now()))
        open.push_back(json::string(code));
    if (const auto codes = desk.state().record.overridden.find(id); codes != desk.state().record.overridden.end())
        for (const auto& code : codes->second)
            answered.push_back(json::string(code));
    out["open_stops"] = std::move(open);
    out["answered"] = std::move(answered);
    return ok(out);
}

template <class T>
Route action(std::string_view path, std::string_view name) {
    return {"POST", path, name, Needs::signed_in, &command<T>, &members_of<T>};
}

}  // namespace

std::vector<Route> application_routes() {
    return {
        {"GET", "/api/orders/application", "orderApplication", Needs::signed_in, &order_application, nullptr},
        action<commands::OverrideApplication>("/api/orders/override", "overrideApplication"),
        action<commands::TestProof>("/api/assembly/proof-test", "testProof"),
    };
}

}  // namespace crimpgate
