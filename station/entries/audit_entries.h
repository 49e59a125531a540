// Entries of the QC lead: charts and their limits, the drift watch, gauge studies, samples measured again, signatures
// under a shift. See entries.h. Statistics are computed in floating point; what they led to stands here in whole
// nanometres and is exact from then on.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/judgement.h"
#include "specs/length.h"

namespace crimpgate {

enum class End { a, b };

// A chart of end means, or of the spread of the places of an end.
enum class ChartOf { means, spreads };
// type1: one reference many times. repeatability: pieces by people by times. linearity: references over the range.
enum class StudyKind { type1, repeatability, linearity };

namespace entries {

// --- charts ---
// A stream is what one chart may hold together: "spec id|revision|crimper|die set". From here on its chart is held
// against these limits, which were reckoned from the ends judged from from_seq to to_seq, less those left out.
struct LimitsFrozen {
    static constexpr std::string_view type = "chart.limits_frozen";
    std::string stream;
    ChartOf chart = ChartOf::means;
    std::int64_t from_seq = 0;
    std::int64_t to_seq = 0;
    std::vector<std::int64_t> left_out;  // end.judged entries with a known cause
    std::int64_t points = 0;
    Length centre;
    Length lower;
    Length upper;
    Length sigma;  // of what is plotted
    std::string reason;
    bool operator==(const LimitsFrozen&) const = default;
};
struct LimitsReleased {
    static constexpr std::string_view type = "chart.limits_released";
    std::string stream;
    ChartOf chart = ChartOf::means;
    std::string reason;
};

// --- the drift watch at the bench ---
struct WatchSet {
    static constexpr std::string_view type = "watch.set";
    bool on = true;
    std::int64_t points = 30;  // end means shown at the bench, 20 to 50
    // Names of run rules (reports/statistics/run_rules.h).
    std::vector<std::string> rules = {"beyond_three_sigma", "nine_on_one_side", "six_steadily_moving"};
    std::int64_t weight_permille = 200;  // of the newest value in the moving mean that the correction comes from
    std::int64_t share_ppm = 10'000;     // expected out of band: more than that asks for a correction
    bool operator==(const WatchSet&) const = default;
};
struct DriftSignal {
    std::string rule;
    std::vector<std::int64_t> seqs;  // of the end.judged entries that make it
    bool operator==(const DriftSignal&) const = default;
};
// The next assembly on this set-up waits for a new set-up piece.
struct DriftWarned {
    static constexpr std::string_view type = "drift.warned";
    std::string key;  // of the set-up
    std::string spec_id;
    std::string revision;
    std::string crimper;
    std::string die_set;
    std::string hose_lot;
    std::vector<DriftSignal> signals;  // none: the expected share alone
    std::int64_t points = 0;
    Length level;       // moving mean at the last point
    Length sigma;       // of end means
    Length correction;  // what the crimp diameter should change by: negative closes, positive opens
    std::int64_t share_ppm = 0;
    std::int64_t share_limit_ppm = 0;
};

// --- signatures ---
// Whatever comes for that shift after upto_seq came late and shows as such.
struct ShiftSignedOff {
    static constexpr std::string_view type = "shift.signed_off";
    std::string shift;
    std::string remark;
    std::int64_t upto_seq = 0;
};

// --- gauge studies ---
struct StudyPiece {
    std::string piece;
    std::optional<Length> size;  // of a reference, as calibrated
    bool operator==(const StudyPiece&) const = default;
};
struct StudyTurn {
    std::string person;
    std::string piece;
    std::int64_t trial = 1;
    bool operator==(const StudyTurn&) const = default;
};
struct StudyPlanned {
    static constexpr std::string_view type = "study.planned";
    std::string study;
    StudyKind kind = StudyKind::repeatability;
    std::string gauge;
    std::vector<StudyPiece> pieces;
    std::vector<std::string> people;
    std::int64_t trials = 0;
    Length lower;  // of the tolerance that the gauge is judged against
    Length upper;
    std::string seed;  // 16 hex digits: the order of the turns can be drawn again from it
    std::vector<StudyTurn> turns;
};
struct StudyBegun {  // at the bench: from here on the gauge's readings are the study's
    static constexpr std::string_view type = "study.begun";
    std::string study;
};
struct StudyLeft {  // the bench goes back to work; what is measured stays
    static constexpr std::string_view type = "study.left";
    std::string study;
};
struct StudyMeasured {
    static constexpr std::string_view type = "study.measured";
    std::string study;
    std::int64_t turn = 0;  // place in the plan, from 1
    std::string piece;
    std::int64_t trial = 1;
    std::string gauge;
    std::int64_t proof_seq = 0;
    Length value;
    LengthUnit unit = LengthUnit::mm;
    Length resolution;
    std::string raw_hex;
    std::int64_t arrived_utc_ms = 0;
};
struct StudyTurnVoided {  // the last one; it is measured again
    static constexpr std::string_view type = "study.turn_voided";
    std::string study;
    std::int64_t turn = 0;
    std::string reason;
};
struct StudyDropped {
    static constexpr std::string_view type = "study.dropped";
    std::string study;
    std::string reason;
};
struct BudgetPart {
    std::string part;  // "resolution", "calibration", "repeatability", "reproducibility", "temperature"
    Length standard;   // its standard uncertainty at the measurand
    bool operator==(const BudgetPart&) const = default;
};
// With a lead's approval; in force for the readings that follow.
struct UncertaintySet {
    static constexpr std::string_view type = "gauge.uncertainty_set";
    std::string gauge;
    Length uncertainty;  // standard, k = 1
    Length before;
    std::string study;
    std::vector<BudgetPart> parts;
    Length expanded;
    std::int64_t coverage_permille = 2000;  // k of the expanded one
    std::int64_t degrees_of_freedom = 0;    // effective; 0: without bound
    std::string reason;
};

// --- samples measured again ---
struct SampleDrawn {
    static constexpr std::string_view type = "sample.drawn";
    std::string sample;
    std::string shift;
    std::string plan;                      // "mil_std_105e" or "zero_acceptance"
    std::string level;                     // inspection level, "II"; empty for zero acceptance
    std::string severity;                  // "normal", "tightened", "reduced"; empty for zero acceptance
    std::int64_t quality_ppm = 0;          // AQL, or the share defective that zero acceptance would show
    std::int64_t confidence_permille = 0;  // zero acceptance only
    std::int64_t lot_size = 0;
    std::int64_t accept = 0;
    std::int64_t reject = 1;
    std::string seed;  // 16 hex digits
    std::vector<std::string> serials;
};
struct SampleBegun {
    static constexpr std::string_view type = "sample.begun";
    std::string sample;
};
struct SampleLeft {
    static constexpr std::string_view type = "sample.left";
    std::string sample;
};
struct SampleMeasured {
    static constexpr std::string_view type = "sample.measured";
    std::string sample;
    std::string serial;
    End end = End::a;
    std::int64_t flat = 0;
    std::string gauge;
    std::int64_t proof_seq = 0;
    Length value;
    LengthUnit unit = LengthUnit::mm;
    Length resolution;
    std::string raw_hex;
    std::int64_t arrived_utc_ms = 0;
    Length lower;
    Length upper;
    Length guard;
    Length uncertainty;
    Verdict verdict = Verdict::conforms;
    std::int64_t first_seq = 0;  // the reading that is compared with
    std::string first_gauge;
    Length first_value;
    Verdict first_verdict = Verdict::conforms;
};
struct SampleJudged {
    static constexpr std::string_view type = "sample.judged";
    std::string sample;
    std::int64_t compared = 0;            // pairs of readings
    std::vector<std::string> overturned;  // serials whose verdict the second gauge does not share
    bool accepted = false;
    Length mean_difference;  // second less first
    std::optional<Length> sd;
    std::optional<Length> lower_agreement;
    std::optional<Length> upper_agreement;
};

}  // namespace entries
}  // namespace crimpgate
