#include "tools/hand/hand.h"

#include <boost/json.hpp>
#include <chrono>
#include <thread>

namespace crimpgate {

namespace json = boost::json;
using namespace std::chrono_literals;

namespace {

std::string text(const json::object& o, std::string_view name) {
    const auto* found = o.if_contains(name);
    return found != nullptr && found->is_string() ? std::string(found->get_string()) : std::string();
}

std::int64_t number(const json::object& o, std::string_view name) {
    const auto* found = o.if_contains(name);
    return found != nullptr && found->is_int64() ? found->get_int64() : 0;
}

const json::object& part(const json::object& o, std::string_view name) {
    static const json::object nothing;
    const auto* found = o.if_contains(name);
    return found != nullptr && found->is_object() ? found->get_object() : nothing;
}

Result<void> fine(const Result<ApiReply>& reply) {
    if (!reply) return refuse(reply.error());
    if (reply->ok()) return {};
    return refuse(message("hand.refused").with("code", reply->code()).with("words", reply->words()));
}

}  // namespace

Hand::Hand(HandSettings settings, SimulatedCaliper& caliper) : settings_(std::move(settings)), caliper_(caliper) {}

void Hand::open(std::uint16_t port) {
    api_ = std::make_unique<ApiClient>("127.0.0.1", port);
}

Result<json::object> Hand::bench() {
    const auto reply = api_->get("/api/bench");
    if (auto good = fine(reply); !good) return refuse(good.error());
    for (const char* which : {"assembly", "stopped"})
        for (const char* end : {"a", "b"}) {
            const auto* readings = part(part(reply->json, which), end).if_contains("readings");
            if (readings == nullptr || !readings->is_array()) continue;
            for (const auto& r : readings->get_array())
                if (r.get_object().contains("value_nm"))
                    shown_[number(r.get_object(), "seq")] = number(r.get_object(), "value_nm");
        }
    return reply->json;
}

Result<void> Hand::post(const std::string& path, const json::object& body) {
    return fine(api_->post(path, body));
}

std::int64_t Hand::part_of(const std::string& serial) {
    if (serial.empty()) return 0;
    return parts_.try_emplace(serial, settings_.parts_before + static_cast<std::int64_t>(parts_.size()) + 1)
        .first->second;
}

Result<Hand::Turn> Hand::turn() {
    const auto seen = bench();
    if (!seen) return refuse(seen.error());
    const auto& step = part(*seen, "step");
    const std::string ask = text(step, "ask");
    // A session does not outlive the daemon; the bench's own sign-in does.
    if (api_->token().empty()) {
        if (auto in = fine(api_->sign_in(settings_.crew.operator_id, settings_.crew.operator_pin)); !in)
            return refuse(in.error());
        return Turn::acted;
    }
    if (!to_settle_.empty() && text(part(*seen, "stopped"), "serial").empty()) {
        if (auto settled = settle_holds(); !settled) return refuse(settled.error());
        return Turn::acted;
    }
    const auto& waiting = seen->at("to_be_taken_up").as_array();
    if (!waiting.empty() && !seen->contains("assembly") && ask != "quarantine" && ask != "proof" &&
        ask != "proof_reading" && ask != "gauge") {
        if (auto up = post("/api/assembly/take-up", {{"serial", waiting.front()}}); !up) return refuse(up.error());
        return Turn::acted;
    }
    if (ask == "order_done" || (ask == "order" && proved_at_end_)) return end_of_shift(*seen);
    if (ask == "shift" && proved_at_end_) return Turn::finished;
    if (auto acted = act(*seen, step, ask); !acted) return refuse(acted.error());
    return Turn::acted;
}

Result<void> Hand::act(const json::object& bench, const json::object& step, const std::string& ask) {
    const auto& s = settings_;
    if (ask == "sign_in") return fine(api_->sign_in(s.crew.operator_id, s.crew.operator_pin));
    if (ask == "quarantine") return quarantine(bench);
    if (ask == "shift") return post("/api/shift/start", {});
    if (ask == "proof") return post("/api/gauges/prove", {{"gauge", s.gauge}, {"reference", s.reference}});
    if (ask == "proof_reading")
        return press(Length::from_nm(number(step, "size_nm")), caliper_.profile().expected, number(bench, "seq"));
    if (ask == "gauge") {
        std::this_thread::sleep_for(20ms);  // the line comes back by itself
        return {};
    }
    if (ask == "order") return post("/api/orders/take", {{"order", s.order}});
    if (ask == "lots")
        return post("/api/lots/confirm",
                    {{"hose_lot", s.hose_lot}, {"fitting_a_lot", s.fitting_a_lot}, {"fitting_b_lot", s.fitting_b_lot}});
    if (ask == "die") {
        const auto& row = part(bench, "row");
        return post(
            "/api/die/confirm",
            {{"die_set", text(row, "die_set")}, {"crimper", text(row, "crimper")}, {"setting", text(row, "setting")}});
    }
    if (ask == "setup" || ask == "measure" || ask == "again") return measure(bench, step, ask);
    if (ask == "confirm") return confirm(step);
    if (ask == "proof_test") return test_proof(step);
    return refuse(message("hand.cannot").with("ask", ask));
}

Result<void> Hand::measure(const json::object& bench, const json::object& step, const std::string& ask) {
    Asked asked;
    asked.part = ask == "setup" ? 0 : part_of(text(step, "serial"));
    asked.end = text(step, "end") == "b" ? 'b' : 'a';
    asked.what = text(step, "what");
    asked.flat = number(step, "flat");
    asked.again = ask == "again";
    const auto& end = part(part(bench, "assembly"), asked.end == 'b' ? "b" : "a");
    if (!end.empty()) asked.attempt = number(end, "attempt");
    asked.middle = Length::from_nm((number(step, "lower_nm") + number(step, "upper_nm")) / 2);

    const std::int64_t seq = number(bench, "seq");
    const std::string place = std::to_string(asked.part) + asked.end + std::to_string(asked.flat);
    const Mishap mishap = mishap_before(asked);
    if (mishap != Mishap::none && mishaps_done_.insert(place).second) {
        if (mishap == Mishap::unplugged) return unplug_and_plug();
        const auto other = caliper_.profile().expected == LengthUnit::mm ? LengthUnit::inch : LengthUnit::mm;
        return press(true_size(asked), other, seq);
    }
    return press(true_size(asked), caliper_.profile().expected, seq);
}

Result<void> Hand::confirm(const json::object& step) {
    const std::string what = text(step, "what");
    part_of(text(step, "serial"));
    json::object body{{"what", what}};
    if (what == "mark_before" || what == "mark_after")
        body["seen"] = "at_edge";
    else
        body["yes"] = true;
    return post("/api/steps/confirm", body);
}

// What the order asks for, reached and held, and nothing to be seen.
Result<void> Hand::test_proof(const json::object& step) {
    const auto& asked = part(step, "asked");
    return post("/api/assembly/proof-test", {{"reached_kpa", number(asked, "pressure_kpa")},
                                             {"held_s", number(asked, "hold_s")},
                                             {"medium", text(asked, "medium")},
                                             {"seen", "nothing"},
                                             {"manometer", "PG-3"}});
}

Result<void> Hand::quarantine(const json::object& bench) {
    const auto& stopped = part(bench, "stopped");
    const std::string serial = text(stopped, "serial");
    const auto* again = part(stopped, "hold").if_contains("recrimp_possible");
    to_settle_[serial] = again != nullptr && again->is_bool() && again->get_bool();
    return post("/api/assembly/quarantine", {{"serial", serial}});
}

Result<void> Hand::settle_holds() {
    const auto [serial, again] = *to_settle_.begin();
    const json::object body{{"serial", serial},
                            {"how", again ? "recrimp" : "scrap"},
                            {"reason", again ? "oversize, tries left" : "cannot be made good"},
                            {"by", json::object{{"person", settings_.crew.lead_id}, {"pin", settings_.crew.lead_pin}}}};
    const auto reply = api_->post("/api/holds/settle", body);
    if (!reply) return refuse(reply.error());
    // The answer to an earlier try may have been lost with the daemon, its entry not.
    if (reply->ok() || reply->code() == "bench.not_on_hold") {
        to_settle_.erase(serial);
        return {};
    }
    return fine(reply);
}

Result<Hand::Turn> Hand::end_of_shift(const json::object& seen) {
    if (!proved_at_end_) {
        if (auto begun = post("/api/gauges/prove", {{"gauge", settings_.gauge}, {"reference", settings_.reference}});
            !begun)
            return refuse(begun.error());
        const auto asked = bench();
        if (!asked) return refuse(asked.error());
        const auto size = Length::from_nm(number(part(*asked, "step"), "size_nm"));
        if (auto pressed = press(size, caliper_.profile().expected, number(*asked, "seq")); !pressed)
            return refuse(pressed.error());
        const auto after = bench();
        if (!after) return refuse(after.error());
        proved_at_end_ = text(part(*after, "step"), "ask") == "order_done";
        return Turn::acted;
    }
    if (text(seen, "shift").empty()) return Turn::finished;
    if (auto ended = post("/api/shift/end", {}); !ended) {
        // Readings after the proof (a press that was lost and came late) ask for another one.
        if (ended.error().detail("code") == "bench.prove_at_end")
            proved_at_end_ = false;
        else
            return refuse(ended.error());
    }
    return Turn::acted;
}

Result<void> Hand::press(Length value, LengthUnit unit, std::int64_t seq) {
    // What the gauge can show, in its own steps.
    const auto& form = caliper_.profile().form(unit);
    const std::int64_t step = form ? form->resolution.nm() : 1;
    const Length shown = Length::from_nm((value.nm() + step / 2) / step * step);
    // The same size twice within the gauge's gap would be taken for one press that bounced.
    const auto gap = std::chrono::milliseconds(caliper_.profile().min_gap_ms() + 20);
    if (shown == last_pressed_) std::this_thread::sleep_until(last_press_ + gap);
    last_pressed_ = shown;
    last_press_ = std::chrono::steady_clock::now();
    if (auto sent = caliper_.press(shown, unit); !sent) return refuse(sent.error());
    for (int i = 0; i < 400; ++i) {
        const auto now = bench();
        if (!now) return refuse(now.error());
        if (number(*now, "seq") > seq) return {};
        std::this_thread::sleep_for(5ms);
    }
    return {};
}

Result<void> Hand::unplug_and_plug() {
    const auto connected = [&](bool wanted) -> Result<void> {
        for (int i = 0; i < 1000; ++i) {
            const auto now = bench();
            if (!now) return refuse(now.error());
            for (const auto& gauge : now->at("gauges").as_array())
                if (gauge.get_object().at("connected").as_bool() == wanted) return {};
            std::this_thread::sleep_for(10ms);
        }
        return {};
    };
    caliper_.unplug();
    auto gone = connected(false);
    // Back in any case: a hand that gave up would leave the bench without its gauge.
    if (auto plugged = caliper_.plug(); !plugged) return plugged;
    if (!gone) return gone;
    return connected(true);
}

}  // namespace crimpgate
