// A gauge study as sheets, and the uncertainty that follows from it: plain structs in, text cells out.
//
// The figures are those of reports/statistics (formulas and sources there). Both ways of working out a repeatability
// study stand side by side, and of the analysis of variance both models; one of them is the answer, and a note says
// why. Lengths go in as whole nanometres. Describes, decides no pass: the uncertainty that a lead approves is in whole
// nanometres, rounded up.
//
// Refusals: those of the statistics ("gauge_study.*", "uncertainty.*"), and "study.not_repeatability": only a study
// with several people and pieces says what people add.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "reports/audit/audit.h"
#include "specs/length.h"
#include "specs/message.h"

namespace crimpgate::audit {

enum class StudyOf { type1, repeatability, linearity };

struct StudyPieceFact {
    std::string piece;
    std::optional<Length> size;  // of a reference, as calibrated
};

struct MeasuredTurn {
    std::string person;
    std::string piece;
    std::int64_t trial = 1;
    Length value;
};

// A lead set the gauge's uncertainty from the study.
struct ApprovedFact {
    std::int64_t seq = 0, ms = 0;
    std::string person, reason;
    Length uncertainty, before, expanded;
    std::int64_t coverage_permille = 0;
    std::int64_t degrees_of_freedom = 0;  // 0: without bound
};

// A complete study.
struct StudyFacts {
    std::string study, gauge;
    StudyOf kind = StudyOf::repeatability;
    std::vector<StudyPieceFact> pieces;
    std::vector<MeasuredTurn> turns;
    Length lower, upper;  // of the tolerance that the gauge is judged against
    Length resolution;    // the coarsest of its readings
    std::int64_t people = 0, trials = 0;
    std::string seed, planned_by;
    std::int64_t planned_seq = 0, planned_ms = 0;
    std::vector<ApprovedFact> approved;
    bool inches = false;
};

// type1: study_type1. repeatability: study_answer, study_variation, study_anova, study_by_person, study_beyond_range
// (only where there are any). linearity: study_linearity, study_bias. All: study_approved (only where there are any),
// study_plan, study_readings.
Result<std::vector<Sheet>> study_sheets(const StudyFacts& facts);

// What a lead states beside the study.
struct BudgetAsked {
    Length calibration_expanded;  // U of the calibration certificate
    std::int64_t calibration_k_permille = 2000;
    std::int64_t temperature_half_width_mk = 0;  // part against gauge
    Length length;                               // that is measured: what temperature acts on
};

struct ProposedPart {
    std::string part;  // "resolution", "calibration", "repeatability", "reproducibility", "temperature"
    Length standard;   // rounded up
};

struct ProposedUncertainty {
    Length standard;  // rounded up
    Length expanded;  // rounded up
    std::int64_t coverage_permille = 0;
    std::int64_t degrees_of_freedom = 0;  // 0: without bound
    std::vector<ProposedPart> parts;
    std::vector<Sheet> sheets;  // study_uncertainty, study_budget
};

Result<ProposedUncertainty> propose_uncertainty(const StudyFacts& facts, const BudgetAsked& asked);

}  // namespace crimpgate::audit
