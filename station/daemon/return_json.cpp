#include "station/daemon/return_json.h"

#include <algorithm>

#include <boost/json.hpp>

#include "station/entries/describe_entries.h"
#include "station/json/describe_specs.h"
#include "station/json/reflect.h"

namespace crimpgate {

namespace {

namespace json = boost::json;
using reflect::enum_name;

constexpr std::size_t serials_shown = 12;

template <class List>
json::array codes(const List& list) {
    json::array out;
    for (const auto& one : list)
        out.push_back(json::string(std::string_view(one)));
    return out;
}

json::array messages(const std::vector<Message>& list) {
    json::array out;
    for (const auto& m : list)
        out.push_back(reflect::write(m));
    return out;
}

std::string_view code_of_fault(FaultOf fault) {
    constexpr std::string_view names[] = {"bench", "application", "material"};
    return names[static_cast<std::size_t>(fault)];
}

std::string_view code_of_kind(FactKind kind) {
    constexpr std::string_view names[] = {"pressure", "length", "temperature", "angle", "fluid"};
    return names[static_cast<std::size_t>(kind)];
}

void put(json::object& out, const char* name, const std::optional<Length>& value) {
    if (value) out[name] = value->nm();
}

json::object reading_json(const ReturnReading& r) {
    json::object out{{"end", enum_name(r.end)}, {"what", code_of(r.what)}};
    if (r.flat != 0) out["flat"] = r.flat;
    put(out, "value_nm", r.value);
    put(out, "lower_nm", r.lower);
    put(out, "upper_nm", r.upper);
    put(out, "margin_nm", r.margin);
    put(out, "siblings_nm", r.siblings_mean);
    if (r.seen) out["seen"] = enum_name(*r.seen);
    if (r.yes) out["yes"] = *r.yes;
    if (r.verdict) out["verdict"] = enum_name(*r.verdict);
    if (r.conceded) out["conceded"] = true;
    if (r.uncertainty > Length{}) out["uncertainty_nm"] = r.uncertainty.nm();
    if (r.resolution > Length{}) out["resolution_nm"] = r.resolution.nm();
    out["unit"] = enum_name(r.unit);
    if (!r.gauge.empty()) out["gauge"] = r.gauge;
    if (!r.who.empty()) out["who"] = r.who;
    if (r.seq != 0) out["seq"] = r.seq;
    if (r.at_ms != 0) out["at_ms"] = r.at_ms;
    if (!r.counts) out["counts"] = false;
    if (r.doubted) out["doubted"] = true;
    return out;
}

json::array readings_json(const std::vector<ReturnReading>& all) {
    json::array out;
    for (const auto& r : all)
        out.push_back(reading_json(r));
    return out;
}

// Those that the answers lead to, in order, each with what was answered.
json::array questions_json(const ReturnFound& found) {
    json::array out;
    for (const auto code : questions_asked(found.answers)) {
        const auto& q = *find_question(code);
        json::array may, given;
        for (const auto& answer : q.answers)
            may.push_back(json::object{{"code", answer.code}, {"words", answer.words}, {"alone", answer.alone}});
        for (const auto& a : found.answers)
            if (a.question == code) given.push_back(json::string(a.answer));
        json::object one{{"code", q.code}, {"words", q.words}, {"several", q.several}, {"answers", std::move(may)}};
        if (!q.drawing.empty()) one["drawing"] = q.drawing;
        if (!given.empty()) one["given"] = std::move(given);
        out.push_back(std::move(one));
    }
    return out;
}

// Ratings are asked only where no record has them.
json::array facts_json(const ReturnFound& found) {
    json::array out;
    for (const auto& fact : return_facts()) {
        if (fact.of_rating && found.assembly) continue;
        json::object one{{"code", fact.code},
                         {"words", fact.words},
                         {"kind", code_of_kind(fact.kind)},
                         {"least", fact.least},
                         {"most", fact.most}};
        if (const auto given = found.returned.answers.find(std::string(fact.code));
            given != found.returned.answers.end())
            one["given"] = given->second.answer;
        out.push_back(std::move(one));
    }
    return out;
}

json::object ranking_json(const ReturnRanking& ranking) {
    json::array modes;
    for (const auto& mode : ranking.modes) {
        json::array lines, sources;
        for (const auto& line : mode.lines) {
            json::object one{
                {"kind", code_of(line.kind)}, {"what", reflect::write(line.what)}, {"weight", line.weight}};
            if (!line.together.empty()) one["together"] = line.together;
            lines.push_back(std::move(one));
        }
        for (const auto source : mode.mode->sources)
            sources.push_back(json::string(words_of(source)));
        json::object by;
        for (const auto kind : {LineOf::symptom, LineOf::record, LineOf::application, LineOf::measured})
            by[code_of(kind)] = mode.points_of(kind);
        modes.push_back(json::object{{"mode", mode.mode->id},
                                     {"words", mode.mode->words},
                                     {"fault", code_of_fault(mode.mode->fault)},
                                     {"bench", mode.mode->bench},
                                     {"in_use", mode.mode->in_use},
                                     {"mark", std::string(1, mark_of(mode.mode->mark))},
                                     {"sources", std::move(sources)},
                                     {"rank", mode.rank},
                                     {"points", mode.points},
                                     {"likely", mode.likely()},
                                     {"reach", within_reach(mode, ranking)},
                                     {"by", std::move(by)},
                                     {"lines", std::move(lines)}});
    }
    return {{"record_says", code_of(ranking.record_says)},
            {"record_sentence", reflect::write(ranking.record_sentence)},
            {"conclusion", reflect::write(ranking.conclusion)},
            {"open", codes(ranking.open_questions)},
            {"unknown", messages(ranking.unknown)},
            {"cautions", messages(ranking.cautions)},
            {"modes", std::move(modes)}};
}

json::array groups_json(const ReturnFound& found) {
    json::array out;
    for (const auto& group : found.groups) {
        json::object asked;
        for (const auto& c : group.recall.criteria)
            asked[c.what] = c.value;
        if (!group.recall.from.empty()) asked["from"] = group.recall.from;
        if (!group.recall.to.empty()) asked["to"] = group.recall.to;
        json::array customers, serials;
        for (const auto& [customer, share] : group.shared.customers)
            customers.push_back(
                json::object{{"customer", customer}, {"assemblies", share.assemblies}, {"delivered", share.delivered}});
        for (std::size_t i = 0; i < std::min(group.shared.serials.size(), serials_shown); ++i)
            serials.push_back(json::string(group.shared.serials[i]));
        out.push_back(json::object{{"group", group.code},
                                   {"key", group.key},
                                   {"at_risk", group.at_risk},
                                   {"because_of", codes(group.because_of)},
                                   {"why", codes(group.why)},
                                   {"recall", std::move(asked)},
                                   {"assemblies", group.shared.assemblies},
                                   {"delivered", group.shared.delivered},
                                   {"customers", std::move(customers)},
                                   {"serials", std::move(serials)}});
    }
    return out;
}

json::array happened_json(const ReturnFound& found) {
    json::array out;
    for (const auto& h : found.happened)
        out.push_back(
            json::object{{"seq", h.seq}, {"at_ms", h.at_ms}, {"who", h.who}, {"what", reflect::write(h.what)}});
    return out;
}

json::object assembly_json_of(const AssemblyState& a, const WhereItWent& went) {
    const auto& s = a.started;
    const auto fitting = [](const SpecRow& row) {
        return row.fitting.maker + " " + row.fitting.series + ", " + row.fitting.end_form;
    };
    json::object out{{"serial", s.serial},
                     {"order", s.order},
                     {"customer", s.customer},
                     {"customer_part", s.customer_part},
                     {"hose", s.row_a.hose.maker + " " + s.row_a.hose.type},
                     {"dash", s.row_a.hose.dash},
                     {"fitting_a", fitting(s.row_a)},
                     {"fitting_b", fitting(s.row_b)},
                     {"spec_a", s.row_a.spec_id + " " + s.row_a.revision},
                     {"spec_b", s.row_b.spec_id + " " + s.row_b.revision},
                     {"hose_lot", s.hose_lot},
                     {"fitting_a_lot", s.fitting_a_lot},
                     {"fitting_b_lot", s.fitting_b_lot},
                     {"working_pressure_kpa", s.working_pressure.kpa()},
                     {"overall_length_nm", s.overall_length.nm()},
                     {"shift", s.shift},
                     {"recrimps", a.recrimps},
                     {"stage", went.stage}};
    if (a.passed_utc_ms != 0) {
        out["passed_ms"] = a.passed_utc_ms;
        out["passed_by"] = a.passed_by;
    }
    if (!a.concession_reference.empty()) out["concession_reference"] = a.concession_reference;
    if (!went.delivery.empty()) {
        out["delivery"] = went.delivery;
        out["delivered"] = went.delivered;
        out["to"] = went.to;
    }
    if (!went.hold_cause.empty()) out["hold_cause"] = went.hold_cause;
    return out;
}

}  // namespace

json::object return_line(const ReturnState& returned) {
    const auto& o = returned.opened;
    json::object out{{"return", o.return_},
                     {"serial", o.serial},
                     {"customer", o.customer},
                     {"received", o.received},
                     {"reported", o.reported},
                     {"hurt", o.someone_hurt},
                     {"opened_by", returned.opened_by},
                     {"opened_ms", returned.opened_utc_ms},
                     {"open", static_cast<std::int64_t>(questions_open(answers_that_count(returned)).size())},
                     {"measured", static_cast<std::int64_t>(returned.measured.size())},
                     {"concluded", returned.concluded.has_value()}};
    if (returned.concluded) out["cause"] = returned.concluded->cause;
    return out;
}

json::object return_json(const ReturnFound& found) {
    auto about = return_line(found.returned);
    json::array read_off;
    for (const auto& one : found.returned.opened.read_off)
        read_off.push_back(json::object{{"what", one.what}, {"value", one.value}});
    about["read_off"] = std::move(read_off);
    json::array contradictions;
    for (const auto& c : found.ranking.contradicting)
        contradictions.push_back(json::object{{"question_a", c.question_a},
                                              {"words_a", find_answer(c.question_a, c.answer_a)->words},
                                              {"question_b", c.question_b},
                                              {"words_b", find_answer(c.question_b, c.answer_b)->words}});
    json::object names;
    for (const auto& [id, name] : found.people)
        names[id] = name;
    json::object out{{"about", std::move(about)},
                     {"notices", messages(found.notices)},
                     {"questions", questions_json(found)},
                     {"facts", facts_json(found)},
                     {"contradictions", std::move(contradictions)},
                     {"readings", readings_json(found.record)},
                     {"measured", readings_json(found.measured)},
                     {"happened", happened_json(found)},
                     {"ranking", ranking_json(found.ranking)},
                     {"groups", groups_json(found)},
                     {"people", std::move(names)},
                     {"upto_seq", found.upto_seq}};
    if (found.assembly && found.went) out["assembly"] = assembly_json_of(*found.assembly, *found.went);
    if (found.returned.concluded) {
        const auto& c = *found.returned.concluded;
        out["concluded"] = json::object{{"cause", c.cause},
                                        {"remark", c.remark},
                                        {"bench_action", c.bench_action},
                                        {"application_action", c.application_action}};
    }
    return out;
}

}  // namespace crimpgate
