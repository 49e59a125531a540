// Which causes are likely when a hose comes back, with every line of the arithmetic.
//
// A cause's points are a plain sum: the weights of its symptoms that were seen (failure_modes.h), of what the record of
// this very assembly says, of its application, and of what was measured on the returned part. Whole numbers only.
// Not dressed up as probabilities, on purpose: nobody has published how often each cause occurs, nor how often each
// symptom goes with it, and symptoms hang together (a rusty wire and a worn cover are one story), so a probability
// would be made of numbers that nobody measured and would be believed all the same. A sum can be checked with a pencil
// and argued with line by line; it says what to look at first and no more.
//
// What is not known counts for nothing. A margin counts by its share of the band's width: less than a tenth is near the
// limit, a quarter or more is well inside (our choice). Readings by a gauge that failed its next proof, was not proved
// before or was out of date speak against nothing. Where it is not known which end failed, the end that says more for a
// cause counts.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "specs/failure_evidence.h"
#include "specs/failure_modes.h"
#include "specs/return_questions.h"

namespace crimpgate {

enum class LineOf { symptom, record, application, measured };
inline constexpr std::size_t line_kinds = 4;
std::string_view code_of(LineOf kind);  // the enumerator's own name

// One line of the sum. A symptom's message is the answer's own; where it counts only together with another answer, that
// one's code stands in `together`. A line of 0 was looked at and says nothing either way, or may not count.
struct ArithmeticLine {
    LineOf kind = LineOf::symptom;
    Message what;
    std::int64_t weight = 0;
    std::string_view together{};
};

struct RankedMode {
    const FailureMode* mode = nullptr;
    std::int64_t rank = 0;  // 1 for the most points; causes with the same points share a rank
    std::int64_t points = 0;
    std::vector<ArithmeticLine> lines;  // points is their sum
    bool likely() const { return points > 0; }
    std::int64_t points_of(LineOf kind) const;
};

// What the record (and the crimp measured again) says about a fault of the crimp, whatever else was seen: for one if it
// gives any of the three crimp faults +3 or more, against if it gives each of the three -3 or less.
enum class RecordSays {
    no_record,          // an unknown hose
    nothing,            // nothing of the crimp is in it
    not_to_be_trusted,  // its gauge cannot be relied on
    for_a_fault,
    against_a_fault,
    neither,
};
std::string_view code_of(RecordSays says);  // the enumerator's own name

struct SiblingsAtRisk {
    SiblingGroup group = SiblingGroup::hose_lot;
    std::vector<std::string_view> because_of;  // ids of the likely causes that name this group
    std::vector<std::string_view> why;         // their reasons, each once
};

struct ReturnRanking {
    std::vector<RankedMode> modes;  // every cause of the table, most points first, then in the table's order
    RecordSays record_says = RecordSays::no_record;
    Message record_sentence;                       // the same as a sentence, with the points it rests on
    Message conclusion;                            // how clear it is, as a sentence
    std::vector<std::string_view> open_questions;  // asked and not known
    std::vector<Message> unknown;                  // what else cannot be known
    std::vector<Contradiction> contradicting;      // answers that cannot both be true
    std::vector<SiblingsAtRisk> siblings;          // of the causes that are within reach, worst first
    std::vector<Message> cautions;                 // R13, always; more where somebody was hurt or it is not known
};

// A cause is within reach if it has points, and at least half of the most; those lead to siblings and actions.
bool within_reach(const RankedMode& mode, const ReturnRanking& ranking);

// Answers as check_answers accepts them; others are a bug of the caller (std::logic_error).
ReturnRanking rank_causes(std::span<const Answered> answers, const ReturnEvidence& evidence);

// Lines of one cause, for rank_causes; parts of the arithmetic in files of their own.
void add_record_lines(const FailureMode& mode, std::span<const Answered> answers, const RecordEvidence& record,
                      std::vector<ArithmeticLine>& lines);
void add_measured_lines(const FailureMode& mode, std::span<const Answered> answers,
                        std::span<const ReturnedEnd> measured, std::vector<ArithmeticLine>& lines);
void add_application_lines(const FailureMode& mode, const ApplicationEvidence& application,
                           std::vector<ArithmeticLine>& lines);
// Every reading of the record was taken with a gauge that can be relied on.
bool readings_hold(const RecordEvidence& record, std::span<const Answered> answers);

// "A" for "a": how a sentence names an end.
std::string end_name(std::string_view end);

// What of the record and of the application is missing, each as a sentence.
void add_unknown(const ReturnEvidence& evidence, std::span<const Answered> answers, std::vector<Message>& out);

}  // namespace crimpgate
