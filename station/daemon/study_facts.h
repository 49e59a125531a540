// Gauge studies and samples out of the bench's state: as facts for the sheets (reports/audit), and as the lists that
// pages show. Blind: of a study that is not complete no value leaves, neither here nor as an entry (http/api.h).
#pragma once

#include <boost/json/object.hpp>

#include "reports/audit/sample_sheets.h"
#include "reports/audit/study_sheets.h"
#include "station/bench/state.h"

namespace crimpgate {

// The study must be complete. Without what the state does not keep: when it was planned, and what was approved.
audit::StudyFacts study_facts(const StudyState& study, bool inches);
audit::SampleFacts sample_facts(const SampleState& sample, bool inches);

// {"study", "kind", "gauge", "pieces", "people": [{"person", "name"}], "trials", "lower_nm", "upper_nm", "seed",
// "planned_by", "planned_by_name", "turns", "measured", "complete", "dropped", "running"}
boost::json::object study_told(const BenchState& state, const StudyState& study);

// {"sample", "shift", "plan", "level", "severity", "quality_ppm", "confidence_permille", "lot_size", "accept",
// "reject", "seed", "serials", "drawn_by", "drawn_by_name", "places", "measured", "judged", "running"}; once judged
// also "accepted" and "overturned".
boost::json::object sample_told(const BenchState& state, const SampleState& sample);

// Must the values of this study stay unknown to whoever measures yet?
bool still_blind(const StudyState& study);

}  // namespace crimpgate
