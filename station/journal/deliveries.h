// What left the house, and what might: questions to the views, answered as JSON with the views' own names.
//
// Every answer is one unchanging picture of the journal. A Result because the disk may fail.
#pragma once

#include <string>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/journal/journal.h"

namespace crimpgate {

// Newest first, each with how many assemblies are out with it (out) and how many it was sent with (sent).
Result<boost::json::array> deliveries(const Journal& journal, std::int64_t limit);

// {"delivery": {...}, "assemblies": [what is out with it], "taken_back": [{seq, time, who, reason, serials}]}.
// "delivery.no_delivery".
Result<boost::json::object> delivery(const Journal& journal, const std::string& number);

// Customers that have passed assemblies which have not left: {"customer", "assemblies"}, by name.
Result<boost::json::array> customers_to_send(const Journal& journal);

// Of that customer, in the order of starting: serial, order, customer_part, passed, concession_reference, and whether
// its tag is printed and says what holds now (tag_valid).
Result<boost::json::array> assemblies_to_send(const Journal& journal, const std::string& customer);

}  // namespace crimpgate
