// What came for a shift after its signature: the signature does not speak of it.
#pragma once

#include <string>
#include <vector>

#include "reports/audit/work.h"

namespace crimpgate::audit {

struct LateEntry {
    const ShiftFact* shift = nullptr;
    std::int64_t seq = 0, ms = 0;
    std::string person, serial;
    Message what;
};
// By shift in the order of the facts, then by seq; an entry once.
std::vector<LateEntry> late_entries(const Work& work);

}  // namespace crimpgate::audit
