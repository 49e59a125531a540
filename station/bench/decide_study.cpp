// Gauge studies at the bench: who measures which piece when, drawn at random and blind to what was read before.
#include <algorithm>

#include "reports/statistics/random_pick.h"
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

namespace {

Result<void> at_least(const char* field, std::size_t count, std::size_t least) {
    if (count >= least) return {};
    return refuse(message("bench.study_too_small")
                      .with("field", field)
                      .with("count", std::to_string(count))
                      .with("least", std::to_string(least)));
}

// A reference is measured by its size; pieces to compare people on need none.
Result<void> pieces_fit(const StudyPlanned& plan) {
    const bool references = plan.kind != StudyKind::repeatability;
    std::set<std::string> names;
    for (const auto& piece : plan.pieces) {
        if (piece.piece.empty()) return refuse(message("bench.field_empty").with("field", "piece"));
        if (!names.insert(piece.piece).second)
            return refuse(message("bench.study_piece_twice").with("piece", piece.piece));
        if (references && !piece.size) return refuse(message("bench.study_piece_size").with("piece", piece.piece));
    }
    return {};
}

Result<void> large_enough(const StudyPlanned& plan) {
    const auto trials = static_cast<std::size_t>(std::max<std::int64_t>(plan.trials, 0));
    switch (plan.kind) {
        case StudyKind::type1:
            if (plan.pieces.size() != 1) return refuse(message("bench.study_one_reference"));
            if (auto ok = at_least("people", plan.people.size(), 1); !ok) return ok;
            return at_least("trials", trials, 25);  // 50 are better (metrology: type-1 study)
        case StudyKind::repeatability:
            if (auto ok = at_least("pieces", plan.pieces.size(), 2); !ok) return ok;
            if (auto ok = at_least("people", plan.people.size(), 2); !ok) return ok;
            return at_least("trials", trials, 2);
        case StudyKind::linearity:
            if (auto ok = at_least("pieces", plan.pieces.size(), 3); !ok) return ok;
            if (auto ok = at_least("people", plan.people.size(), 1); !ok) return ok;
            return at_least("trials", trials, 2);
    }
    return {};
}

// Round by round: in each one everybody in an order drawn anew, and each of them all the pieces in an order drawn anew.
// Nobody meets the same piece twice in a round, and nobody has to change places after every reading.
std::vector<StudyTurn> drawn_turns(const StudyPlanned& plan, std::uint64_t seed) {
    std::vector<StudyTurn> turns;
    std::uint64_t part = 0;
    for (std::int64_t trial = 1; trial <= plan.trials; ++trial)
        for (const auto person : statistics::shuffled_order(plan.people.size(), statistics::part_seed(seed, part++)))
            for (const auto piece : statistics::shuffled_order(plan.pieces.size(), statistics::part_seed(seed, part++)))
                turns.push_back({plan.people[person], plan.pieces[piece].piece, trial});
    return turns;
}

}  // namespace

const StudyState* Decider::open_study(const std::string& id) const {
    const auto study = s_.studies.find(id);
    return study == s_.studies.end() || study->second.dropped ? nullptr : &study->second;
}

Result<void> Decider::operator()(const commands::PlanStudy& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    StudyPlanned plan = c.plan;
    if (!s_.gauges.contains(plan.gauge)) return refuse(message("bench.no_gauge").with("gauge", plan.gauge));
    if (plan.upper <= plan.lower) return refuse(message("bench.must_be_positive").with("field", "upper_nm - lower_nm"));
    for (const auto& person : plan.people)
        if (auto ok = is_with_us(person); !ok) return ok;
    if (auto ok = pieces_fit(plan); !ok) return ok;
    if (auto ok = large_enough(plan); !ok) return ok;
    const auto seed = statistics::parse_seed(plan.seed);
    if (!seed) return refuse(seed.error());
    plan.study = "GS-" + std::to_string(s_.studies.size() + 1);
    plan.turns = drawn_turns(plan, *seed);
    if (plan.turns.size() > 1000)
        return refuse(message("bench.out_of_range").with("field", "turns").with("least", "1").with("most", "1000"));
    emit(std::move(plan));
    return {};
}

