// Descriptions of the bodies of the links' routes for station/json/reflect.h.
#pragma once

#include <optional>
#include <string>

#include <boost/describe.hpp>

namespace crimpgate::api {

struct MakeLinkBody {
    std::string customer;
    std::optional<std::string> delivery;     // not given: everything of the customer
    std::optional<std::string> valid_until;  // the last day; not given: until it is revoked
    std::optional<bool> opens_by_tag{};      // the code on each tag opens it, too, for that one assembly
};
struct RevokeLinkBody {
    std::string link;
    std::string reason;
};
BOOST_DESCRIBE_STRUCT(MakeLinkBody, (), (customer, delivery, valid_until, opens_by_tag))
BOOST_DESCRIBE_STRUCT(RevokeLinkBody, (), (link, reason))

}  // namespace crimpgate::api
