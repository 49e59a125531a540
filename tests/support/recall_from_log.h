// Recalls what a bench forgot from a log of entries: what the journal does for the desk.
#pragma once

#include <algorithm>

#include "tests/support/bench_fixture.h"

namespace crimpgate::test {

inline bool speaks_of(const EntryBody& body, const std::string& serial) {
    return std::visit(
        [&](const auto& b) {
            if constexpr (requires { b.serial == serial; }) {
                return b.serial == serial;
            } else if constexpr (requires { b.serials.front() == serial; }) {
                return std::find(b.serials.begin(), b.serials.end(), serial) != b.serials.end();
            } else {
                return false;
            }
        },
        body);
}

// `log` must outlive the assemblies.
inline void recall_from_log(const std::vector<Logged>& log, Assemblies& assemblies) {
    const auto recall = [&log](const std::string& serial, std::int64_t upto) -> std::optional<AssemblyState> {
        BenchState alone;
        std::int64_t number = 0;
        std::map<std::string, std::int64_t> started;  // of each order
        for (const auto& entry : log) {
            if (entry.facts.seq > upto) break;
            if (const auto* start = std::get_if<entries::AssemblyStarted>(&entry.body)) {
                ++started[start->order];
                if (start->serial == serial) number = started[start->order];
            }
            if (number > 0 && speaks_of(entry.body, serial)) apply(alone, entry.facts, entry.body);
        }
        auto* assembly = alone.assemblies.in_memory(serial);
        if (assembly == nullptr) return std::nullopt;
        assembly->number = number;
        return *assembly;
    };
    const auto of_shift = [&log](const std::string& shift, std::int64_t upto) {
        std::vector<std::string> serials;
        for (const auto& entry : log)
            if (const auto* start = std::get_if<entries::AssemblyStarted>(&entry.body);
                start != nullptr && start->shift == shift && entry.facts.seq <= upto)
                serials.push_back(start->serial);
        return serials;
    };
    assemblies.recall_with(recall, of_shift);
}

// The state without what is quiet: a bench that recalled something and one that did not are the same bench.
inline std::string dump_of_loud(BenchState state) {
    forget_quiet(state);
    return dump(state);
}

}  // namespace crimpgate::test
