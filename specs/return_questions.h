// The guided questions about a hose that came back: what is seen and how it was used, as codes with closed answers.
//
// Codes are for ever: they stand in the record. Words come from the catalogue (each question and each answer names its
// sentence), pictures from the pages by the drawing's name. "not_known" answers every question and counts for nothing
// and against nothing; a question that nobody answered is the same as one answered so.
// What is asked comes from the failure tables (failure_modes.h): no question is asked that no cause of the table uses,
// but for `hurt`, which decides how the part is kept.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate {

inline constexpr std::string_view not_known = "not_known";

struct ReturnAnswer {
    std::string_view code;   // "worn"
    std::string_view words;  // "returned.seen.cover_worn": a phrase that says the whole by itself
    bool alone = false;      // "nothing to be seen": goes with no other answer to the same question
};

// A question that follows is asked only after one of these answers to an earlier one.
struct AskedAfter {
    std::string_view question;
    std::span<const std::string_view> answers;
};

struct ReturnQuestion {
    std::string_view code;     // "cover"
    std::string_view words;    // "returned.ask.cover"
    std::string_view drawing;  // of station/web/returns/drawings.js, or empty
    bool several = false;      // may have more than one answer
    std::span<const ReturnAnswer> answers;
    AskedAfter after{};  // empty question: always asked
};

// In the order in which they are asked; what a question follows stands before it.
std::span<const ReturnQuestion> return_questions();
const ReturnQuestion* find_question(std::string_view code);
// nullptr for an unknown pair, and for "not_known", which is no answer.
const ReturnAnswer* find_answer(std::string_view question, std::string_view answer);

// One answer as recorded; a question with several has one of these for each.
struct Answered {
    std::string question;
    std::string answer;
    bool operator==(const Answered&) const = default;
};

bool answered(std::span<const Answered> answers, std::string_view question, std::string_view answer);

// The questions that these answers lead to, in order, answered ones included.
std::vector<std::string_view> questions_asked(std::span<const Answered> answers);

// Those of them that have no answer or "not_known": what nobody knows.
std::vector<std::string_view> questions_open(std::span<const Answered> answers);

// Refusals: "returned.no_such_question" (question), "returned.no_such_answer" (question, answer),
// "returned.answered_twice" (question, answer), "returned.one_answer" (question: two answers, or one that goes with no
// other), "returned.not_asked" (question: its answers would count although nothing led to it).
Result<void> check_answers(std::span<const Answered> answers);

// Two answers that cannot both be true of one hose, or hardly. Nothing is taken off anybody's points for it: the
// contradiction is shown, since one of the two was seen wrongly.
struct Contradiction {
    std::string_view question_a, answer_a;
    std::string_view question_b, answer_b;
};
std::vector<Contradiction> contradictions(std::span<const Answered> answers);

}  // namespace crimpgate
