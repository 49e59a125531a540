// Certificates that were issued, as the views have them.
#pragma once

#include <cstdint>
#include <string>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/journal/journal.h"

namespace crimpgate {

// Newest first; of one serial alone where it is given. Members have the names of the view's columns.
Result<boost::json::array> certificates(const Journal& journal, const std::string& serial, std::int64_t limit);

// "certificate.no_number" (number).
Result<boost::json::object> certificate(const Journal& journal, const std::string& number);

}  // namespace crimpgate
