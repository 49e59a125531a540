// Entry bodies to and from JSON: one place, generated from the members' names (station/json/reflect.h).
#pragma once

#include <boost/json/object.hpp>
#include <string>
#include <string_view>

#include "specs/message.h"
#include "station/entries/entries.h"

namespace crimpgate {

std::string_view type_of(const EntryBody& body);
boost::json::object to_json(const EntryBody& body);

// "entry.unknown_type" for a type that this program does not know; "json.*" for a body that is not of its type.
Result<EntryBody> entry_body(std::string_view type, const boost::json::object& body);

// A spec row alone, for views and answers.
boost::json::object to_json(const SpecRow& row);
Result<SpecRow> spec_row(const boost::json::object& object);

}  // namespace crimpgate
