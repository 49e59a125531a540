// Gauge studies: planned by a lead, measured blind at the bench, worked out when complete. What the figures lead to is
// reckoned here from the record, never taken from whoever approves it.
#include <sodium.h>

#include <boost/json.hpp>

#include "reports/statistics/random_pick.h"
#include "station/daemon/audit_json.h"
#include "station/daemon/study_facts.h"
#include "station/daemon/study_source.h"
#include "station/http/api.h"
#include "station/http/body_members.h"
#include "station/http/describe_commands.h"
#include "station/http/describe_studies.h"
#include "station/http/study_routes.h"
#include "station/journal/approvals.h"
#include "station/json/reflect.h"

namespace crimpgate {

std::string drawn_seed() {
    std::uint64_t seed = 0;
    randombytes_buf(&seed, sizeof seed);
    return statistics::to_seed_text(seed);
}

namespace {

namespace json = boost::json;

bool in_inches(ApiCall& call) {
    const auto& desk = call.api.desk();
    return rules_in_force(desk.rules(), desk.state()).shown_unit == ShownUnit::inch;
}

template <class T>
HttpAnswer command(ApiCall& call) {
    auto read = reflect::from_json<T>(call.body);
    if (!read) return error_response(400, read.error());
    return answer_of(call.api.desk().run(*read, call.who));
}

template <class T>
Route action(std::string_view path, std::string_view name) {
    return {"POST", path, name, Needs::signed_in, &command<T>, &members_of<T>};
}

const StudyState* known(ApiCall& call, const std::string& id) {
    const auto& studies = call.api.desk().state().studies;
    const auto found = studies.find(id);
    return found == studies.end() ? nullptr : &found->second;
}

HttpAnswer studies_list(ApiCall& call) {
    const auto& state = call.api.desk().state();
    json::array list;
    for (const auto& [id, study] : state.studies)
        list.push_back(study_told(state, study));
    return ok({{"studies", std::move(list)}});
}

// What a lead states of the budget stands in the question, so that they see what follows before they approve it.
Result<std::optional<audit::BudgetAsked>> budget_asked(ApiCall& call) {
    const auto& query = call.request.query;
    if (!query.contains("calibration_expanded_nm")) return std::optional<audit::BudgetAsked>();
    constexpr std::int64_t metre = 1'000'000'000;
    const auto expanded = call.number("calibration_expanded_nm", 0, metre);
    if (!expanded) return refuse(expanded.error());
    const auto k = call.number("calibration_k_permille", 2000, 10'000);
    if (!k) return refuse(k.error());
    const auto kelvin = call.number("temperature_half_width_mk", 0, 100'000);
    if (!kelvin) return refuse(kelvin.error());
    const auto length = call.number("length_nm", 0, metre);
    if (!length) return refuse(length.error());
    audit::BudgetAsked asked;
    asked.calibration_expanded = Length::from_nm(*expanded);
    asked.calibration_k_permille = *k;
    asked.temperature_half_width_mk = *kelvin;
    asked.length = Length::from_nm(*length);
    return std::optional<audit::BudgetAsked>(asked);
}

json::array sheets_json(const std::vector<audit::Sheet>& sheets) {
    json::array out;
    for (const auto& sheet : sheets)
        out.push_back(sheet_json(sheet));
    return out;
}

json::object names_json(const std::map<std::string, std::string>& people) {
    json::object out;
    for (const auto& [id, name] : people)
        out[id] = name;
    return out;
}

// The sheets are those of the paper and the files, made of the journal like them.
AuditSetting setting_of(ApiCall& call) {
    const auto& desk = call.api.desk();
    AuditSetting out;
    out.time_zone = desk.time_zone();
    out.now_ms = desk.now().utc_ms;
    out.unit = desk.rules().shown_unit;
    return out;
}

HttpAnswer study_result(ApiCall& call) {
    const auto* study = known(call, call.value);
    if (study == nullptr) return refusal_of(message("bench.no_study").with("study", call.value));
    // A study that was given up has no result; what was read stays in the journal.
    if (!study->complete() || study->dropped)
        return refusal_of(message("bench.study_incomplete").with("study", call.value));
    const auto asked = budget_asked(call);
    if (!asked) return refusal_of(asked.error());
    const auto made = study_audit(call.api.journal(), call.value, setting_of(call));
    if (!made) return refusal_of(made.error());
    auto approved = uncertainties_set(call.api.journal());
    if (!approved) return refusal_of(approved.error());
    json::array of_this;
    for (const auto& one : *approved)
        if (one.at("study") == json::value(call.value)) of_this.push_back(one);
    auto out = study_told(call.api.desk().state(), *study);
    out["sheets"] = sheets_json(made->sheets);
    out["names"] = names_json(made->people);
    out["approved"] = std::move(of_this);
    out["gauge_uncertainty_nm"] = 0;
    const auto& gauges = call.api.desk().state().gauges;
    if (const auto gauge = gauges.find(study->plan.gauge); gauge != gauges.end())
        out["gauge_uncertainty_nm"] = gauge->second.registered.uncertainty.nm();
    if (*asked) {
        const auto proposed = propose_uncertainty(study_facts(*study, in_inches(call)), **asked);
        if (!proposed) return refusal_of(proposed.error());
        out["proposed"] = json::object{{"uncertainty_nm", proposed->standard.nm()},
                                       {"expanded_nm", proposed->expanded.nm()},
                                       {"coverage_permille", proposed->coverage_permille},
                                       {"degrees_of_freedom", proposed->degrees_of_freedom},
                                       {"sheets", sheets_json(proposed->sheets)}};
    }
    return ok(out);
}

HttpAnswer plan_study(ApiCall& call) {
    auto read = reflect::from_json<api::PlanBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    commands::PlanStudy plan;
    plan.plan.kind = read->kind;
    plan.plan.gauge = std::move(read->gauge);
    plan.plan.pieces = std::move(read->pieces);
    plan.plan.people = std::move(read->people);
    plan.plan.trials = read->trials;
    plan.plan.lower = read->lower;
    plan.plan.upper = read->upper;
    plan.plan.seed = read->seed ? *read->seed : drawn_seed();
    return answer_of(call.api.desk().run(plan, call.who));
}

// The bench says who may; before that nobody is told what the figures would be.
HttpAnswer approve_study(ApiCall& call) {
    auto read = reflect::from_json<api::ApproveBody>(call.body);
    if (!read) return error_response(400, read.error());
    if (auto fine = call.api.check_texts(call.body, ""); !fine) return error_response(400, fine.error());
    commands::ApproveUncertainty approve;
    approve.set.study = read->study;
    approve.set.reason = std::move(read->reason);
    if (const auto* study = known(call, read->study); study != nullptr && study->complete()) {
        audit::BudgetAsked asked;
        asked.calibration_expanded = read->calibration_expanded;
        asked.calibration_k_permille = read->calibration_k_permille;
        asked.temperature_half_width_mk = read->temperature_half_width_mk;
        asked.length = read->length;
        const auto& person = call.api.desk().state().people.at(call.who);
        const auto proposed = propose_uncertainty(study_facts(*study, false), asked);
        if (!proposed && person.role == Role::lead) return refusal_of(proposed.error());
        if (proposed) {
            approve.set.uncertainty = proposed->standard;
            approve.set.expanded = proposed->expanded;
            approve.set.coverage_permille = proposed->coverage_permille;
            approve.set.degrees_of_freedom = proposed->degrees_of_freedom;
            for (const auto& part : proposed->parts)
                approve.set.parts.push_back({part.part, part.standard});
        }
    }
    return answer_of(call.api.desk().run(approve, call.who));
}

HttpAnswer samples_list(ApiCall& call) {
    const auto& state = call.api.desk().state();
    json::array list;
    for (const auto& [id, sample] : state.samples)
        list.push_back(sample_told(state, sample));
    return ok({{"samples", std::move(list)}});
}

HttpAnswer sample_result(ApiCall& call) {
    const auto& state = call.api.desk().state();
    const auto found = state.samples.find(call.value);
    if (found == state.samples.end()) return refusal_of(message("bench.no_sample").with("sample", call.value));
    auto out = sample_told(state, found->second);
    const auto made = sample_audit(call.api.journal(), call.value, setting_of(call));
    if (!made) return refusal_of(made.error());
    out["sheets"] = sheets_json(made->sheets);
    out["names"] = names_json(made->people);
    return ok(out);
}

HttpAnswer draw_sample(ApiCall& call) {
    auto read = reflect::from_json<api::DrawBody>(call.body);
    if (!read) return error_response(400, read.error());
    commands::DrawSample draw;
    draw.sample.shift = std::move(read->shift);
    draw.sample.plan = std::move(read->plan);
    draw.sample.level = read->level.value_or("");
    draw.sample.severity = read->severity.value_or("");
    draw.sample.quality_ppm = read->quality_ppm;
    draw.sample.confidence_permille = read->confidence_permille.value_or(0);
    draw.sample.seed = read->seed ? *read->seed : drawn_seed();
    return answer_of(call.api.desk().run(draw, call.who));
}

}  // namespace

std::vector<Route> study_routes() {
    using namespace commands;
    return {
        {"GET", "/api/studies", "studies", Needs::signed_in, &studies_list, nullptr},
        {"GET", "/api/studies/{study}", "study", Needs::office, &study_result, nullptr},
        {"POST", "/api/studies/plan", "planStudy", Needs::signed_in, &plan_study, &members_of<api::PlanBody>},
        action<BeginStudy>("/api/studies/begin", "beginStudy"),
        action<LeaveStudy>("/api/studies/leave", "leaveStudy"),
        action<VoidTurn>("/api/studies/void-turn", "voidTurn"),
        action<DropStudy>("/api/studies/drop", "dropStudy"),
        {"POST", "/api/studies/approve", "approveUncertainty", Needs::signed_in, &approve_study,
         &members_of<api::ApproveBody>},
    };
}

std::vector<Route> sample_routes() {
    using namespace commands;
    return {
        {"GET", "/api/samples", "samples", Needs::signed_in, &samples_list, nullptr},
        {"GET", "/api/samples/{sample}", "sample", Needs::office, &sample_result, nullptr},
        {"POST", "/api/samples/draw", "drawSample", Needs::signed_in, &draw_sample, &members_of<api::DrawBody>},
        action<BeginSample>("/api/samples/begin", "beginSample"),
        action<LeaveSample>("/api/samples/leave", "leaveSample"),
    };
}

}  // namespace crimpgate
