// What leads have approved of gauges, out of the journal.
#pragma once

#include <boost/json/array.hpp>

#include "station/journal/journal.h"

namespace crimpgate {

// Every gauge.uncertainty_set, in order: {"seq", "time", "who", "gauge", "study", "uncertainty_nm", "before_nm",
// "expanded_nm", "coverage_permille", "degrees_of_freedom", "reason"}.
Result<boost::json::array> uncertainties_set(const Journal& journal);

}  // namespace crimpgate
