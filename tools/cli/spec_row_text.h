// The key figures of a spec row in a few indented lines.
#pragma once

#include <string>

#include "specs/spec_row.h"
#include "tools/cli/text_table.h"

namespace crimpgate::cli {

std::string spec_row_text(const SpecRow& row, const Lengths& lengths = {});

}  // namespace crimpgate::cli
