// A hose that came back, as the decision and the pages see it: the answers that count, what is measured next, which
// readings count. Pure; nothing of it looks at an assembly's verdict, and nothing of it can change one (R1).
//
// Three kinds of questions are answered by return.answered: what is seen and how it was used
// (specs/return_questions.h), figures of the use (specs/return_facts.h), and what became of the measuring:
//   "measure.a.crimp_diameter", "measure.b.mark_after" ...   "not_possible": the part has none to measure; "possible"
//   "measure.a", "measure.b"   "again": what was measured of that end until then does not count; `text` says how many
//                              readings there were then, and is the bench's to fill in
// A question with several answers has them in one, in the table's order, joined by "+".
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/return_facts.h"
#include "specs/return_questions.h"
#include "station/bench/state.h"

namespace crimpgate {

inline constexpr char answers_joined = '+';
inline constexpr std::string_view not_possible = "not_possible";
// What may be read off an unknown hose, each once.
inline constexpr std::string_view read_off_codes[] = {"maker",     "standard", "dash", "pressure",
                                                      "date_code", "fitting",  "other"};

// "worn+cut" to its parts.
std::vector<std::string> answer_parts(std::string_view answer);

// What was seen, as check_answers accepts it: of each question the last answer, and none whose question no other answer
// leads to any more. Words that the tables do not know are passed over.
std::vector<Answered> answers_that_count(const ReturnState& returned);

StatedFacts stated_facts(const ReturnState& returned);

// That answer, to that question, with the others as they are. Refusals: those of check_answers and check_fact, and
// "returned.no_such_question".
Result<void> answer_fits(const ReturnState& returned, const entries::ReturnAnswered& answer);

struct ReturnPlace {
    End end = End::a;
    Characteristic what = Characteristic::crimp_diameter;  // or mark_after
    std::int64_t flat = 0;
    bool operator==(const ReturnPlace&) const = default;
};

// Its assembly, recalled if it must be; null for a hose that is not ours.
const AssemblyState* assembly_of(const BenchState& state, const ReturnState& returned);

// Everything to be measured that the part has: of each end its flats, then the mark; the end that failed first. Of an
// unknown hose three flats.
std::vector<ReturnPlace> places_of_return(const BenchState& state, const ReturnState& returned);

// The reading of that place that counts: the last, unless the end was begun again after it.
const entries::ReturnMeasured* measured_at(const ReturnState& returned, const ReturnPlace& place);
bool still_counts(const ReturnState& returned, std::size_t reading);

// The first place without a reading that counts; nothing when all are measured.
std::optional<ReturnPlace> next_of_return(const BenchState& state, const ReturnState& returned);

// What the spec row allows at that place, for the picture on the screen; nothing for an unknown hose.
std::optional<Band> band_of_return(const AssemblyState* assembly, const ReturnPlace& place);

}  // namespace crimpgate
