// Descriptions of the bodies of the routes of deliveries and recalls for station/json/reflect.h.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include <boost/describe.hpp>

#include "station/entries/describe_entries.h"

namespace crimpgate::api {

struct SendBody {
    std::string customer;
    std::optional<std::string> note_number;
    std::optional<std::string> date;  // not given: today
    std::string to;
    std::vector<std::string> serials;
};
struct TakeBackBody {
    std::string delivery;
    std::vector<std::string> serials;
    std::string reason;
};
// The criteria as GET /api/recall takes them.
struct DrawRecallBody {
    std::vector<entries::RecallCriterion> criteria;
    std::optional<std::string> from;  // day, or day and time, in the shop's time zone
    std::optional<std::string> to;
    std::string reason;
};

BOOST_DESCRIBE_STRUCT(SendBody, (), (customer, note_number, date, to, serials))
BOOST_DESCRIBE_STRUCT(TakeBackBody, (), (delivery, serials, reason))
BOOST_DESCRIBE_STRUCT(DrawRecallBody, (), (criteria, from, to, reason))

}  // namespace crimpgate::api
