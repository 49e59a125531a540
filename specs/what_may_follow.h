// After an end was stopped: what may follow (R7).
#pragma once

#include "specs/judgement.h"

namespace crimpgate {

struct Choices {
    bool recrimp = false;    // to the same spec, all ends measured anew
    bool remeasure = false;  // the same part, measured again (a reading in doubt, or a better gauge)
    bool scrap = false;
    bool concession = false;  // by a QC lead, with the customer's reference
    bool operator==(const Choices&) const = default;
};

// Re-crimp only if every failing finding is a crimp diameter above its band and tries are left; an undersize crimp, a
// wrong depth, a hidden mark or a pin that does not pass never lead to a re-crimp. Nothing follows a conforming end.
// Re-measuring is offered while nothing but measured lengths speaks against the end (an uncertain end, a reading taken
// on a ridge): another reading may differ. What failed by sight, by pin or by a missed step is not a matter of the
// gauge. Scrap and concession are open for every end that was stopped.
Choices what_may_follow(const EndJudgement& judgement, std::int64_t recrimps_done, std::int64_t recrimps_allowed);

}  // namespace crimpgate
