// The routes of gauge studies and samples, as a table of their own within the one of routes.h.
#pragma once

#include <vector>

#include "station/http/routes.h"

namespace crimpgate {

std::vector<Route> study_routes();
std::vector<Route> sample_routes();

// Sixteen hexadecimal digits out of the machine's own randomness: nobody chooses what is drawn.
std::string drawn_seed();

}  // namespace crimpgate
