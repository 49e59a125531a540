#include "station/daemon/shown_bench.h"

#include <boost/json.hpp>

#include "station/entries/describe_entries.h"
#include "station/json/reflect.h"
#include "station/words/finding_words.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

// The most places that a gauge at this bench shows.
int places_at(const BenchState& state, ShownUnit unit) {
    std::optional<int> places;
    for (const auto& [id, gauge] : state.gauges)
        if (gauge.registered.resolution > Length{})
            places = std::max(places.value_or(0), places_of(gauge.registered.resolution, length_unit(unit)));
    return places.value_or(places_of(Length{}, length_unit(unit)));
}

void tell_findings(json::object& out, const char* name, const BenchState& state, const std::string& serial,
                   ShownUnit unit) {
    auto* shown = out.if_contains(name);
    const auto known = state.assemblies.find(serial);
    if (shown == nullptr || known == state.assemblies.end()) return;
    const auto& a = known->second;
    auto* findings = shown->as_object().if_contains("findings");
    if (findings == nullptr || !a.hold || !a.hold->end) return;
    json::array told;
    for (const auto& f : a.at(*a.hold->end).last_findings) {
        if (f.verdict == Verdict::conforms) continue;
        auto one = reflect::write_struct(f);
        one["message"] = reflect::write(words_of(f, places_at(state, unit), unit));
        told.push_back(std::move(one));
    }
    *findings = std::move(told);
}

// What was just measured of an assembly, judged against its own row once more for the words alone.
void tell_last(json::object& out, const BenchState& state, ShownUnit unit) {
    auto* last = out.if_contains("last");
    if (last == nullptr || !state.last->taken) return;
    const auto& t = *state.last->taken;
    const auto a = state.assemblies.find(t.serial);
    if (a == state.assemblies.end() || !t.end || !t.what) return;
    const auto finding =
        judge_length(a->second.row(*t.end), *t.what, t.flat, Measured{t.value, t.uncertainty.value_or(Length{})});
    if (finding)
        last->as_object()["message"] =
            reflect::write(words_of(*finding, places_of(t.resolution, length_unit(unit)), unit));
}

}  // namespace

json::object shown_bench(const Desk& desk, const std::string& shop) {
    const auto& state = desk.state();
    const auto unit = rules_in_force(desk.rules(), state).shown_unit;
    auto out = desk.show();
    out["time_zone"] = desk.time_zone();
    out["shop"] = shop;
    tell_findings(out, "stopped", state, state.stopped, unit);
    tell_findings(out, "assembly", state, state.current, unit);
    tell_last(out, state, unit);
    return out;
}

}  // namespace crimpgate
