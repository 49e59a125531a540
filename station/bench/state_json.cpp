#include "station/bench/state_json.h"

#include "station/bench/describe_state.h"
#include "station/json/reflect.h"

namespace crimpgate::reflect {

// The assemblies that are in memory: an array of [serial, assembly], as a map's.
template <>
inline json::value write(const Assemblies& assemblies) {
    json::array out;
    for (const auto& [serial, assembly] : assemblies)
        out.push_back(json::array{json::string(serial), write_struct(assembly)});
    return out;
}

template <>
inline Result<void> read(const json::value& in, Assemblies& out, const std::string& path) {
    Assemblies::Map known;
    if (auto ok = read(in, known, path); !ok) return ok;
    for (auto& [serial, assembly] : known)
        out.put(serial, std::move(assembly));
    return {};
}

}  // namespace crimpgate::reflect

namespace crimpgate {

boost::json::object state_json(const BenchState& state) {
    return reflect::write_struct(state);
}

Result<BenchState> state_of_json(const boost::json::object& object) {
    auto state = reflect::from_json<BenchState>(object);
    if (state) state->assemblies.upto(state->last_seq);
    return state;
}

}  // namespace crimpgate
