#include "specs/return_questions.h"

#include <algorithm>
#include <array>

namespace crimpgate {

namespace {

using Answer = ReturnAnswer;

constexpr Answer hurt[] = {{"yes", "returned.seen.hurt_yes"}, {"no", "returned.seen.hurt_no"}};
constexpr Answer place[] = {{"shell_lip", "returned.seen.place_shell_lip"},
                            {"near_fitting", "returned.seen.place_near_fitting"},
                            {"body", "returned.seen.place_body"},
                            {"bend_outside", "returned.seen.place_bend_outside"},
                            {"between", "returned.seen.place_between"},
                            {"came_off", "returned.seen.place_came_off"},
                            {"fitting_part", "returned.seen.place_fitting_part"},
                            {"seat", "returned.seen.place_seat"},
                            {"no_leak", "returned.seen.place_no_leak"}};
constexpr Answer end[] = {{"a", "returned.seen.end_a"}, {"b", "returned.seen.end_b"}};
constexpr Answer opening[] = {{"clean_one", "returned.seen.opening_clean_one"},
                              {"clean_several", "returned.seen.opening_clean_several"},
                              {"ragged", "returned.seen.opening_ragged"},
                              {"pin_hole", "returned.seen.opening_pin_hole"},
                              {"sweating", "returned.seen.opening_sweating"}};
constexpr Answer wires[] = {{"whole", "returned.seen.wires_whole", true},
                            {"broken_at_lip", "returned.seen.wires_broken_at_lip"},
                            {"broken_one_place", "returned.seen.wires_broken_one_place"},
                            {"broken_random", "returned.seen.wires_broken_random"},
                            {"some_broken", "returned.seen.wires_some_broken"},
                            {"rusty", "returned.seen.wires_rusty"},
                            {"bright_worn", "returned.seen.wires_bright_worn"},
                            {"crushed", "returned.seen.wires_crushed"}};
constexpr Answer cover[] = {{"unhurt", "returned.seen.cover_unhurt", true},
                            {"worn", "returned.seen.cover_worn"},
                            {"cut", "returned.seen.cover_cut"},
                            {"blisters", "returned.seen.cover_blisters"},
                            {"lifted", "returned.seen.cover_lifted"},
                            {"hard", "returned.seen.cover_hard"}};
constexpr Answer rubber[] = {{"soft", "returned.seen.rubber_soft"}, {"hard", "returned.seen.rubber_hard"}};
constexpr Answer cracks[] = {{"none", "returned.seen.cracks_none"},
                             {"through", "returned.seen.cracks_through"},
                             {"tube_only", "returned.seen.cracks_tube_only"}};
constexpr Answer under_fittings[] = {{"yes", "returned.seen.under_fittings_yes"},
                                     {"no", "returned.seen.under_fittings_no"}};
constexpr Answer tube[] = {
    {"sound", "returned.seen.tube_sound", true},     {"swollen", "returned.seen.tube_swollen"},
    {"washed_out", "returned.seen.tube_washed_out"}, {"cut_by_stem", "returned.seen.tube_cut_by_stem"},
    {"jet_hole", "returned.seen.tube_jet_hole"},     {"loose_piled", "returned.seen.tube_loose_piled"},
    {"hardened", "returned.seen.tube_hardened"}};
constexpr Answer bore[] = {{"open", "returned.seen.bore_open"},
                           {"restricted", "returned.seen.bore_restricted"},
                           {"flattened", "returned.seen.bore_flattened"}};
constexpr Answer layline[] = {{"straight", "returned.seen.layline_straight"},
                              {"spiral", "returned.seen.layline_spiral"}};
constexpr Answer shape[] = {{"natural", "returned.seen.shape_natural"},
                            {"kinked", "returned.seen.shape_kinked"},
                            {"crushed", "returned.seen.shape_crushed"}};
constexpr Answer grip[] = {{"deep_full", "returned.seen.grip_deep_full"},
                           {"shallow_full", "returned.seen.grip_shallow_full"},
                           {"last_missing", "returned.seen.grip_last_missing"},
                           {"none", "returned.seen.grip_none"}};
constexpr Answer mark[] = {{"at_edge", "returned.seen.mark_at_edge"},
                           {"gap", "returned.seen.mark_gap"},
                           {"hidden", "returned.seen.mark_hidden"},
                           {"no_mark", "returned.seen.mark_no_mark"}};
constexpr Answer shell[] = {{"sound", "returned.seen.shell_sound", true},
                            {"cracked", "returned.seen.shell_cracked"},
                            {"ridges", "returned.seen.shell_ridges"},
                            {"pin_stops", "returned.seen.shell_pin_stops"},
                            {"moved", "returned.seen.shell_moved"}};
constexpr Answer leak[] = {{"cold", "returned.seen.leak_cold"},
                           {"always", "returned.seen.leak_always"},
                           {"moving", "returned.seen.leak_moving"}};
constexpr Answer seat[] = {{"good", "returned.seen.seat_good", true},
                           {"wrong_pair", "returned.seen.seat_wrong_pair"},
                           {"damaged", "returned.seen.seat_damaged"},
                           {"loose", "returned.seen.seat_loose"},
                           {"seal_gone", "returned.seen.seat_seal_gone"}};
constexpr Answer routing[] = {
    {"free", "returned.seen.routing_free", true},   {"bent_at_shell", "returned.seen.routing_bent_at_shell"},
    {"tight_bend", "returned.seen.routing_tight"},  {"pulled", "returned.seen.routing_pulled"},
    {"two_planes", "returned.seen.routing_planes"}, {"twisted_in", "returned.seen.routing_twisted_in"},
    {"rubs", "returned.seen.routing_rubs"},         {"heat_near", "returned.seen.routing_heat_near"}};
constexpr Answer movement[] = {{"still", "returned.seen.movement_still"},
                               {"flexes", "returned.seen.movement_flexes"},
                               {"vibrates", "returned.seen.movement_vibrates"}};
constexpr Answer line[] = {{"pressure", "returned.seen.line_pressure"},
                           {"back", "returned.seen.line_back"},
                           {"suction", "returned.seen.line_suction"}};
constexpr Answer hours[] = {{"first", "returned.seen.hours_first"},
                            {"first_year", "returned.seen.hours_first_year"},
                            {"to_six_years", "returned.seen.hours_to_six_years"},
                            {"over_six_years", "returned.seen.hours_over_six_years"}};
constexpr Answer pressure[] = {{"under", "returned.seen.pressure_under", true},
                               {"over", "returned.seen.pressure_over"},
                               {"relief_bad", "returned.seen.pressure_relief_bad"},
                               {"hammer", "returned.seen.pressure_hammer"}};
constexpr Answer temperature[] = {{"within", "returned.seen.temperature_within", true},
                                  {"hot", "returned.seen.temperature_hot"},
                                  {"cold", "returned.seen.temperature_cold"}};
constexpr Answer fluid[] = {{"planned", "returned.seen.fluid_planned", true},
                            {"other", "returned.seen.fluid_other"},
                            {"dirty", "returned.seen.fluid_dirty"},
                            {"aerated", "returned.seen.fluid_aerated"},
                            {"fast", "returned.seen.fluid_fast"},
                            {"gas", "returned.seen.fluid_gas"},
                            {"dry_air", "returned.seen.fluid_dry_air"}};
constexpr Answer machine[] = {{"normal", "returned.seen.machine_normal", true},
                              {"slow", "returned.seen.machine_slow"},
                              {"debris", "returned.seen.machine_debris"},
                              {"noisy", "returned.seen.machine_noisy"}};

constexpr std::string_view at_an_end[] = {"shell_lip", "near_fitting", "between", "came_off", "fitting_part", "seat"};
constexpr std::string_view with_opening[] = {"shell_lip", "near_fitting", "body", "bend_outside"};
constexpr std::string_view wires_bare[] = {"shell_lip", "near_fitting", "body", "bend_outside", "came_off"};
constexpr std::string_view off_the_hose[] = {"came_off"};
constexpr std::string_view of_the_shell[] = {"between", "came_off"};
constexpr std::string_view only_the_seat[] = {"seat"};
constexpr std::string_view only_tube[] = {"tube_only"};

constexpr ReturnQuestion questions[] = {
    {"hurt", "returned.ask.hurt", "", false, hurt},
    {"place", "returned.ask.place", "places", false, place},
    {"end", "returned.ask.end", "", false, end, {"place", at_an_end}},
    {"opening", "returned.ask.opening", "opening", false, opening, {"place", with_opening}},
    {"wires", "returned.ask.wires", "wires", true, wires, {"place", wires_bare}},
    {"cover", "returned.ask.cover", "cover", true, cover},
    {"rubber", "returned.ask.rubber", "", false, rubber},
    {"cracks", "returned.ask.cracks", "", false, cracks},
    {"under_fittings", "returned.ask.under_fittings", "", false, under_fittings, {"cracks", only_tube}},
    {"tube", "returned.ask.tube", "tube", true, tube},
    {"bore", "returned.ask.bore", "", false, bore},
    {"layline", "returned.ask.layline", "layline", false, layline},
    {"shape", "returned.ask.shape", "", false, shape},
    {"grip", "returned.ask.grip", "grip", false, grip, {"place", off_the_hose}},
    {"mark", "returned.ask.mark", "mark", false, mark},
    {"shell", "returned.ask.shell", "shell", true, shell},
    {"leak", "returned.ask.leak", "", false, leak, {"place", of_the_shell}},
    {"seat", "returned.ask.seat", "seat", true, seat, {"place", only_the_seat}},
    {"routing", "returned.ask.routing", "routing", true, routing},
    {"movement", "returned.ask.movement", "", false, movement},
    {"line", "returned.ask.line", "", false, line},
    {"hours", "returned.ask.hours", "", false, hours},
    {"pressure", "returned.ask.pressure", "", true, pressure},
    {"temperature", "returned.ask.temperature", "", true, temperature},
    {"fluid", "returned.ask.fluid", "", true, fluid},
    {"machine", "returned.ask.machine", "", true, machine},
};

// Common practice: what one hose can hardly show at once.
constexpr Contradiction opposed[] = {
    {"opening", "clean_one", "wires", "broken_random"},
    {"opening", "clean_several", "wires", "broken_random"},
    {"opening", "clean_one", "wires", "broken_one_place"},
    {"opening", "ragged", "wires", "whole"},
    {"rubber", "soft", "cover", "hard"},
    {"rubber", "soft", "tube", "hardened"},
    {"cracks", "through", "cover", "unhurt"},
    {"cracks", "through", "tube", "sound"},
    {"cracks", "tube_only", "tube", "sound"},
    {"layline", "straight", "routing", "twisted_in"},
    {"mark", "at_edge", "grip", "none"},
    {"mark", "at_edge", "grip", "last_missing"},
    {"mark", "at_edge", "shell", "moved"},
    {"cover", "unhurt", "routing", "rubs"},
    {"cover", "unhurt", "wires", "bright_worn"},
    {"shape", "natural", "bore", "flattened"},
    {"place", "bend_outside", "routing", "free"},
    {"line", "suction", "pressure", "over"},
    {"machine", "normal", "bore", "restricted"},
};

bool asked(const ReturnQuestion& question, std::span<const Answered> answers) {
    return question.after.question.empty() || std::ranges::any_of(question.after.answers, [&](std::string_view code) {
               return answered(answers, question.after.question, code);
           });
}

}  // namespace

std::span<const ReturnQuestion> return_questions() {
    return questions;
}

const ReturnQuestion* find_question(std::string_view code) {
    const auto found = std::ranges::find(questions, code, &ReturnQuestion::code);
    return found == std::end(questions) ? nullptr : &*found;
}

const ReturnAnswer* find_answer(std::string_view question, std::string_view answer) {
    const auto* asked_for = find_question(question);
    if (asked_for == nullptr) return nullptr;
    const auto found = std::ranges::find(asked_for->answers, answer, &ReturnAnswer::code);
    return found == asked_for->answers.end() ? nullptr : &*found;
}

bool answered(std::span<const Answered> answers, std::string_view question, std::string_view answer) {
    return std::ranges::any_of(answers,
                               [&](const Answered& a) { return a.question == question && a.answer == answer; });
}

std::vector<std::string_view> questions_asked(std::span<const Answered> answers) {
    std::vector<std::string_view> out;
    for (const auto& question : questions)
        if (asked(question, answers)) out.push_back(question.code);
    return out;
}

std::vector<std::string_view> questions_open(std::span<const Answered> answers) {
    auto out = questions_asked(answers);
    std::erase_if(out, [&](std::string_view code) {
        return std::ranges::any_of(answers,
                                   [&](const Answered& a) { return a.question == code && a.answer != not_known; });
    });
    return out;
}

Result<void> check_answers(std::span<const Answered> answers) {
    for (std::size_t i = 0; i < answers.size(); ++i) {
        const auto& [question, answer] = answers[i];
        const auto* of = find_question(question);
        if (of == nullptr) return refuse(message("returned.no_such_question").with("question", question));
        const auto* given = find_answer(question, answer);
        if (given == nullptr && answer != not_known)
            return refuse(message("returned.no_such_answer").with("question", question).with("answer", answer));
        const bool alone = !of->several || given == nullptr || given->alone;
        for (std::size_t j = 0; j < answers.size(); ++j) {
            if (j == i || answers[j].question != question) continue;
            if (answers[j].answer == answer)
                return refuse(message("returned.answered_twice").with("question", question).with("answer", answer));
            if (alone) return refuse(message("returned.one_answer").with("question", question));
        }
        if (!asked(*of, answers)) return refuse(message("returned.not_asked").with("question", question));
    }
    return {};
}

std::vector<Contradiction> contradictions(std::span<const Answered> answers) {
    std::vector<Contradiction> out;
    for (const auto& pair : opposed)
        if (answered(answers, pair.question_a, pair.answer_a) && answered(answers, pair.question_b, pair.answer_b))
            out.push_back(pair);
    return out;
}

}  // namespace crimpgate
