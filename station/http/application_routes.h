// The routes of an order's application check and of the proof test, as a table of their own within the one of routes.h.
#pragma once

#include <boost/json/array.hpp>
#include <string>
#include <vector>

#include "specs/application.h"
#include "station/http/routes.h"

namespace crimpgate {

std::vector<Route> application_routes();

// Findings with their sentences; "order" names the one that they are of, where it is given.
boost::json::array told_findings(const std::vector<ApplicationFinding>& findings, const std::string& order = {});

}  // namespace crimpgate
