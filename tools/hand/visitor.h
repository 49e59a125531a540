// For whoever looks around after the demo: the station stays open, an order of five waits, and the simulated caliper is
// worked from the terminal, by size or by what it should come to ("good", "small", "large", "close").
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include <boost/json/object.hpp>

#include "specs/length.h"
#include "specs/message.h"
#include "tools/caliper/simulated_caliper.h"
#include "tools/hand/hand.h"

namespace crimpgate {

// The size to press for what the bench (GET /api/bench) asks now, so that it comes out as `word` says: in the middle of
// the band, a tenth of a millimetre below or above it, or between the guard and the upper limit. Whole steps of 0.01
// mm. Refused: "visitor.nothing_to_measure" when the bench waits for something else, "visitor.no_guard" when nothing
// lies between guard and limit, "visitor.unknown_word" (found).
Result<Length> size_for(const boost::json::object& bench, std::string_view word);

// Opens the visitor's order, says on standard output what to do, and works the caliper by the lines of standard input
// until "stop" or a signal.
Result<void> receive_visitor(SimulatedCaliper& caliper, std::uint16_t port, const std::string& source,
                             const HandSettings& settings);

}  // namespace crimpgate
