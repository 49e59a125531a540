// A sample that was measured again, as sheets: what the plan promises, the pairs, how far the two gauges agree, and
// which verdicts did not stand. Plain structs in, text cells out; formulas and sources in reports/statistics
// (agreement.h, operating_characteristic.h). Lengths in whole nanometres. Decides nothing: the verdicts are the
// record's.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "reports/audit/audit.h"
#include "specs/length.h"

namespace crimpgate::audit {

struct SamplePair {
    std::string serial;
    std::string end;  // "a", "b"
    std::int64_t place = 0;
    std::string first_gauge, gauge;
    Length first, again;
    std::string first_verdict, verdict;  // "conforms", "uncertain", "fails"
    std::int64_t first_seq = 0;
};

struct SampleFacts {
    std::string sample, shift, plan, level, severity, seed;
    std::int64_t quality_ppm = 0, confidence_permille = 0;
    std::int64_t lot_size = 0, size = 0, accept = 0, reject = 1;
    std::vector<std::string> overturned;
    std::string drawn_by;
    std::int64_t drawn_seq = 0, drawn_ms = 0;
    bool judged = false, accepted = false;
    std::vector<SamplePair> pairs;
    bool inches = false;
};

// sample_plan, sample_chances; of a judged one also sample_result, sample_agreement (from two pairs on),
// sample_overturned (where there are any) and sample_pairs.
std::vector<Sheet> sample_sheets(const SampleFacts& facts);

}  // namespace crimpgate::audit
