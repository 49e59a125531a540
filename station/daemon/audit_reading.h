// An audit read back from its JSON (audit_json.h), so that file and station give the very same thing to
// print and to write.
#pragma once

#include <array>
#include <string_view>
#include <utility>

#include <boost/json/object.hpp>

#include "reports/audit/audit.h"
#include "specs/message.h"

namespace crimpgate {

// The scope's members by their names in the API; on the command line "--die-set" stands for "die_set".
inline constexpr std::array<std::pair<std::string_view, std::string audit::Scope::*>, 10> scope_members{
    {{"shift", &audit::Scope::shift},
     {"from", &audit::Scope::from_day},
     {"to", &audit::Scope::to_day},
     {"order", &audit::Scope::order},
     {"customer", &audit::Scope::customer},
     {"spec", &audit::Scope::spec},
     {"die_set", &audit::Scope::die_set},
     {"hose_lot", &audit::Scope::hose_lot},
     {"gauge", &audit::Scope::gauge},
     {"person", &audit::Scope::person}}};

// "audit.strange" for anything that is no audit: a row with more or fewer cells than columns, an id that could
// not be a file's name, a kind of cell that this program does not know.
Result<audit::Audit> audit_in(const boost::json::object& object);

}  // namespace crimpgate
