// An audit for a terminal: each sheet as a table under its title, figures at the right of their columns.
#pragma once

#include <cstddef>
#include <string>

#include "reports/audit/audit.h"
#include "reports/audit/shown_cell.h"

namespace crimpgate::cli {

// Title, record, notes and every sheet with its first rows; what does not print is written as \xNN.
std::string audit_text(const audit::Audit& audit, const audit::Reader& reader, std::size_t longest_sheet);

std::string sheet_text(const audit::Sheet& sheet, const audit::Reader& reader, std::size_t longest_sheet);

}  // namespace crimpgate::cli
