// The facts, joined once: which assembly, spec row, set-up and gauges an end belongs to, which judgements count.
//
// Everything here points into the facts, which outlive it. Nothing is an error: what the facts do not hold is null.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "reports/audit/audit.h"
#include "reports/audit/figures.h"
#include "reports/statistics/run_rules.h"

namespace crimpgate::audit {

struct EndView {
    const EndFact* end = nullptr;
    const AssemblyFact* assembly = nullptr;
    const StreamFact* stream = nullptr;
    const SetupFact* setup = nullptr;  // the passed one that it was made on
    bool last = false;      // judgement of its attempt: an end that was held to be measured again is judged twice
    bool point = false;     // of the charts: the last judgement, with every place measured
    double off_middle = 0;  // of the band, nm; where there is a mean and a stream
    std::vector<std::string_view> gauges;      // of its crimp diameters that count, each once
    std::vector<const ReadingFact*> readings;  // its crimp diameters that count
    bool has_level() const { return end->mean.has_value() && stream != nullptr; }
    const std::string& die_set() const { return end->end == "a" ? assembly->die_set_a : assembly->die_set_b; }
    const std::string& crimper() const { return end->end == "a" ? assembly->crimper_a : assembly->crimper_b; }
    const std::string& spec() const { return end->end == "a" ? assembly->spec_a : assembly->spec_b; }
    const std::string& revision() const { return end->end == "a" ? assembly->revision_a : assembly->revision_b; }
    const std::string& fitting_lot() const {
        return end->end == "a" ? assembly->fitting_a_lot : assembly->fitting_b_lot;
    }
};

struct Work {
    const AuditFacts* facts = nullptr;
    LengthText lengths{false};
    statistics::RunRules rules;
    std::vector<std::string> rule_codes;
    std::unordered_map<std::string_view, const AssemblyFact*> assemblies;      // by serial
    std::unordered_map<std::string_view, std::vector<const HoldFact*>> holds;  // by serial
    std::vector<EndView> ends;                                                 // of known assemblies, by seq

    bool inches() const { return lengths.inches(); }
};

Work work_of(const AuditFacts& facts, const Choices& choices);

}  // namespace crimpgate::audit
