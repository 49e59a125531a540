// A hose reel's or a fitting batch's number, as issued to an order.
#pragma once

#include <optional>
#include <string>

#include "specs/dates.h"

namespace crimpgate {

struct Lot {
    std::string number;
    std::optional<HoseQuarter> made;  // hose only, and only where it was written down
    bool operator==(const Lot&) const = default;
};

}  // namespace crimpgate
