// A returned hose as the pages and the command line get it. Codes and exact numbers; sentences are messages, said by
// whoever shows them. Lengths in nm, pressures in kPa, times in UTC milliseconds.
#pragma once

#include <boost/json/object.hpp>

#include "station/daemon/return_source.h"

namespace crimpgate {

// A line of the list: {"return", "serial", "customer", "received", "hurt", "opened_by", "opened_ms", "open": how many
// questions wait, "measured", "concluded": true or false, "cause"}.
boost::json::object return_line(const ReturnState& returned);

// {"return", "concluded", "assembly", "notices", "questions", "facts", "contradictions", "readings", "measured",
// "happened", "ranking": {..., "modes": [... "lines"]}, "groups", "people", "upto_seq"}.
boost::json::object return_json(const ReturnFound& found);

}  // namespace crimpgate
