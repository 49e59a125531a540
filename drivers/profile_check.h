// Whether a profile can be decoded without guessing: what no single key can tell. Pure.
#pragma once

#include <string>
#include <vector>

#include "drivers/profile.h"

namespace crimpgate {

// One sentence for each thing wrong with it; empty when it is sound.
std::vector<std::string> pattern_faults(const Profile& profile);

}  // namespace crimpgate
