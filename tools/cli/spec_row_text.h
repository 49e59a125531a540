// The key figures of a spec row in a few indented lines, lengths in exact millimetres.
#pragma once

#include <string>

#include "specs/spec_row.h"

namespace crimpgate::cli {

std::string spec_row_text(const SpecRow& row);

}  // namespace crimpgate::cli
