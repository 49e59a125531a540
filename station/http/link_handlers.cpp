// Making links: rights first, then whether there is such a customer and whether the delivery is theirs; the token goes
// out in this one answer and is forgotten.
#include <boost/json.hpp>

#include "reports/barcode.h"
#include "specs/dates.h"
#include "station/http/api.h"
#include "station/http/body_members.h"
#include "station/http/describe_commands.h"
#include "station/http/describe_links.h"
#include "station/http/link_routes.h"
#include "station/http/link_token.h"
#include "station/journal/customer_view.h"
#include "station/journal/deliveries.h"
#include "station/json/reflect.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

HttpResponse link_refused(const Message& why) {
    const std::string_view code = why.code;
    if (code == "link.no_link" || code == "link.no_customer" || code == "delivery.no_delivery")
        return error_response(404, why);
    if (code.starts_with("date.") || code == "link.day_past") return error_response(400, why);
    return refusal_of(why);
}

// Where the customer reaches it. Without an address in the configuration, as whoever asks reaches the station: right
// for a try, and said to be no address for a customer.
std::string address_of(const ApiCall& call, const std::string& token) {
    const auto& base = call.api.parts().certificates.link;
    if (base.empty()) return link_address((call.request.secure ? "https://" : "http://") + call.request.host, token);
    return link_address(base, token);
}

// Rows of "0" and "1", with the quiet zone. Empty where no code can hold it.
json::array code_rows(const std::string& text) {
    json::array rows;
    const auto code = qr_code(text);
    if (!code) return rows;
    const auto side = static_cast<std::size_t>(code->columns_with_quiet());
    std::vector<std::string> all(side, std::string(side, '0'));
    for (const auto& area : code->dark)
        for (int y = area.y; y < area.y + area.height; ++y)
            for (int x = area.x; x < area.x + area.width; ++x)
                all[static_cast<std::size_t>(y + code->quiet)][static_cast<std::size_t>(x + code->quiet)] = '1';
    for (const auto& row : all)
        rows.push_back(json::string(row));
    return rows;
}

Result<void> sound(ApiCall& call, const entries::LinkMade& link) {
    if (link.customer.empty()) return refuse(message("bench.field_empty").with("field", "customer"));
    auto known = has_customer(call.api.journal(), link.customer);
    if (!known) return refuse(known.error());
    if (!*known) return refuse(message("link.no_customer").with("customer", link.customer));
    if (!link.delivery.empty()) {
        const auto found = delivery(call.api.journal(), link.delivery);
        if (!found) return refuse(found.error());
        if (found->at("delivery").at("customer").as_string() != std::string_view(link.customer))
            return refuse(
                message("link.other_customer").with("delivery", link.delivery).with("customer", link.customer));
    }
    if (!link.valid_until.empty()) {
        if (const auto day = parse_date(link.valid_until); !day) return refuse(day.error());
        if (const auto today = call.api.desk().now().local_date; link.valid_until < today)
            return refuse(message("link.day_past").with("day", link.valid_until).with("today", today));
    }
    return {};
}

HttpAnswer make_link(ApiCall& call) {
    auto read = reflect::from_json<api::MakeLinkBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const auto& person = call.api.desk().state().people.at(call.who);
    if (person.role != Role::lead) return refusal_of(message("bench.not_a_lead").with("person", person.name));
    entries::LinkMade link;
    link.customer = std::move(read->customer);
    link.delivery = read->delivery.value_or("");
    link.valid_until = read->valid_until.value_or("");
    if (read->opens_by_tag.value_or(false)) link.opens_by_tag = true;
    if (auto fine = sound(call, link); !fine) return link_refused(fine.error());
    const auto token = make_link_token();
    link.token_sha256 = link_token_hash(token);
    const auto ran = call.api.desk().run(commands::MakeLink{link}, call.who);
    auto response = answer_of(ran);
    if (ran.refusal) return response;
    auto body = json::parse(response.body).as_object();
    body["link"] = ran.entries.front().body.at("link");
    body["token"] = token;
    body["address"] = address_of(call, token);
    body["for_customers"] = !call.api.parts().certificates.link.empty();
    body["code"] = code_rows(address_of(call, token));
    response.body = json::serialize(body);
    return response;
}

HttpAnswer links_list(ApiCall& call) {
    const auto limit = call.number("limit", 200, 10'000);
    if (!limit) return refusal_of(limit.error());
    auto list = links(call.api.journal(), *limit);
    if (!list) return refusal_of(list.error());
    const auto today = call.api.desk().now().local_date;
    for (auto& value : *list) {
        auto& link = value.as_object();
        const std::string_view last = link.at("valid_until").as_string();
        link["open"] = !link.contains("revoked_seq") && (last.empty() || last >= today);
    }
    auto customers = customers_known(call.api.journal());
    if (!customers) return refusal_of(customers.error());
    json::object people;
    for (const auto& [id, person] : call.api.desk().state().people)
        people[id] = person.name;
    return ok({{"links", std::move(*list)},
               {"customers", std::move(*customers)},
               {"people", std::move(people)},
               {"for_customers", !call.api.parts().certificates.link.empty()}});
}

HttpAnswer revoke_link(ApiCall& call) {
    auto read = reflect::from_json<api::RevokeLinkBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    const auto ran = call.api.desk().run(commands::RevokeLink{read->link, read->reason}, call.who);
    if (ran.refusal) return link_refused(*ran.refusal);
    return answer_of(ran);
}

}  // namespace

std::vector<Route> link_routes() {
    return {
        {"GET", "/api/links", "links", Needs::office, &links_list, nullptr},
        {"POST", "/api/links", "makeLink", Needs::signed_in, &make_link, &members_of<api::MakeLinkBody>},
        {"POST", "/api/links/revoke", "revokeLink", Needs::signed_in, &revoke_link, &members_of<api::RevokeLinkBody>},
    };
}

}  // namespace crimpgate
