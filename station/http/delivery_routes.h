// The routes of deliveries and recalls, as tables of their own within the one of routes.h.
#pragma once

#include <vector>

#include "station/http/routes.h"

namespace crimpgate {

std::vector<Route> delivery_routes();
std::vector<Route> recall_routes();

}  // namespace crimpgate
