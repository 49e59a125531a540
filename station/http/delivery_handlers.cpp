// Deliveries: what may go, what went, and what was taken back. For the office; a lead sends.
#include <boost/json.hpp>

#include "station/bench/record_steps.h"
#include "station/http/api.h"
#include "station/http/body_members.h"
#include "station/http/delivery_routes.h"
#include "station/http/describe_commands.h"
#include "station/http/describe_deliveries.h"
#include "station/journal/deliveries.h"
#include "station/json/reflect.h"
#include "station/words/catalogue.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

HttpResponse delivery_refused(const Message& why) {
    if (why.code == "delivery.no_delivery") return error_response(404, why);
    return refusal_of(why);
}

// The refusal, and beside it every reason with the serials that it stands against.
HttpResponse with_faults(const Message& why, const std::vector<DeliveryFault>& faults) {
    auto response = delivery_refused(why);
    auto body = json::parse(response.body).as_object();
    json::array list;
    for (const auto& fault : faults) {
        auto one = reflect::write(fault.told()).as_object();
        one["words"] = say(fault.told());
        json::array serials;
        for (const auto& serial : fault.serials)
            serials.push_back(json::string(serial));
        one["serials"] = std::move(serials);
        list.push_back(std::move(one));
    }
    body["faults"] = std::move(list);
    response.body = json::serialize(body);
    return response;
}

HttpAnswer deliveries_list(ApiCall& call) {
    const auto limit = call.number("limit", 200, 10'000);
    if (!limit) return refusal_of(limit.error());
    auto list = deliveries(call.api.journal(), *limit);
    if (!list) return refusal_of(list.error());
    auto customers = customers_to_send(call.api.journal());
    if (!customers) return refusal_of(customers.error());
    return ok({{"deliveries", std::move(*list)}, {"customers", std::move(*customers)}});
}

HttpAnswer delivery_shown(ApiCall& call) {
    auto found = delivery(call.api.journal(), call.value);
    if (!found) return delivery_refused(found.error());
    json::object people;
    for (const auto& [id, person] : call.api.desk().state().people)
        people[id] = person.name;
    (*found)["people"] = std::move(people);
    return ok(*found);
}

HttpAnswer to_send(ApiCall& call) {
    const auto customer = call.request.query.find("customer");
    if (customer == call.request.query.end() || customer->second.empty())
        return error_response(400, message("api.empty_parameter").with("name", "customer"));
    auto list = assemblies_to_send(call.api.journal(), customer->second);
    if (!list) return refusal_of(list.error());
    return ok({{"customer", customer->second}, {"assemblies", std::move(*list)}});
}

HttpAnswer send_delivery(ApiCall& call) {
    auto read = reflect::from_json<api::SendBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    commands::SendDelivery send;
    send.customer = std::move(read->customer);
    send.note_number = read->note_number.value_or("");
    send.date = read->date.value_or("");
    send.to = std::move(read->to);
    send.serials = std::move(read->serials);
    const auto ran = call.api.desk().run(send, call.who);
    if (ran.refusal && ran.refusal->code == "delivery.refused")
        return with_faults(*ran.refusal, delivery_faults(call.api.desk().state(), send.customer, send.serials));
    return answer_of(ran);
}

HttpAnswer take_back(ApiCall& call) {
    auto read = reflect::from_json<api::TakeBackBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const commands::TakeBackDelivery back{read->delivery, read->serials, read->reason};
    const auto ran = call.api.desk().run(back, call.who);
    if (ran.refusal && ran.refusal->code == "delivery.refused")
        return with_faults(*ran.refusal, take_back_faults(call.api.desk().state(), back.delivery, back.serials));
    return answer_of(ran);
}

}  // namespace

std::vector<Route> delivery_routes() {
    return {
        {"GET", "/api/deliveries", "deliveries", Needs::office, &deliveries_list, nullptr},
        {"GET", "/api/deliveries/{delivery}", "delivery", Needs::office, &delivery_shown, nullptr},
        {"GET", "/api/sendable", "sendable", Needs::office, &to_send, nullptr},
        {"POST", "/api/deliveries", "sendDelivery", Needs::signed_in, &send_delivery, &members_of<api::SendBody>},
        {"POST", "/api/deliveries/take-back", "takeBackDelivery", Needs::signed_in, &take_back,
         &members_of<api::TakeBackBody>},
    };
}

}  // namespace crimpgate
