// A recall's list as a CSV file, row by row (RFC 4180, UTF-8 with a byte order mark, as reports/audit/audit_csv.h has
// it and why). Lengths in millimetres, exact, with a decimal point; times ISO 8601 in UTC; codes for words. Cells are
// safe to open in a spreadsheet by the audit's own rule.
#pragma once

#include <string>

#include "reports/recall_row.h"

namespace crimpgate {

// The byte order mark and the columns' names.
std::string recall_csv_head();
std::string recall_csv_row(const RecallRow& row);

}  // namespace crimpgate
