#include "station/daemon/line_listener.h"

#include <boost/json.hpp>

#include "drivers/framer.h"
#include "station/json/canonical.h"
#include "station/json/describe_specs.h"
#include "station/json/reflect.h"

namespace crimpgate {

namespace {

namespace json = boost::json;

// A gauge that is asked sends nothing of itself: it is asked at this pace while somebody watches.
constexpr std::int64_t ask_every_ns = 1'000'000'000;

std::string hex(std::string_view bytes) {
    static constexpr char digits[] = "0123456789abcdef";
    std::string out;
    out.reserve(bytes.size() * 2);
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        out += digits[byte >> 4];
        out += digits[byte & 15];
    }
    return out;
}

}  // namespace

LineListener::LineListener(GaugeAddress address, Profile profile, std::function<void()> wake)
    : address_(std::move(address)), decoder_(std::move(profile)), wake_(std::move(wake)) {}

void LineListener::push(std::string_view event, json::object data) {
    ring_.push_back({next_id_++, std::string(event), canonical(data)});
    if (ring_.size() > ring_size) ring_.pop_front();
}

void LineListener::push(const std::vector<GaugeEvent>& events) {
    for (const auto& event : events) {
        if (const auto* refusal = std::get_if<Refusal>(&event)) {
            push("refused", {{"why", reflect::write(refusal->why)},
                             {"hex", hex(refusal->raw)},
                             {"utc_ms", refusal->arrival.utc_ms}});
            continue;
        }
        const auto& reading = std::get<Reading>(event);
        push("reading", {{"value_nm", reading.value.nm()},
                         {"unit", reading.unit == LengthUnit::mm ? "mm" : "in"},
                         {"resolution_nm", reading.resolution.nm()},
                         {"utc_ms", reading.arrival.utc_ms}});
    }
}

void LineListener::bytes(std::string_view bytes, Arrival at) {
    const auto before = next_id_;
    push(decoder_.tick(at));
    if (decoder_.counters().pending == 0) pending_.clear();  // it gave up half a frame
    if (!bytes.empty()) {
        push("bytes", {{"hex", hex(bytes)}, {"utc_ms", at.utc_ms}});
        cut_frames(bytes, at);
        push(decoder_.feed(bytes, at));
    }
    ask_now_and_then(at);
    if (next_id_ != before) wake_();
}

void LineListener::cut_frames(std::string_view bytes, Arrival at) {
    pending_ += bytes;
    for (;;) {
        const auto step = next_step(pending_, decoder_.profile());
        if (step.kind == FrameStep::Kind::need_more || step.n == 0) return;
        if (step.kind == FrameStep::Kind::complete)
            push("frame", {{"hex", hex(std::string_view(pending_).substr(0, step.n))}, {"utc_ms", at.utc_ms}});
        pending_.erase(0, step.n);
    }
}

void LineListener::ask_now_and_then(Arrival at) {
    const auto* polled = std::get_if<Polled>(&decoder_.profile().trigger);
    if (!own_ || polled == nullptr || polled->interval_ms > 0 || at.mono_ns - asked_ns_ < ask_every_ns) return;
    asked_ns_ = at.mono_ns;
    own_->ask();
}

void LineListener::state(const LineState& state) {
    push(decoder_.reset(state.at));
    pending_.clear();
    push("state", {{"connected", state.kind == LineState::Kind::connected},
                   {"why", reflect::write(state.why)},
                   {"utc_ms", state.at.utc_ms}});
    wake_();
}

std::vector<StreamEvent> LineListener::read(std::int64_t from, std::int64_t limit) const {
    std::vector<StreamEvent> out;
    if (ring_.empty()) return out;
    const std::int64_t first = ring_.front().id;
    if (from < first) {
        out.push_back({first - 1, "missed", canonical(json::object{{"events", first - from}})});
        from = first;
    }
    for (auto i = static_cast<std::size_t>(from - first);
         i < ring_.size() && static_cast<std::int64_t>(out.size()) < limit; ++i)
        out.push_back(ring_[i]);
    return out;
}

void LineListener::take_line(std::unique_ptr<GaugeLine> line) {
    own_ = std::move(line);
    own_->start();
}

}  // namespace crimpgate
