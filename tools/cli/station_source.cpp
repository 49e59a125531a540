// Over the API of a running station, as a person who has signed in for the office (not at the bench).
#include <algorithm>
#include <cstdio>

#include <boost/json.hpp>

#include "station/daemon/audit_reading.h"
#include "station/journal/entry.h"
#include "station/json/canonical.h"
#include "tools/cli/source.h"
#include "tools/client/api_client.h"

namespace crimpgate::cli {

namespace {

namespace json = boost::json;

// A refusal as the station gave it: its code and details have their sentence in the catalogue here as well.
Message refusal_in(const ApiReply& reply) {
    const std::string code = reply.code();
    if (code.empty()) return message("cli.strange_answer").with("status", std::to_string(reply.status));
    Message why{code, {}};
    if (const auto* details = reply.json.if_contains("details"); details != nullptr && details->is_object())
        for (const auto& [name, text] : details->get_object())
            if (text.is_string()) why.with(std::string_view(name), std::string_view(text.get_string()));
    return why;
}

Result<json::object> answer(Result<ApiReply> reply) {
    if (!reply) return refuse(reply.error());
    if (!reply->ok()) return refuse(refusal_in(*reply));
    return std::move(reply->json);
}

Result<json::array> list_in(Result<ApiReply> reply, std::string_view name) {
    auto object = answer(std::move(reply));
    if (!object) return refuse(object.error());
    auto* list = object->if_contains(name);
    if (list == nullptr || !list->is_array()) return refuse(message("cli.strange_answer").with("status", "200"));
    return std::move(list->get_array());
}

std::string percent_encoded(std::string_view text) {
    static constexpr char hex[] = "0123456789ABCDEF";
    std::string out;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
                           c == '.' || c == '_' || c == '~';  // RFC 3986, unreserved
        if (plain)
            out += c;
        else
            out.append({'%', hex[byte >> 4U], hex[byte & 15U]});
    }
    return out;
}

class StationSource : public Source {
  public:
    explicit StationSource(ApiClient client) : client_(std::move(client)) {}
    ~StationSource() override { (void)client_.post("/api/sign-out"); }

