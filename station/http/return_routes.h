// The routes of hoses that came back, as a table of their own within the one of routes.h.
#pragma once

#include <vector>

#include "station/http/routes.h"

namespace crimpgate {

std::vector<Route> return_routes();

}  // namespace crimpgate
