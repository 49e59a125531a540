// The half of decoding that needs a clock: repeats, silences, and the stillness of a stream.
#include "drivers/decoder.h"

#include <algorithm>

#include "drivers/frame_parser.h"
#include "drivers/framer.h"

namespace crimpgate {
namespace {

constexpr std::size_t noise_told_at_bytes = 256;
constexpr std::int64_t ns_per_ms = 1'000'000;

bool longer_than(std::int64_t from_ns, std::int64_t to_ns, int ms) {
    return to_ns - from_ns > ms * ns_per_ms;
}

}  // namespace

Decoder::Decoder(Profile profile) : profile_(std::move(profile)) {}

std::vector<GaugeEvent> Decoder::feed(std::string_view bytes, Arrival at) {
    auto out = tick(at);
    if (bytes.empty()) return out;
    counters_.bytes_in += bytes.size();
    pending_ += bytes;
    last_bytes_ = at;
    std::size_t done = 0;
    for (;;) {
        const auto front = std::string_view(pending_).substr(done);
        const auto step = next_step(front, profile_);
        if (step.kind == FrameStep::Kind::need_more) break;
        const auto taken = front.substr(0, step.n);
        if (step.kind == FrameStep::Kind::complete) {
            take_frame(taken, at, out);
        } else {
            take_noise(taken, at, out);
        }
        done += step.n;
    }
    pending_.erase(0, done);
    counters_.pending = pending_.size();
    return out;
}

std::vector<GaugeEvent> Decoder::tick(Arrival now) {
    std::vector<GaugeEvent> out;
    if ((pending_.empty() && noise_.empty()) ||
        !longer_than(last_bytes_.mono_ns, now.mono_ns, profile_.frame_silence_ms))
        return out;
    flush_noise(out);
    flush_pending(now, out);
    return out;
}

std::vector<GaugeEvent> Decoder::reset(Arrival now) {
    std::vector<GaugeEvent> out;
    flush_noise(out);
    flush_pending(now, out);
    window_.reset();
    return out;
}

std::optional<std::string> Decoder::request() const {
    const auto bytes = profile_.request();
    if (bytes.empty()) return std::nullopt;
    return std::string(bytes);
}

void Decoder::take_frame(std::string_view frame, Arrival at, std::vector<GaugeEvent>& out) {
    flush_noise(out);
    ++counters_.frames;
    counters_.frame_bytes += frame.size();
    const auto parsed = parse_frame(frame, profile_);
    if (!parsed) return refuse_frame(parsed.error(), std::string(frame), at, out);

    Reading reading;
    reading.value = parsed->value;
    reading.unit = parsed->unit;
    reading.resolution = parsed->resolution;
    reading.raw = std::string(frame);
    reading.arrival = at;
    if (profile_.stillness()) return accept_when_still(std::move(reading), out);

    // A held or bouncing button sends the same frame again and again: the gap counts from the last of them.
    const bool again = reading.raw == last_frame_ && at.mono_ns - last_frame_ns_ < profile_.min_gap_ms() * ns_per_ms;
    last_frame_ = reading.raw;
    last_frame_ns_ = at.mono_ns;
    if (again) {
        auto why = message("driver.repeat")
                       .with("found", readable_bytes(frame))
                       .with("gap_ms", std::to_string(profile_.min_gap_ms()));
        return refuse_frame(std::move(why), std::string(frame), at, out);
    }
    accept(std::move(reading), out);
}

void Decoder::accept(Reading reading, std::vector<GaugeEvent>& out) {
    ++counters_.readings;
    last_refusal_.clear();
    out.emplace_back(std::move(reading));
}

void Decoder::accept_when_still(Reading reading, std::vector<GaugeEvent>& out) {
    const auto& rule = *profile_.stillness();
    const auto now_ns = reading.arrival.mono_ns;
    last_refusal_.clear();
    if (reading.value.abs() < rule.rest_below) {  // closed or put down: ready for the next
        window_.reset();
        counted_.reset();
        ++counters_.unsettled;
        return;
    }
    if (counted_ && (reading.value - *counted_).abs() >= rule.rearm_change) counted_.reset();

    if (window_ && !longer_than(window_->latest_ns, now_ns, rule.still_ms)) {
        window_->low = std::min(window_->low, reading.value);
        window_->high = std::max(window_->high, reading.value);
    } else {
        window_.reset();  // the stream paused: nobody knows what the gauge did meanwhile
    }
    if (!window_ || window_->high - window_->low > rule.within)
        window_ = {now_ns, now_ns, reading.value, reading.value};
    window_->latest_ns = now_ns;

    if (counted_ || now_ns - window_->since_ns < rule.still_ms * ns_per_ms) {
        ++counters_.unsettled;
        return;
    }
    counted_ = reading.value;
    accept(std::move(reading), out);
}

void Decoder::refuse_frame(Message why, std::string raw, Arrival at, std::vector<GaugeEvent>& out) {
    ++counters_.refusals;
    window_.reset();
    if (profile_.stillness() && why.code == last_refusal_) return;
    last_refusal_ = why.code;
    Refusal refusal;
    refusal.why = std::move(why);
    refusal.raw = std::move(raw);
    refusal.arrival = at;
    out.emplace_back(std::move(refusal));
}

void Decoder::take_noise(std::string_view bytes, Arrival at, std::vector<GaugeEvent>& out) {
    counters_.noise_bytes += bytes.size();
    for (std::size_t i = 0; i < bytes.size(); i += noise_told_at_bytes) {
        if (noise_.empty()) noise_at_ = at;
        noise_ += bytes.substr(i, noise_told_at_bytes);
        if (noise_.size() >= noise_told_at_bytes) flush_noise(out);
    }
}

void Decoder::flush_noise(std::vector<GaugeEvent>& out) {
    if (noise_.empty()) return;
    auto why =
        message("driver.noise").with("bytes", std::to_string(noise_.size())).with("found", readable_bytes(noise_));
    refuse_frame(std::move(why), std::exchange(noise_, {}), noise_at_, out);
}

void Decoder::flush_pending(Arrival at, std::vector<GaugeEvent>& out) {
    if (pending_.empty()) return;
    counters_.noise_bytes += pending_.size();
    counters_.pending = 0;
    refuse_frame(message("driver.half_frame").with("found", readable_bytes(pending_)), std::exchange(pending_, {}), at,
                 out);
}

}  // namespace crimpgate
