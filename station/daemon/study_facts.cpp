#include "station/daemon/study_facts.h"

#include <algorithm>
#include <boost/json.hpp>

#include "station/bench/sample_steps.h"
#include "station/entries/describe_entries.h"
#include "station/json/reflect.h"

namespace crimpgate {
namespace {

namespace json = boost::json;
using reflect::enum_name;

std::string name_of(const BenchState& state, const std::string& person) {
    const auto found = state.people.find(person);
    return found == state.people.end() ? person : found->second.name;
}

json::array texts(const std::vector<std::string>& list) {
    json::array out;
    for (const auto& text : list)
        out.push_back(json::string(text));
    return out;
}

audit::StudyOf kind_of(StudyKind kind) {
    switch (kind) {
        case StudyKind::type1:
            return audit::StudyOf::type1;
        case StudyKind::repeatability:
            return audit::StudyOf::repeatability;
        case StudyKind::linearity:
            return audit::StudyOf::linearity;
    }
    return audit::StudyOf::repeatability;
}

}  // namespace

bool still_blind(const StudyState& study) {
    return !study.dropped && !study.complete();
}

audit::StudyFacts study_facts(const StudyState& study, bool inches) {
    audit::StudyFacts out;
    out.study = study.plan.study;
    out.gauge = study.plan.gauge;
    out.kind = kind_of(study.plan.kind);
    for (const auto& p : study.plan.pieces)
        out.pieces.push_back({p.piece, p.size});
    for (const auto& [turn, m] : study.measured) {
        out.turns.push_back({study.measured_by.at(turn), m.piece, m.trial, m.value});
        out.resolution = std::max(out.resolution, m.resolution);
    }
    out.people = static_cast<std::int64_t>(study.plan.people.size());
    out.trials = study.plan.trials;
    out.seed = study.plan.seed;
    out.planned_by = study.planned_by;
    out.lower = study.plan.lower;
    out.upper = study.plan.upper;
    out.inches = inches;
    return out;
}

audit::SampleFacts sample_facts(const SampleState& sample, bool inches) {
    const auto& d = sample.drawn;
    audit::SampleFacts out;
    out.sample = d.sample;
    out.shift = d.shift;
    out.plan = d.plan;
    out.level = d.level;
    out.severity = d.severity;
    out.seed = d.seed;
    out.drawn_by = sample.drawn_by;
    out.quality_ppm = d.quality_ppm;
    out.confidence_permille = d.confidence_permille;
    out.lot_size = d.lot_size;
    out.size = static_cast<std::int64_t>(d.serials.size());
    out.accept = d.accept;
    out.reject = d.reject;
    out.inches = inches;
    if (sample.judged) {
        out.judged = true;
        out.accepted = sample.judged->accepted;
        out.overturned = sample.judged->overturned;
    }
    for (const auto& m : sample.measured)
        out.pairs.push_back({m.serial, enum_name(m.end), m.flat, m.first_gauge, m.gauge, m.first_value, m.value,
                             enum_name(m.first_verdict), enum_name(m.verdict), m.first_seq});
    return out;
}

json::object study_told(const BenchState& state, const StudyState& study) {
    const auto& plan = study.plan;
    json::array pieces, people;
    for (const auto& piece : plan.pieces)
        pieces.push_back(reflect::write_struct(piece));
    for (const auto& person : plan.people)
        people.push_back(json::object{{"person", person}, {"name", name_of(state, person)}});
    return {{"study", plan.study},
            {"kind", enum_name(plan.kind)},
            {"gauge", plan.gauge},
            {"pieces", std::move(pieces)},
            {"people", std::move(people)},
            {"trials", plan.trials},
            {"lower_nm", plan.lower.nm()},
            {"upper_nm", plan.upper.nm()},
            {"seed", plan.seed},
            {"planned_by", study.planned_by},
            {"planned_by_name", name_of(state, study.planned_by)},
            {"turns", static_cast<std::int64_t>(plan.turns.size())},
            {"measured", static_cast<std::int64_t>(study.measured.size())},
            {"complete", study.complete()},
            {"dropped", study.dropped},
            {"running", state.study == plan.study}};
}

json::object sample_told(const BenchState& state, const SampleState& sample) {
    const auto& d = sample.drawn;
    json::object out{{"sample", d.sample},
                     {"shift", d.shift},
                     {"plan", d.plan},
                     {"level", d.level},
                     {"severity", d.severity},
                     {"quality_ppm", d.quality_ppm},
                     {"confidence_permille", d.confidence_permille},
                     {"lot_size", d.lot_size},
                     {"accept", d.accept},
                     {"reject", d.reject},
                     {"seed", d.seed},
                     {"serials", texts(d.serials)},
                     {"drawn_by", sample.drawn_by},
                     {"drawn_by_name", name_of(state, sample.drawn_by)},
                     {"places", places_of_sample(state, sample)},
                     {"measured", static_cast<std::int64_t>(sample.measured.size())},
                     {"judged", sample.judged.has_value()},
                     {"running", state.sample == d.sample}};
    if (sample.judged) {
        out["accepted"] = sample.judged->accepted;
        out["overturned"] = texts(sample.judged->overturned);
    }
    return out;
}

}  // namespace crimpgate
