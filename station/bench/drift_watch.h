// What the drift watch sees of a running set-up, for the decision and for the screen.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "station/bench/state.h"

namespace crimpgate {

struct DriftSeen {
    std::vector<EndMean> points;  // the last ones, as many as are shown; the statistics use all that are kept
    Length level;                 // weighted mean
    Length sigma;                 // of end means
    Length correction;            // of the crimp diameter: negative closes
    std::int64_t share_ppm = 0;   // of readings to be expected outside the acceptance zone
    std::optional<Length> centre, lower, upper;  // limits of the means, once there are any
    std::vector<entries::DriftSignal> signals;   // at the last point
    bool warns = false;
};

// Nothing while no end has been judged since the set-up piece.
std::optional<DriftSeen> drift_seen(const BenchState& state, const SpecRow& row, const std::string& hose_lot);

}  // namespace crimpgate
