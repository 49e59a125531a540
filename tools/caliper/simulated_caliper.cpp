#include "tools/caliper/simulated_caliper.h"

#include <random>

namespace crimpgate {

namespace {

using std::chrono::milliseconds;

// How often the thread looks for requests; a simulator's own pace, not a gauge's.
constexpr milliseconds look_interval{4};

template <class Opened>
Result<std::unique_ptr<SimulatedCaliper>> caliper_on(Profile profile, Opened wire) {
    if (!wire) return refuse(wire.error());
    return std::make_unique<SimulatedCaliper>(std::move(profile), std::move(*wire));
}

// A size that differs from `value` by enough for the stream's next value to count again, and that the gauge can show.
Length moved_off(const Profile& profile, Length value, LengthUnit unit) {
    const Stillness* const stillness = profile.stillness();
    const Length step = profile.form(unit) ? profile.form(unit)->resolution : Length::from_nm(1);
    const std::int64_t steps = (2 * stillness->rearm_change.nm() + step.nm() - 1) / step.nm() + 1;
    return value + step * steps;
}

}  // namespace

Result<std::unique_ptr<SimulatedCaliper>> SimulatedCaliper::on_pty(Profile profile, std::string link) {
    return caliper_on(std::move(profile), Wire::on_pty(std::move(link)));
}

Result<std::unique_ptr<SimulatedCaliper>> SimulatedCaliper::on_tcp(Profile profile, std::uint16_t port) {
    return caliper_on(std::move(profile), Wire::on_tcp(port));
}

SimulatedCaliper::SimulatedCaliper(Profile profile, Wire wire)
    : profile_(std::move(profile)), wire_(std::move(wire)), thread_([this](std::stop_token stop) { live(stop); }) {}

SimulatedCaliper::~SimulatedCaliper() = default;

std::string SimulatedCaliper::address() const {
    const std::lock_guard lock(mutex_);
    return wire_.address();
}

Result<void> SimulatedCaliper::send(std::string_view bytes) {
    if (!wire_.plugged()) return refuse(message("caliper.unplugged"));
    last_sent_ = bytes;
    ++times_sent_;
    if (!wire_.write(bytes)) return refuse(message("caliper.nobody_listens"));
    return {};
}

Result<void> SimulatedCaliper::press(Length value, LengthUnit unit, EncodeFlags flags) {
    const auto frame = encode_reading(profile_, value, unit, flags);
    if (!frame) return refuse(frame.error());
    const std::lock_guard lock(mutex_);
    if (std::holds_alternative<OnPress>(profile_.trigger)) return send(*frame);
    if (!wire_.plugged()) return refuse(message("caliper.unplugged"));
    if (profile_.stillness() != nullptr)
        if (const auto away = encode_reading(profile_, moved_off(profile_, value, unit), unit)) moves_.push_back(*away);
    shown_ = *frame;
    return {};
}

Result<void> SimulatedCaliper::wrong_unit(Length value) {
    return press(value, profile_.expected == LengthUnit::mm ? LengthUnit::inch : LengthUnit::mm);
}

Result<void> SimulatedCaliper::half_frame(Length value, LengthUnit unit) {
    const auto frame = encode_reading(profile_, value, unit);
    if (!frame) return refuse(frame.error());
    return raw(std::string_view(*frame).substr(0, (frame->size() + 1) / 2));
}

Result<void> SimulatedCaliper::dribble(Length value, LengthUnit unit, milliseconds between) {
    const auto frame = encode_reading(profile_, value, unit);
    if (!frame) return refuse(frame.error());
    for (const char byte : *frame) {
        if (auto sent = raw({&byte, 1}); !sent) return sent;
        std::this_thread::sleep_for(between);
    }
    const std::lock_guard lock(mutex_);
    last_sent_ = *frame;
    return {};
}

Result<void> SimulatedCaliper::repeat() {
    const std::lock_guard lock(mutex_);
    const std::string again = last_sent_;
    if (again.empty()) return refuse(message("caliper.nothing_to_repeat"));
    return send(again);
}

Result<void> SimulatedCaliper::noise(std::size_t count, std::uint32_t seed) {
    std::mt19937 random(seed);  // its sequence is fixed by the C++ standard
    std::string bytes(count, '\0');
    for (char& byte : bytes)
        byte = static_cast<char>(random() & 0xff);
    return raw(bytes);
}

Result<void> SimulatedCaliper::raw(std::string_view bytes) {
    const std::lock_guard lock(mutex_);
    return send(bytes);
}

void SimulatedCaliper::unplug(bool harsh) {
    std::unique_lock lock(mutex_);
    if (!harsh && wire_.plugged() && wire_.listened_to()) {
        const auto until = std::chrono::steady_clock::now() + milliseconds(1000);
        do {  // once at least: the kernel hands bytes on a moment after they were written
            woken_.wait_for(lock, milliseconds(10));
        } while (wire_.waiting() > 0 && std::chrono::steady_clock::now() < until);
    }
    wire_.unplug();
    asked_.clear();
}

Result<void> SimulatedCaliper::plug() {
    const std::lock_guard lock(mutex_);
    return wire_.plug();
}

bool SimulatedCaliper::plugged() const {
    const std::lock_guard lock(mutex_);
    return wire_.plugged();
}

bool SimulatedCaliper::listened_to() const {
    const std::lock_guard lock(mutex_);
    return wire_.plugged() && wire_.listened_to();
}

std::string SimulatedCaliper::last_sent() const {
    const std::lock_guard lock(mutex_);
    return last_sent_;
}

std::uint64_t SimulatedCaliper::times_sent() const {
    const std::lock_guard lock(mutex_);
    return times_sent_;
}

void SimulatedCaliper::answer_requests() {
    const std::string_view request = profile_.request();
    if (request.empty() || !wire_.listened_to()) return;
    asked_ += wire_.read();
    for (auto at = asked_.find(request); at != std::string::npos; at = asked_.find(request)) {
        asked_.erase(0, at + request.size());
        if (shown_.empty()) continue;
        std::string frame = shown_;
        if (!moves_.empty()) {
            frame = std::move(moves_.front());
            moves_.pop_front();
        }
        static_cast<void>(send(frame));  // whoever asked and left gets no answer
    }
    if (asked_.size() > request.size()) asked_.erase(0, asked_.size() - request.size());
}

void SimulatedCaliper::live(std::stop_token stop) {
    const bool streams = std::holds_alternative<Continuous>(profile_.trigger);
    auto next = std::chrono::steady_clock::now();
    std::unique_lock lock(mutex_);
    while (!stop.stop_requested()) {
        if (wire_.plugged()) answer_requests();
        if (streams && std::chrono::steady_clock::now() >= next) {
            next += stream_interval;
            if (wire_.plugged() && wire_.listened_to() && !shown_.empty()) {
                static_cast<void>(send(moves_.empty() ? shown_ : moves_.front()));
                if (!moves_.empty()) moves_.pop_front();
            }
        }
        woken_.wait_for(lock, stop, look_interval, [] { return false; });
    }
}

}  // namespace crimpgate
