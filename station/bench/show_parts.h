// Parts of what the bench shows: an assembly with its hold, and what a gauge said last.
#pragma once

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/bench/state.h"

namespace crimpgate {

// Readings with their bands and guards, the hold with its findings and with what may be done about it.
boost::json::object assembly_json(const AssemblyState& assembly);

// Each way of settling the hold, in one order everywhere, and why one is not possible. The assembly must be on hold.
boost::json::array choices_json(const AssemblyState& assembly);

boost::json::object last_json(const LastSaid& last);

// The last end means of the running set-up with their limits, and as "warned" the drift.warned that holds it up. Empty
// when there is nothing to show (show_watch.cpp).
boost::json::object watch_json(const BenchState& state, const SpecRow& row, const std::string& hose_lot);

}  // namespace crimpgate
