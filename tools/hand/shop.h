// The invented shop of the demo and of the crash test: its configuration, its people, its gauge, its spec table, its
// order. Everything is put in through the API, as the one who sets a station up would.
#pragma once

#include <cstdint>
#include <string>

#include "specs/message.h"
#include "tools/hand/hand.h"

namespace crimpgate {

struct ShopPlaces {
    std::string source;      // the project, for spec table, order and gauge profile
    std::string folder;      // for everything that the station writes
    std::string gauge_port;  // where the simulated caliper is
};

// Writes the station's configuration into the folder and gives its path.
Result<std::string> write_configuration(const ShopPlaces& places, std::uint16_t port);

// People, gauge, reference, spec table, order; what is there already is left alone. `first_code`: what a station that
// knows nobody said when it started.
Result<void> set_up(const ShopPlaces& places, std::uint16_t port, const std::string& first_code,
                    const HandSettings& settings);

HandSettings shop_settings();

}  // namespace crimpgate
