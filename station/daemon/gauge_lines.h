// The lines to the gauges: those of the configuration, and in their place those that were set at the station.
//
// A line that is set is opened at once and the gauge's former one closed; nothing of the former is heard any more. A
// line that cannot be used (its profile is gone or no longer the file that was picked) leaves its gauge gone, with the
// reason, until it is set anew: what a changed profile makes of a gauge's bytes is nobody's decision yet (R10).
//
// Whoever sets a gauge up may listen to a line: to one in use along with its gauge, to any other by opening it for as
// long as they listen. A port goes to the gauge that it is set for, whoever listens. Single-threaded.
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "drivers/gauge_line.h"
#include "station/daemon/config.h"
#include "station/daemon/line_listener.h"
#include "station/daemon/profile_folder.h"
#include "station/entries/shop_entries.h"

namespace crimpgate {

struct LineInUse {
    std::string gauge;
    std::string port;
    std::string profile;
    std::string profile_sha256;
    bool set_here = false;  // not from the configuration
    bool connected = false;
    Message why;  // why it is as it is; no code before the first attempt
};

class GaugeLines {
  public:
    using OnSaid = std::function<void(const std::string& gauge, const GaugeEvent& event)>;
    using OnState = std::function<void(const std::string& gauge, const LineState& state)>;
    static constexpr std::size_t most_listeners = 4;

    // `io` and `clock` outlive the lines.
    GaugeLines(boost::asio::io_context& io, const Clock& clock, ProfileFolder profiles, OnSaid on_said,
               OnState on_state);
    ~GaugeLines();
    GaugeLines(const GaugeLines&) = delete;
    GaugeLines& operator=(const GaugeLines&) = delete;

    // As the configuration has it, before start(). read_profile's refusals, or "line.bad_address".
    Result<void> add(const GaugeConfig& gauge);
    // The lines as the journal has them, by gauge: whatever is not so yet is set. Never refuses; see above.
    void follow(const std::map<std::string, entries::GaugeLineSet>& set);

    void start();
    void stop();

    std::vector<LineInUse> in_use() const;
    bool connected(const std::string& gauge) const;
    const ProfileFolder& profiles() const { return profiles_; }

    // May this port become this gauge's line? "line.bad_address", "port.not_a_port", "bench.port_taken" (port, gauge).
    Result<void> may_use(const std::string& gauge, const std::string& port) const;

    // The listener ends when the last who holds it lets go. "line.too_many_listen" (most), "gauge.no_profile" and
    // those of may_use without "bench.port_taken".
    Result<std::shared_ptr<LineListener>> listen(const std::string& port, const std::string& profile,
                                                 std::function<void()> wake);

  private:
    struct Line {
        LineInUse use;
        std::unique_ptr<GaugeLine> line;  // null: it cannot be used, and use.why says why
    };

    void set(const entries::GaugeLineSet& wanted);
    void open(const std::string& gauge, GaugeAddress address, Profile profile);
    void cannot(const std::string& gauge, Message why);
    void closed(const std::string& gauge, Message why);
    // The gauge that has this port, or null.
    const Line* line_at(const std::string& port) const;
    std::vector<std::shared_ptr<LineListener>> listeners();
    std::vector<std::shared_ptr<LineListener>> listeners_at(const std::string& port);
    // Gives each listener a line of its own where no gauge has its port, and takes it away where one has.
    void attach_listeners();

    boost::asio::io_context& io_;
    const Clock& clock_;
    ProfileFolder profiles_;
    OnSaid on_said_;
    OnState on_state_;
    bool started_ = false;
    std::map<std::string, Line> lines_;
    std::vector<std::weak_ptr<LineListener>> listeners_;
};

}  // namespace crimpgate