    Result<json::array> orders() override { return list_in(client_.get("/api/orders"), "orders"); }
    Result<json::array> holds(bool all) override {
        return list_in(client_.get(all ? "/api/holds?all=true" : "/api/holds"), "holds");
    }
    Result<json::object> trace(const Serial& serial) override {
        return answer(client_.get("/api/assemblies/" + serial.text()));
    }
    Result<json::array> entries(std::int64_t from, std::int64_t limit) override {
        auto found = list_in(
            client_.get("/api/entries?from=" + std::to_string(from) + "&limit=" + std::to_string(limit)), "entries");
        if (!found) return found;
        // They come as the very bytes that were hashed, which canonical JSON gives again.
        for (auto& entry : *found)
            if (entry.is_object() && !entry.get_object().contains("hash"))
                entry.get_object()["hash"] = to_hex(leaf_hash(canonical(entry.get_object())));
        return found;
    }
    Result<json::object> verify() override { return answer(client_.post("/api/journal/verify")); }
    Result<json::object> audit(const AuditWanted& wanted) override {
        std::string query;
        const auto add = [&query](std::string_view name, const std::string& value) {
            if (value.empty()) return;
            query += query.empty() ? '?' : '&';
            query += std::string(name) + '=' + percent_encoded(value);
        };
        for (const auto& [name, member] : scope_members)
            add(name, wanted.scope.*member);
        add("study", wanted.study);
        add("sample", wanted.sample);
        return answer(client_.get("/api/audit" + query));
    }
    Result<ShownUnit> shown_unit() override {
        const auto limits = answer(client_.get("/api/limits"));
        if (!limits) return refuse(limits.error());
        const auto* unit = limits->if_contains("shown_unit");
        return unit != nullptr && *unit == "inch" ? ShownUnit::inch : ShownUnit::mm;
    }
    Result<RecallMade> recall(const RecallWanted& wanted, std::size_t most_rows) override {
        std::string query = "?limit=" + std::to_string(std::min<std::size_t>(most_rows, 1'000'000));
        const auto add = [&query](const std::string& name, const std::string& value) {
            if (!value.empty()) query += '&' + name + '=' + percent_encoded(value);
        };
        for (const auto& criterion : wanted.criteria)
            add(criterion.what, criterion.value);
        add("from", wanted.from);
        add("to", wanted.to);
        const auto told = answer(client_.get("/api/recall" + query));
        if (!told) return refuse(told.error());
        return recall_in(*told);
    }
    Result<std::string> draw_recall(const RecallWanted& wanted, const std::string& reason) override {
        json::array criteria;
        for (const auto& c : wanted.criteria)
            criteria.push_back(json::object{{"what", c.what}, {"value", c.value}});
        json::object body{{"criteria", std::move(criteria)}, {"reason", reason}};
        if (!wanted.from.empty()) body["from"] = wanted.from;
        if (!wanted.to.empty()) body["to"] = wanted.to;
        const auto told = answer(client_.post("/api/recall/draw", body));
        if (!told) return refuse(told.error());
        const auto* number = told->if_contains("recall");
        if (number == nullptr || !number->is_string())
            return refuse(message("cli.strange_answer").with("status", "200"));
        return std::string(number->get_string());
    }
    Result<std::string> recall_letter(const RecallMade&, const LetterAsked& asked,
                                      const std::string& customer) override {
        const auto reply = client_.get("/api/recall.pdf?recall=" + percent_encoded(asked.recall) +
                                       "&customer=" + percent_encoded(customer) + "&language=" + asked.language +
                                       "&paper=" + (asked.size == PaperSize::letter ? "letter" : "a4"));
        if (!reply) return refuse(reply.error());
        if (!reply->ok()) return refuse(refusal_in(*reply));
        return reply->text;
    }
    Result<json::array> deliveries() override {
        return list_in(client_.get("/api/deliveries?limit=10000"), "deliveries");
    }
    Result<json::object> delivery(const std::string& number) override {
        return answer(client_.get("/api/deliveries/" + percent_encoded(number)));
    }
    Result<void> send_delivery(const json::object& body, bool back, std::vector<std::string>& reasons) override {
        auto reply = client_.post(back ? "/api/deliveries/take-back" : "/api/deliveries", body);
        if (reply && !reply->ok())
            if (const auto* faults = reply->json.if_contains("faults"); faults != nullptr && faults->is_array())
                for (const auto& fault : faults->get_array())
                    if (const auto* words = fault.as_object().if_contains("words"); words != nullptr)
                        reasons.emplace_back(words->as_string());
        return done(std::move(reply));
    }
    Result<json::array> links() override { return list_in(client_.get("/api/links?limit=10000"), "links"); }
    Result<json::object> make_link(const json::object& body) override {
        return answer(client_.post("/api/links", body));
    }
    Result<void> revoke_link(const json::object& body) override {
        return done(client_.post("/api/links/revoke", body));
    }
    Result<void> rebuild_views() override { return done(client_.post("/api/journal/rebuild-views")); }
    Result<void> back_up(const std::string& to) override {
        return done(client_.post("/api/journal/backup", {{"to", to}}));
    }

  private:
    static Result<void> done(Result<ApiReply> reply) {
        if (auto object = answer(std::move(reply)); !object) return refuse(object.error());
        return {};
    }

    ApiClient client_;
};

}  // namespace

Result<std::unique_ptr<Source>> station_source(const std::string& address, std::uint16_t port,
                                               const std::string& person, const std::string& pin) {
    // Verifying and copying a long journal takes its time.
    ApiClient client(address, port, std::chrono::minutes(10));
    const auto signed_in = answer(client.sign_in(person, pin, false));
    if (!signed_in) return refuse(signed_in.error());
    return std::make_unique<StationSource>(std::move(client));
}

}  // namespace crimpgate::cli
