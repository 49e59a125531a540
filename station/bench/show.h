// What the bench shows, as JSON for screens and tools: derived from the state, never stored.
//
// Codes and exact numbers only; a screen adds the words. Everything here was committed before it is shown (R2): the
// daemon calls this after the journal has answered.
#pragma once

#include <boost/json/object.hpp>

#include "station/bench/next_step.h"

namespace crimpgate {

// {"seq", "person", "shift", "step": {...}, "order": {...}, "assembly": {...}, "gauges": [...], "stopped": {...}, ...}
boost::json::object show(const BenchState& state, const BenchRules& rules, const Now& now);

}  // namespace crimpgate
