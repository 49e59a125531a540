#include "station/daemon/shown_holds.h"

#include <boost/json.hpp>

#include "station/bench/show_parts.h"
#include "station/entries/describe_entries.h"
#include "station/entries/entry_json.h"
#include "station/journal/queries.h"
#include "station/json/reflect.h"
#include "station/words/entry_words.h"
#include "station/words/finding_words.h"

namespace crimpgate {
namespace {

namespace json = boost::json;
using reflect::enum_name;

json::object names_of(const BenchState& state) {
    json::object names;
    for (const auto& [id, person] : state.people)
        names[id] = person.name;
    return names;
}

std::string name_of(const BenchState& state, const std::string& who) {
    const auto known = state.people.find(who);
    return known == state.people.end() ? who : known->second.name;
}

json::array ids(const std::set<std::string>& people) {
    json::array out;
    for (const auto& id : people)
        out.push_back(json::string(id));
    return out;
}

// R9, as decide_hold.cpp has it.
json::array settlers(const BenchState& state, const AssemblyState& a, const BenchRules& rules) {
    json::array out;
    for (const auto& [id, person] : state.people) {
        if (person.retired || (a.measured_by.contains(id) && !rules.own_hold_may_be_settled)) continue;
        const bool lead = person.role == Role::lead;
        if (!lead && !(rules.scrap_by_operator && person.role == Role::operator_)) continue;
        json::object one{{"person", id}, {"name", person.name}, {"role", enum_name(person.role)}};
        if (!lead) one["scrap_only"] = true;
        out.push_back(std::move(one));
    }
    return out;
}

// The most places that a gauge shows which measured it.
int places_for(const AssemblyState& a, const BenchState& state, LengthUnit unit) {
    std::optional<int> places;
    for (const auto& end : a.ends)
        for (const auto& record : end.records) {
            const auto gauge = state.gauges.find(record.gauge);
            if (gauge != state.gauges.end())
                places = std::max(places.value_or(0), places_of(gauge->second.registered.resolution, unit));
        }
    return places.value_or(places_of(Length{}, unit));
}

json::array findings_of(const AssemblyState& a, int places, ShownUnit unit) {
    json::array out;
    for (const End end : {End::a, End::b})
        for (const auto& f : a.at(end).last_findings) {
            if (f.verdict == Verdict::conforms || conceded(a.at(end), f)) continue;
            auto one = reflect::write_struct(f);
            one["end"] = enum_name(end);
            one["message"] = reflect::write(words_of(f, places, unit));
            out.push_back(std::move(one));
        }
    return out;
}

void tell_entry(json::array& history, const Desk& desk, std::int64_t seq, std::string_view time, const std::string& who,
                std::string_view type, const json::object& body) {
    json::object told{{"seq", seq}, {"time", time}, {"who", who}, {"type", type}};
    if (const auto known = entry_body(type, body)) {
        told["message"] = reflect::write(
            words_of(*known, name_of(desk.state(), who), rules_in_force(desk.rules(), desk.state()).shown_unit));
        if (const auto* refused = std::get_if<entries::ReadingRefused>(&*known))
            told["why"] = reflect::write(refused->why);
        if (const auto* failed = std::get_if<entries::TagFailed>(&*known)) told["why"] = reflect::write(failed->why);
    }
    history.push_back(std::move(told));
}

// What speaks of the assembly, and what cast doubt on its gauge, in the journal's order.
Result<json::array> history_of(const Desk& desk, const Journal& journal, const json::object& traced) {
    json::array history;
    for (const auto& value : traced.at("entries").as_array()) {
        const auto& entry = value.as_object();
        tell_entry(history, desk, entry.at("seq").as_int64(), entry.at("time").as_string(),
                   std::string(entry.at("who").as_string()), entry.at("type").as_string(),
                   entry.at("body").as_object());
    }
    for (const auto& doubt : traced.at("doubts").as_array()) {
        const auto entry = journal.entry(doubt.at("seq").as_int64());
        if (!entry) return refuse(entry.error());
        if (*entry)
            tell_entry(history, desk, (*entry)->seq, doubt.at("time").as_string(), (*entry)->who, (*entry)->type,
                       (*entry)->body);
    }
    std::stable_sort(history.begin(), history.end(), [](const json::value& a, const json::value& b) {
        return a.at("seq").as_int64() < b.at("seq").as_int64();
    });
    return history;
}

}  // namespace

Result<json::object> shown_holds(const Desk& desk, const Journal& journal, bool all) {
    auto holds = all ? all_holds(journal) : open_holds(journal);
    if (!holds) return refuse(holds.error());
    auto doubted = doubts(journal, *holds);
    if (!doubted) return refuse(doubted.error());
    for (auto& hold : *holds) {
        const auto a = desk.state().assemblies.find(std::string(hold.at("serial").as_string()));
        if (a != desk.state().assemblies.end() && !hold.as_object().contains("settled_seq"))
            hold.as_object()["measured_by"] = ids(a->second.measured_by);
    }
    return json::object{
        {"holds", std::move(*holds)}, {"doubts", std::move(*doubted)}, {"people", names_of(desk.state())}};
}

Result<json::object> shown_assembly(const Desk& desk, const Journal& journal, const std::string& serial) {
    auto out = trace(journal, serial);
    if (!out) return out;
    auto doubted = doubts(journal, out->at("holds").as_array());
    if (!doubted) return refuse(doubted.error());
    (*out)["doubts"] = std::move(*doubted);
    auto history = history_of(desk, journal, *out);
    if (!history) return refuse(history.error());
    (*out)["history"] = std::move(*history);
    const auto& state = desk.state();
    (*out)["people"] = names_of(state);
    const auto known = state.assemblies.find(serial);
    if (known == state.assemblies.end()) return out;
    const auto& a = known->second;
    (*out)["number"] = a.number;
    (*out)["measured_by"] = ids(a.measured_by);
    if (a.stage != Stage::on_hold || !a.hold) return out;
    const auto unit = rules_in_force(desk.rules(), state).shown_unit;
    (*out)["findings"] = findings_of(a, places_for(a, state, length_unit(unit)), unit);
    (*out)["may"] = choices_json(a);
    (*out)["may_settle"] = settlers(state, a, rules_in_force(desk.rules(), state));
    return out;
}

}  // namespace crimpgate
