// Customers' links over HTTP, the shop's side: a lead makes and revokes them, the office sees them and how often each
// was looked through. What the customer gets is trace_page.h's.
#pragma once

#include <vector>

#include "station/http/routes.h"

namespace crimpgate {

std::vector<Route> link_routes();

}  // namespace crimpgate
