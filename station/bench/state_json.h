// The bench's state as JSON and back, so that a start need not fold the whole journal.
//
// It is a copy, never a second truth: written by the very program that reads it (state_program()), bound to the entry
// up to which it was folded, and thrown away whenever anything about it is not as expected. Whatever the journal says
// is right.
#pragma once

#include <string>

#include <boost/json/object.hpp>

#include "station/bench/state.h"

namespace crimpgate {

boost::json::object state_json(const BenchState& state);
// "json.*" for what is not such a state.
Result<BenchState> state_of_json(const boost::json::object& object);

// SHA-256 in hex of the sources that decide what a state is and how entries lead to it: another program, another value.
const std::string& state_program();

}  // namespace crimpgate
