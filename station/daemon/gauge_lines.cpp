#include "station/daemon/gauge_lines.h"

#include <spdlog/spdlog.h>

#include <utility>

#include "drivers/port_finder.h"
#include "station/words/catalogue.h"

namespace crimpgate {

namespace {

Result<GaugeAddress> address_of(const std::string& port) {
    auto address = GaugeAddress::parse(port);
    if (!address) return address;
    if (!address->path.empty())
        if (auto fine = only_a_port(address->path); !fine) return refuse(std::move(fine.error()));
    return address;
}

}  // namespace

GaugeLines::GaugeLines(boost::asio::io_context& io, const Clock& clock, ProfileFolder profiles, OnSaid on_said,
                       OnState on_state)
    : io_(io),
      clock_(clock),
      profiles_(std::move(profiles)),
      on_said_(std::move(on_said)),
      on_state_(std::move(on_state)) {}

GaugeLines::~GaugeLines() {
    stop();
}

Result<void> GaugeLines::add(const GaugeConfig& gauge) {
    auto known = read_profile(gauge.profile);
    if (!known) return refuse(std::move(known.error()));
    auto address = GaugeAddress::parse(gauge.port);
    if (!address) return refuse(std::move(address.error()));
    lines_[gauge.id].use = {gauge.id, gauge.port, known->profile.id, known->sha256, false, false, {}};
    open(gauge.id, std::move(*address), std::move(known->profile));
    return {};
}

void GaugeLines::follow(const std::map<std::string, entries::GaugeLineSet>& set_lines) {
    for (const auto& [gauge, wanted] : set_lines) {
        const auto known = lines_.find(gauge);
        const bool is_so = known != lines_.end() && known->second.use.set_here &&
                           known->second.use.port == wanted.port && known->second.use.profile == wanted.profile &&
                           known->second.use.profile_sha256 == wanted.profile_sha256;
        if (!is_so) set(wanted);
    }
}

void GaugeLines::set(const entries::GaugeLineSet& wanted) {
    auto& line = lines_[wanted.gauge];
    const bool was_up = line.line && line.line->connected();
    line.line.reset();  // also when it moves to the port that it has: it is opened anew
    line.use = {wanted.gauge, wanted.port, wanted.profile, wanted.profile_sha256, true, false, {}};
    if (was_up) closed(wanted.gauge, message("line.moved").with("address", wanted.port));

    auto address = address_of(wanted.port);
    auto known = profiles_.find(wanted.profile);
    if (!address) {
        cannot(wanted.gauge, std::move(address.error()));
    } else if (!known) {
        cannot(wanted.gauge, std::move(known.error()));
    } else if (known->sha256 != wanted.profile_sha256) {
        cannot(wanted.gauge,
               message("gauge.profile_changed").with("gauge", wanted.gauge).with("profile", wanted.profile));
    } else {
        open(wanted.gauge, std::move(*address), std::move(known->profile));
    }
    attach_listeners();  // a port has one owner at a time: whoever listened to it lets go before it is opened
    if (started_ && line.line) line.line->start();
}

void GaugeLines::open(const std::string& gauge, GaugeAddress address, Profile profile) {
    if (!address.path.empty())
        if (const auto doubt = doubt_about_name(address.path, find_ports()))
            spdlog::warn("gauge {}: {}", gauge, say(*doubt));
    const std::string port = address.text();
    GaugeLineSettings settings;
    settings.address = std::move(address);
    settings.profile = std::move(profile);
    auto& line = lines_[gauge];
    line.line = std::make_unique<GaugeLine>(
        io_, std::move(settings), clock_, [this, gauge](const GaugeEvent& event) { on_said_(gauge, event); },
        [this, gauge, port](const LineState& state) {
            for (const auto& listener : listeners_at(port))
                listener->state(state);
            on_state_(gauge, state);
        });
    line.line->tap([this, port](std::string_view bytes, Arrival at) {
        if (listeners_.empty()) return;
        for (const auto& listener : listeners_at(port))
            listener->bytes(bytes, at);
    });
}

void GaugeLines::closed(const std::string& gauge, Message why) {
    on_state_(gauge, LineState{LineState::Kind::lost, std::move(why), {}, clock_.now()});
}

void GaugeLines::cannot(const std::string& gauge, Message why) {
    lines_[gauge].use.why = why;
    closed(gauge, std::move(why));
}

void GaugeLines::start() {
    started_ = true;
    for (auto& [gauge, line] : lines_)
        if (line.line) line.line->start();
}

void GaugeLines::stop() {
    started_ = false;
    for (auto& [gauge, line] : lines_)
        if (line.line) line.line->stop();
    for (const auto& listener : listeners())
        listener->drop_line();
    listeners_.clear();
}

std::vector<LineInUse> GaugeLines::in_use() const {
    std::vector<LineInUse> out;
    for (const auto& [gauge, line] : lines_) {
        out.push_back(line.use);
        if (!line.line) continue;
        out.back().connected = line.line->connected();
        out.back().why = line.line->state().why;
    }
    return out;
}

bool GaugeLines::connected(const std::string& gauge) const {
    const auto known = lines_.find(gauge);
    return known != lines_.end() && known->second.line && known->second.line->connected();
}

Result<void> GaugeLines::may_use(const std::string& gauge, const std::string& port) const {
    if (auto address = address_of(port); !address) return refuse(std::move(address.error()));
    const auto* taken = line_at(port);
    if (taken != nullptr && taken->use.gauge != gauge)
        return refuse(message("bench.port_taken").with("port", port).with("gauge", taken->use.gauge));
    return {};
}

const GaugeLines::Line* GaugeLines::line_at(const std::string& port) const {
    for (const auto& [gauge, line] : lines_)
        if (same_port(line.use.port, port)) return &line;
    return nullptr;
}

std::vector<std::shared_ptr<LineListener>> GaugeLines::listeners() {
    std::vector<std::shared_ptr<LineListener>> out;
    std::erase_if(listeners_, [&](const auto& weak) {
        auto listener = weak.lock();
        if (listener) out.push_back(std::move(listener));
        return weak.expired();
    });
    return out;
}

std::vector<std::shared_ptr<LineListener>> GaugeLines::listeners_at(const std::string& port) {
    auto out = listeners();
    std::erase_if(out, [&](const auto& listener) { return !same_port(listener->address().text(), port); });
    return out;
}

Result<std::shared_ptr<LineListener>> GaugeLines::listen(const std::string& port, const std::string& profile,
                                                         std::function<void()> wake) {
    auto address = address_of(port);
    if (!address) return refuse(std::move(address.error()));
    auto known = profiles_.find(profile);
    if (!known) return refuse(std::move(known.error()));
    if (listeners().size() >= most_listeners)
        return refuse(message("line.too_many_listen").with("most", std::to_string(most_listeners)));
    auto listener = std::make_shared<LineListener>(std::move(*address), std::move(known->profile), std::move(wake));
    listeners_.push_back(listener);
    if (const auto* line = line_at(port); line != nullptr && line->line && !line->line->state().why.code.empty())
        listener->state(line->line->state());
    attach_listeners();
    return listener;
}

void GaugeLines::attach_listeners() {
    for (const auto& listener : listeners()) {
        const auto* line = line_at(listener->address().text());
        if (line != nullptr && line->line) {
            listener->drop_line();
            continue;
        }
        if (listener->has_line()) continue;
        GaugeLineSettings settings;
        settings.address = listener->address();
        settings.profile = listener->profile();
        const std::weak_ptr<LineListener> to = listener;
        auto own = std::make_unique<GaugeLine>(
            io_, std::move(settings), clock_, [](const GaugeEvent&) {},
            [to](const LineState& state) {
                if (const auto still = to.lock()) still->state(state);
            });
        own->tap([to](std::string_view bytes, Arrival at) {
            if (const auto still = to.lock()) still->bytes(bytes, at);
        });
        listener->take_line(std::move(own));
    }
}

}  // namespace crimpgate