Result<void> Decider::operator()(const commands::BeginStudy& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (!s_.current.empty()) return refuse(message("bench.assembly_in_work").with("serial", s_.current));
    if (!s_.stopped.empty()) return refuse(message("bench.quarantine_first").with("serial", s_.stopped));
    if (!s_.sample.empty()) return refuse(message("bench.sample_running").with("sample", s_.sample));
    if (!s_.record.returned.empty()) return refuse(message("returned.running").with("return", s_.record.returned));
    const auto* study = open_study(c.study);
    if (study == nullptr) return refuse(message("bench.no_study").with("study", c.study));
    if (study->complete()) return refuse(message("bench.study_complete").with("study", c.study));
    emit(StudyBegun{c.study});
    return {};
}

Result<void> Decider::operator()(const commands::LeaveStudy&) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.study.empty()) return refuse(message("bench.no_study_running"));
    emit(StudyLeft{s_.study});
    return {};
}

Result<void> Decider::operator()(const commands::VoidTurn& c) {
    if (auto ok = may_work(); !ok) return ok;
    if (s_.study.empty()) return refuse(message("bench.no_study_running"));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    const auto& study = s_.studies.at(s_.study);
    if (study.measured.empty()) return refuse(message("bench.nothing_to_void"));
    const auto last = std::max_element(study.measured.begin(), study.measured.end(), [](const auto& a, const auto& b) {
        return a.second.arrived_utc_ms < b.second.arrived_utc_ms ||
               (a.second.arrived_utc_ms == b.second.arrived_utc_ms && a.first < b.first);
    });
    if (study.measured_by.at(last->first) != who_) return refuse(message("bench.study_not_yours"));
    emit(StudyTurnVoided{s_.study, last->first, c.reason});
    return {};
}

Result<void> Decider::operator()(const commands::DropStudy& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (open_study(c.study) == nullptr) return refuse(message("bench.no_study").with("study", c.study));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    emit(StudyDropped{c.study, c.reason});
    return {};
}

Result<void> Decider::operator()(const commands::ApproveUncertainty& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    UncertaintySet set = c.set;
    const auto* study = open_study(set.study);
    if (study == nullptr) return refuse(message("bench.no_study").with("study", set.study));
    if (!study->complete()) return refuse(message("bench.study_incomplete").with("study", set.study));
    // R9: nobody approves what they measured themselves.
    for (const auto& [turn, person] : study->measured_by)
        if (person == who_ && !rules_.own_hold_may_be_settled) return refuse(message("bench.study_own"));
    const auto gauge = s_.gauges.find(study->plan.gauge);
    if (gauge == s_.gauges.end()) return refuse(message("bench.no_gauge").with("gauge", study->plan.gauge));
    if (set.uncertainty <= Length{}) return refuse(message("bench.must_be_positive").with("field", "uncertainty_nm"));
    if (set.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    set.gauge = study->plan.gauge;
    set.before = gauge->second.registered.uncertainty;
    emit(std::move(set));
    return {};
}

void Decider::study_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& next) {
    const auto& study = s_.studies.at(s_.study);
    if (c.gauge != study.plan.gauge)
        return refuse_reading(c, reading, message("bench.other_gauge_in_study").with("gauge", study.plan.gauge));
    if (s_.person != next.person)
        return refuse_reading(c, reading,
                              message("bench.study_other_person").with("person", s_.people.at(next.person).name));
    const auto t = taken(c, reading);
    const auto& turn = study.plan.turns.at(static_cast<std::size_t>(next.turn - 1));
    StudyMeasured measured;
    measured.study = s_.study;
    measured.turn = next.turn;
    measured.piece = turn.piece;
    measured.trial = turn.trial;
    measured.gauge = t.gauge;
    measured.proof_seq = t.proof_seq;
    measured.value = t.value;
    measured.unit = t.unit;
    measured.resolution = t.resolution;
    measured.raw_hex = t.raw_hex;
    measured.arrived_utc_ms = t.arrived_utc_ms;
    emit(std::move(measured));
    if (study.complete()) emit_as({}, StudyLeft{s_.study});
}

}  // namespace crimpgate
