#include "specs/failure_ranking.h"

#include <algorithm>
#include <stdexcept>

namespace crimpgate {

namespace {

using Lines = std::vector<ArithmeticLine>;

void add_symptom_lines(const FailureMode& mode, std::span<const Answered> answers, Lines& lines) {
    for (const auto& symptom : mode.symptoms) {
        if (!answered(answers, symptom.question, symptom.answer)) continue;
        const bool with = !symptom.with_question.empty();
        if (with && !answered(answers, symptom.with_question, symptom.with_answer)) continue;
        ArithmeticLine line;
        line.what.code = find_answer(symptom.question, symptom.answer)->words;
        line.weight = symptom.weight;
        if (with) line.together = find_answer(symptom.with_question, symptom.with_answer)->words;
        lines.push_back(std::move(line));
    }
}

const RankedMode& ranked(const ReturnRanking& ranking, std::string_view id) {
    return *std::ranges::find_if(ranking.modes, [&](const RankedMode& m) { return m.mode->id == id; });
}

// Points that the record and the part measured again give to a crimp fault.
std::int64_t points_of_facts(const RankedMode& mode) {
    return mode.points_of(LineOf::record) + mode.points_of(LineOf::measured);
}

bool has_facts(const RankedMode& mode) {
    return std::ranges::any_of(
        mode.lines, [](const ArithmeticLine& l) { return l.kind == LineOf::record || l.kind == LineOf::measured; });
}

RecordSays what_record_says(const ReturnRanking& ranking, std::span<const Answered> answers,
                            const ReturnEvidence& evidence) {
    std::int64_t most = points_of_facts(ranked(ranking, crimp_faults[0])), count = 0, speak_against = 0;
    for (const auto id : crimp_faults) {
        const auto& mode = ranked(ranking, id);
        if (has_facts(mode)) ++count;
        most = std::max(most, points_of_facts(mode));
        if (points_of_facts(mode) <= against) ++speak_against;
    }
    if (count > 0 && most >= supporting && readings_hold(evidence.record, answers)) return RecordSays::for_a_fault;
    if (!evidence.record.known) return RecordSays::no_record;
    if (count == 0) return RecordSays::nothing;
    if (!readings_hold(evidence.record, answers)) return RecordSays::not_to_be_trusted;
    return speak_against == std::ssize(crimp_faults) ? RecordSays::against_a_fault : RecordSays::neither;
}

Message sentence_of(const ReturnRanking& ranking) {
    const auto with_points = [&](Message m) {
        return std::move(m)
            .with("not_home", std::to_string(points_of_facts(ranked(ranking, "not_pushed_home"))))
            .with("large", std::to_string(points_of_facts(ranked(ranking, "crimp_too_large"))))
            .with("small", std::to_string(points_of_facts(ranked(ranking, "crimp_too_small"))));
    };
    switch (ranking.record_says) {
        case RecordSays::no_record:
            return message("returned.verdict.no_record");
        case RecordSays::nothing:
            return message("returned.verdict.nothing");
        case RecordSays::not_to_be_trusted:
            return with_points(message("returned.verdict.not_to_be_trusted"));
        case RecordSays::for_a_fault:
            return with_points(message("returned.verdict.for_a_fault"));
        case RecordSays::against_a_fault:
            return with_points(message("returned.verdict.against_a_fault"));
        case RecordSays::neither:
            return with_points(message("returned.verdict.neither"));
    }
    throw std::logic_error("a verdict without words");
}

Message conclusion_of(const ReturnRanking& ranking) {
    const auto& first = ranking.modes[0];
    if (!first.likely()) return message("returned.conclusion.none");
    const auto second = ranking.modes[1].points;
    const auto said = [&](Message m) {
        return std::move(m).with("first", std::to_string(first.points)).with("second", std::to_string(second));
    };
    return first.points - second >= supporting ? said(message("returned.conclusion.ahead"))
                                               : said(message("returned.conclusion.close"));
}

std::vector<SiblingsAtRisk> siblings_of(const ReturnRanking& ranking) {
    std::vector<SiblingsAtRisk> out;
    for (const auto& mode : ranking.modes) {
        if (!within_reach(mode, ranking)) continue;
        for (const auto& risk : mode.mode->at_risk) {
            auto found = std::ranges::find(out, risk.group, &SiblingsAtRisk::group);
            if (found == out.end()) found = out.insert(out.end(), SiblingsAtRisk{risk.group, {}, {}});
            found->because_of.push_back(mode.mode->id);
            if (std::ranges::find(found->why, risk.why) == found->why.end()) found->why.push_back(risk.why);
        }
    }
    return out;
}

std::vector<Message> cautions_for(std::span<const Answered> answers) {
    std::vector<Message> out;
    if (answered(answers, "hurt", "yes"))
        out.push_back(message("returned.caution.evidence"));
    else if (!answered(answers, "hurt", "no"))
        out.push_back(message("returned.caution.evidence_maybe"));
    out.push_back(message("returned.caution.injection"));
    out.push_back(message("returned.caution.whip"));
    out.push_back(message("returned.caution.burns"));
    out.push_back(message("returned.caution.pinch"));
    out.push_back(message("returned.caution.makers_first"));
    return out;
}

// Inside its band by the record, outside it now, or the other way round.
bool record_and_part_disagree(const ReturnEvidence& evidence) {
    const auto inside = [](const std::vector<CrimpEvidence>& crimps) {
        return std::ranges::all_of(crimps, [](const CrimpEvidence& c) {
            return c.reading.lower <= c.reading.value && c.reading.value <= c.reading.upper;
        });
    };
    for (const auto& now : evidence.measured)
        for (const auto& then : evidence.record.ends)
            if (evidence.record.known && now.end == then.end && !now.crimps.empty() && !then.crimps.empty() &&
                inside(now.crimps) != inside(then.crimps))
                return true;
    return false;
}

}  // namespace

std::string_view code_of(LineOf kind) {
    constexpr std::string_view names[line_kinds] = {"symptom", "record", "application", "measured"};
    return names[static_cast<std::size_t>(kind)];
}

std::string_view code_of(RecordSays says) {
    constexpr std::string_view names[] = {"no_record",   "nothing",         "not_to_be_trusted",
                                          "for_a_fault", "against_a_fault", "neither"};
    return names[static_cast<std::size_t>(says)];
}

std::string end_name(std::string_view end) {
    return end == "a" ? "A" : end == "b" ? "B" : std::string(end);
}

std::int64_t RankedMode::points_of(LineOf kind) const {
    std::int64_t out = 0;
    for (const auto& line : lines)
        if (line.kind == kind) out += line.weight;
    return out;
}

bool within_reach(const RankedMode& mode, const ReturnRanking& ranking) {
    return mode.likely() && 2 * mode.points >= ranking.modes.front().points;
}

ReturnRanking rank_causes(std::span<const Answered> answers, const ReturnEvidence& evidence) {
    if (const auto checked = check_answers(answers); !checked)
        throw std::logic_error("answers that were not checked: " + checked.error().code);
    ReturnRanking out;
    for (const auto& mode : failure_modes()) {
        RankedMode one;
        one.mode = &mode;
        add_symptom_lines(mode, answers, one.lines);
        add_record_lines(mode, answers, evidence.record, one.lines);
        add_measured_lines(mode, answers, evidence.measured, one.lines);
        add_application_lines(mode, evidence.application, one.lines);
        for (const auto& line : one.lines)
            one.points += line.weight;
        out.modes.push_back(std::move(one));
    }
    std::ranges::stable_sort(out.modes, std::ranges::greater{}, &RankedMode::points);
    for (std::size_t i = 0; i < out.modes.size(); ++i)
        out.modes[i].rank = i > 0 && out.modes[i].points == out.modes[i - 1].points ? out.modes[i - 1].rank
                                                                                    : static_cast<std::int64_t>(i) + 1;
    out.record_says = what_record_says(out, answers, evidence);
    out.record_sentence = sentence_of(out);
    out.conclusion = conclusion_of(out);
    out.open_questions = questions_open(answers);
    add_unknown(evidence, answers, out.unknown);
    if (record_and_part_disagree(evidence)) out.unknown.push_back(message("returned.unknown.disagree"));
    out.contradicting = contradictions(answers);
    out.siblings = siblings_of(out);
    out.cautions = cautions_for(answers);
    return out;
}

}  // namespace crimpgate
