// The steps of measuring a sample again, for the decision and for what the bench asks.
#pragma once

#include <optional>
#include <string>

#include "station/bench/state.h"

namespace crimpgate {

struct SampleStep {
    std::string serial;
    End end = End::a;
    std::int64_t flat = 0;
};

// The next place to measure, in the order of the draw; nothing when all are done. Places that were never measured the
// first time are passed over.
std::optional<SampleStep> next_of_sample(const BenchState& state, const SampleState& sample);

// How many places the sample has to measure again, in all.
std::int64_t places_of_sample(const BenchState& state, const SampleState& sample);

// The crimp reading of that place that counts; null when there is none.
const StepRecord* first_reading(const AssemblyState& assembly, End end, std::int64_t flat);

}  // namespace crimpgate
