// Holds and assemblies as people read them: the journal's views, and beside them what only the bench knows (what may be
// done and by whom) and the words for what happened, as codes for the catalogue.
#pragma once

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/daemon/desk.h"

namespace crimpgate {

// {"holds", "doubts", "people": {id: name}}; each open hold also has measured_by, the ids of whoever measured (R9).
Result<boost::json::object> shown_holds(const Desk& desk, const Journal& journal, bool all);

// The trace of a serial and:
//   people        {id: name} of everybody
//   measured_by   ids of whoever measured on it (R9)
//   findings      what speaks against it, each with its message; while it is on hold
//   may           [{how, possible, why?}], while it is on hold (R7)
//   may_settle    [{person, name, role, scrap_only?}] whom R9 and the shop's limits let settle it, while it is on hold
//   doubts        of its holds as suspect (queries.h)
//   number        which of its order
//   history       [{seq, time, who, type, message{code, details}, why?{code, details}}] in order; why is a refusal's
//   own
//                 message, whose words stand in the sentence's hole "why"
Result<boost::json::object> shown_assembly(const Desk& desk, const Journal& journal, const std::string& serial);

}  // namespace crimpgate
