// How many pieces of a lot to measure again, and how many may be bad: single sampling by attributes after MIL-STD-105E
// (10 May 1989, public domain), tables I, II-A, II-B and II-C. The code letters are those of ISO 2859-1.
//
// The acceptance quality limit (AQL) is a whole number of thousandths of a percent (or of a nonconformity in 100
// pieces): 650 is 0.65. So it is compared exactly.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

#include "specs/message.h"

namespace crimpgate::statistics {

enum class InspectionLevel { S1, S2, S3, S4, I, II, III };
enum class Severity { normal, tightened, reduced };

struct SamplingPlan {
    char letter = 'A';  // of table I, before any arrow of table II is followed
    std::int64_t sample_size = 0;
    int accept = 0, reject = 1;  // accept <= this many; reject from this many on
    bool whole_lot = false;  // the sample would be the lot or more: every piece is measured, and sample_size is the lot
};

// The 26 AQLs of the tables, rising.
std::span<const int> sampling_aqls();
// "0.65" or "1.0" as an AQL of the tables; refused with "sampling.aql_unknown" and what there is.
Result<int> parse_aql(std::string_view text);

// Refused: "sampling.lot_too_small" (fewer than two pieces), "sampling.aql_unknown".
Result<char> code_letter(std::int64_t lot_size, InspectionLevel level);
Result<SamplingPlan> plan_for(std::int64_t lot_size, InspectionLevel level, int aql, Severity severity);

enum class LotVerdict {
    accepted,
    accepted_back_to_normal,  // reduced inspection only: between accept and reject
    rejected,
};
// nonconforming >= 0, else std::domain_error.
LotVerdict lot_verdict(const SamplingPlan& plan, std::int64_t nonconforming);

}  // namespace crimpgate::statistics
