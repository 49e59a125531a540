// An audit as JSON, for the page and for whoever reads it with a program. Cells are the audit's own texts, untouched.
//
// {"scope": {what was asked for}, "study" or "sample" instead of what stands in a scope, "title", "unit", "time_zone",
// "made_utc_ms", "journal": {"station", "last_seq", "last_hash", "verified_seq", "verified_utc_ms"?, "damage"?},
// "people": {id: name}, "sheets": [{"id", "columns": [{"id", "kind"}], "rows": [[text]], "notes":
// [{"code", "details"}]}], "charts": [...], "notes": [...]}. Empty texts of a chart's limits are left out.
#pragma once

#include <boost/json/object.hpp>

#include "reports/audit/audit.h"

namespace crimpgate {

boost::json::object audit_json(const audit::Audit& audit);

// One sheet, as it stands in there.
boost::json::object sheet_json(const audit::Sheet& sheet);

}  // namespace crimpgate
