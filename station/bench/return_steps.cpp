#include "station/bench/return_steps.h"

#include <algorithm>
#include <charconv>

namespace crimpgate {

using namespace entries;

namespace {

constexpr std::int64_t flats_of_unknown[] = {1, 2, 3};

// "a" for End::a.
std::string_view letter(End end) {
    return end == End::a ? "a" : "b";
}

std::string measure_code(End end) {
    return "measure." + std::string(letter(end));
}

std::string measure_code(const ReturnPlace& place) {
    return measure_code(place.end) + "." + std::string(code_of(place.what));
}

bool is_measure_code(std::string_view code) {
    return code.starts_with("measure.");
}

// How many readings of an end do not count any more, counted over all readings.
std::size_t begun_again_at(const ReturnState& returned, End end) {
    const auto found = returned.answers.find(measure_code(end));
    if (found == returned.answers.end()) return 0;
    std::size_t out = 0;
    const auto& text = found->second.text;
    std::from_chars(text.data(), text.data() + text.size(), out);
    return out;
}

bool said_impossible(const ReturnState& returned, const ReturnPlace& place) {
    const auto found = returned.answers.find(measure_code(place));
    return found != returned.answers.end() && found->second.answer == not_possible;
}

// Takes out what nothing leads to any more, as often as that takes away what other questions follow from.
void drop_unasked(std::vector<Answered>& answers) {
    for (bool dropped = true; dropped;) {
        const auto asked = questions_asked(answers);
        dropped = std::erase_if(answers, [&](const Answered& a) {
                      return std::ranges::find(asked, std::string_view(a.question)) == asked.end();
                  }) > 0;
    }
}

Result<void> measure_fits(const ReturnAnswered& answer) {
    for (const End end : {End::a, End::b}) {
        if (answer.question == measure_code(end)) {
            if (answer.answer == "again") return {};
            return refuse(
                message("returned.no_such_answer").with("question", answer.question).with("answer", answer.answer));
        }
        for (const auto what : {Characteristic::crimp_diameter, Characteristic::mark_after}) {
            if (answer.question != measure_code(ReturnPlace{end, what, 0})) continue;
            if (answer.answer == not_possible || answer.answer == "possible") return {};
            return refuse(
                message("returned.no_such_answer").with("question", answer.question).with("answer", answer.answer));
        }
    }
    return refuse(message("returned.no_such_question").with("question", answer.question));
}

}  // namespace

std::vector<std::string> answer_parts(std::string_view answer) {
    std::vector<std::string> out;
    while (true) {
        const auto plus = answer.find(answers_joined);
        out.emplace_back(answer.substr(0, plus));
        if (plus == std::string_view::npos) return out;
        answer.remove_prefix(plus + 1);
    }
}

std::vector<Answered> answers_that_count(const ReturnState& returned) {
    std::vector<Answered> out;
    for (const auto& question : return_questions()) {
        const auto found = returned.answers.find(std::string(question.code));
        if (found == returned.answers.end()) continue;
        for (auto& part : answer_parts(found->second.answer))
            if (part == not_known || find_answer(question.code, part) != nullptr)
                out.push_back({std::string(question.code), std::move(part)});
    }
    drop_unasked(out);
    return out;
}

StatedFacts stated_facts(const ReturnState& returned) {
    StatedFacts out;
    for (const auto& [question, answer] : returned.answers)
        if (find_fact(question) != nullptr) out[question] = answer.answer;
    return out;
}

Result<void> answer_fits(const ReturnState& returned, const ReturnAnswered& answer) {
    if (is_measure_code(answer.question)) return measure_fits(answer);
    if (find_fact(answer.question) != nullptr) return check_fact(answer.question, answer.answer);
    const auto* question = find_question(answer.question);
    if (question == nullptr) return refuse(message("returned.no_such_question").with("question", answer.question));
    // The others by themselves first: what only the old answer led to goes with it.
    auto with = answers_that_count(returned);
    std::erase_if(with, [&](const Answered& a) { return a.question == answer.question; });
    std::vector<Answered> these;
    for (auto& part : answer_parts(answer.answer))
        these.push_back({answer.question, std::move(part)});
    with.insert(with.end(), these.begin(), these.end());
    if (const auto asked = questions_asked(with);
        std::ranges::find(asked, std::string_view(answer.question)) == asked.end())
        return refuse(message("returned.not_asked").with("question", answer.question));
    drop_unasked(with);
    return check_answers(with);
}

const AssemblyState* assembly_of(const BenchState& state, const ReturnState& returned) {
    if (returned.opened.serial.empty()) return nullptr;
    const auto found = state.assemblies.find(returned.opened.serial);
    return found == state.assemblies.end() ? nullptr : &found->second;
}

std::vector<ReturnPlace> places_of_return(const BenchState& state, const ReturnState& returned) {
    const auto* assembly = assembly_of(state, returned);
    const bool b_first = answered(answers_that_count(returned), "end", "b");
    std::vector<ReturnPlace> out;
    for (const End end : b_first ? std::array{End::b, End::a} : std::array{End::a, End::b}) {
        std::vector<std::int64_t> flats(std::begin(flats_of_unknown), std::end(flats_of_unknown));
        if (assembly != nullptr) flats = assembly->row(end).flats;
        for (const auto flat : flats)
            out.push_back({end, Characteristic::crimp_diameter, flat});
        out.push_back({end, Characteristic::mark_after, 0});
    }
    std::erase_if(out, [&](const ReturnPlace& p) { return said_impossible(returned, p); });
    return out;
}

bool still_counts(const ReturnState& returned, std::size_t reading) {
    const auto& m = returned.measured.at(reading);
    if (reading < begun_again_at(returned, m.end)) return false;
    for (std::size_t later = reading + 1; later < returned.measured.size(); ++later) {
        const auto& l = returned.measured[later];
        if (l.end == m.end && l.what == m.what && l.flat == m.flat) return false;
    }
    return true;
}

const ReturnMeasured* measured_at(const ReturnState& returned, const ReturnPlace& place) {
    for (std::size_t i = returned.measured.size(); i-- > 0;) {
        const auto& m = returned.measured[i];
        if (m.end == place.end && m.what == place.what && m.flat == place.flat)
            return still_counts(returned, i) ? &m : nullptr;
    }
    return nullptr;
}

std::optional<ReturnPlace> next_of_return(const BenchState& state, const ReturnState& returned) {
    for (const auto& place : places_of_return(state, returned))
        if (measured_at(returned, place) == nullptr) return place;
    return std::nullopt;
}

std::optional<Band> band_of_return(const AssemblyState* assembly, const ReturnPlace& place) {
    if (assembly == nullptr) return std::nullopt;
    const auto& row = assembly->row(place.end);
    if (place.what == Characteristic::mark_after) return Band{Length{}, row.mark_edge_limit};
    return row.crimp.band();
}

}  // namespace crimpgate
