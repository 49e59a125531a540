// Parts of what the bench shows: an assembly with its hold, and what a gauge said last. Internal to station/bench.
#pragma once

#include <boost/json/object.hpp>

#include "station/bench/state.h"

namespace crimpgate {

// Readings with their bands and guards, the hold with its findings and with what may be done about it.
boost::json::object assembly_json(const AssemblyState& assembly);

boost::json::object last_json(const LastSaid& last);

}  // namespace crimpgate
