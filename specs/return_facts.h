// What somebody can say in figures about how a returned hose was used, and about a hose that is not ours: the numbers
// that the guided questions (return_questions.h) have no closed answer for.
//
// Codes are for ever: they stand in the record as questions, "use.bend_radius", with a whole number as the answer:
// pressures in kPa, lengths in nm, temperatures in degrees Celsius, angles in degrees. "use.fluid" has one of the words
// of fluid_codes(). "not_known" answers each of them and counts for nothing. What the order said is taken where nobody
// says otherwise.
#pragma once

#include <cstdint>
#include <map>
#include <span>
#include <string>
#include <string_view>

#include "specs/application.h"
#include "specs/failure_evidence.h"

namespace crimpgate {

enum class FactKind { pressure, length, temperature, angle, fluid };

struct ReturnFactAsked {
    std::string_view code;   // "use.pressure"
    std::string_view words;  // "returned.fact.use_pressure"
    FactKind kind = FactKind::pressure;
    std::int64_t least = 0;
    std::int64_t most = 0;
    bool of_rating = false;  // what the hose is made for: asked only where no record says it
};

std::span<const ReturnFactAsked> return_facts();
const ReturnFactAsked* find_fact(std::string_view code);

// In the order of enum Fluid.
std::span<const std::string_view> fluid_codes();

// Facts as recorded, by their codes: unknown ones and "not_known" may stand among them and are passed over.
using StatedFacts = std::map<std::string, std::string, std::less<>>;

// Refusals: "returned.no_such_question" (question), "returned.fact_not_whole" (question, found),
// "returned.fact_out_of_range" (question, least, most), "returned.no_such_answer" (question, answer) for a fluid.
Result<void> check_fact(std::string_view code, std::string_view answer);

// What was stated laid over what the order says: what somebody saw where the hose worked comes before what was planned.
Application stated_over(Application ordered, const StatedFacts& stated);

// As the ranking takes it. Ratings are the assembly's where it is ours (`made`), else what was stated. The straight
// lead is the shorter of the two stated ones; the fluid is held against the tube by the application check.
ApplicationEvidence application_evidence(const Application& used, const AssemblyFacts* made, const StatedFacts& stated);

}  // namespace crimpgate
