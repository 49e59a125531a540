// What is known of every gauge that was used: its proofs, how far off it was, until when it is calibrated.
#pragma once

#include <optional>
#include <vector>

#include "reports/audit/work.h"

namespace crimpgate::audit {

// So many proofs that all were off by exactly nothing are too good to be true for a gauge with steps (our own choice).
inline constexpr std::int64_t too_good_proofs = 5;

struct GaugeRecord {
    const GaugeFact* gauge = nullptr;
    std::int64_t readings = 0, first_reading_seq = 0, last_reading_seq = 0, last_reading_ms = 0;
    std::int64_t proofs = 0, failed = 0;
    const ProofFact* before = nullptr;        // last good one before the first reading
    const ProofFact* after = nullptr;         // first one after the last reading, good or not
    const ProofFact* worst = nullptr;         // by |error|
    const ProofFact* open_failure = nullptr;  // failed, and no good proof since
    bool too_good = false;
    std::optional<std::int64_t> days_left;  // of the calibration; negative: over
    bool proved_after() const { return readings == 0 || (after != nullptr && after->passed); }
};

// Gauges with readings or proofs among the facts, in the order of the facts.
std::vector<GaugeRecord> gauge_records(const Work& work);

}  // namespace crimpgate::audit
