// The station, wired together: journal, desk, gauges, tags and API on one loop.
//
// Start order: configuration, profiles and fonts (nothing is written before all of them are right), the journal, the
// bench's state, what a crash left of the tags, then the doors: gauges and HTTP. Everything runs on one thread.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "specs/message.h"
#include "station/daemon/config.h"

namespace crimpgate {

class Station {
  public:
    // All that stands in the way, in words for the one who sets the station up.
    // `pages`: a folder that the pages are served from instead of those built in; empty for those.
    static tl::expected<std::unique_ptr<Station>, std::vector<Message>> open(const Config& config,
                                                                             const std::string& pages = "");
    ~Station();
    Station(const Station&) = delete;
    Station& operator=(const Station&) = delete;

    // Opens the doors. "http.cannot_listen"
    Result<void> start();
    std::uint16_t port() const;
    // With what the first person is added (station/people/first_code.h), new at each start; empty where somebody is
    // known. For the terminal, never for the log.
    const std::string& first_code() const;
    // Until SIGINT or SIGTERM; closes the doors, writes station.stopped and returns.
    void run();

  private:
    struct Parts;
    explicit Station(std::unique_ptr<Parts> parts);
    std::unique_ptr<Parts> parts_;
};

}  // namespace crimpgate
