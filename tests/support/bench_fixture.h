// A bench to work at in tests: state, rules and a simulated clock, with an invented shop around it.
//
// Everything goes through decide(), so a test sees what the daemon would see. Every entry is kept, in order, so that a
// test can look for it and so that the whole can be folded again from JSON (refolded()). The framework is not included
// here: helpers return values, tests assert.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "station/bench/decide.h"

namespace crimpgate::test {

// 25.5 +-0.2 mm on flats 1, 3 and 4 of eight (the trade's example of a crimp); depth 38 -0.5 +1.0 mm; mark by sight,
// lubricant, bore pin; one re-crimp. Everything else invented.
SpecRow bench_row(const std::string& spec_id = "NH-2SN-08");

// Two ends of `spec`, quantity 3, hose lots H-1 and H-2, fitting lots FA-1 and FB-1.
entries::OrderOpened bench_order(const std::string& order = "A-100", const std::string& spec_a = "NH-2SN-08",
                                 const std::string& spec_b = "NH-2SN-08");

// 0.01 mm steps, standard uncertainty 0.012 mm (guard 0.0198 mm), proof limit 0.02 mm.
entries::GaugeRegistered caliper(const std::string& gauge = "CAL-1", Length uncertainty = 12_um);

struct Logged {
    Facts facts;
    EntryBody body;
};

class Bench {
  public:
    BenchState state;
    BenchRules rules;
    Now now;
    std::vector<Logged> log;

    // Empty, with nothing set up.
    Bench();
    // People: SET (setter), LEA and LEB (leads), OPA and OPB (operators). CAL-1 connected. RING-25 of 25.000 mm. One
    // row, one order A-100.
    static Bench set_up();
    // And OPA signed in, shift running, CAL-1 proved, order taken, lots and die set confirmed, set-up piece good:
    // the next reading begins the first assembly.
    static Bench ready();
    // The same with other rows at the ends.
    static Bench ready(const SpecRow& a, const SpecRow& b);

    // One second passes, then the command; its entries go to the log.
    Outcome run(const Command& command, const std::string& who);
    // The code of the refusal, or "".
    std::string ask(const Command& command, const std::string& who = "OPA");
    std::optional<Message> refusal;  // of the last command

    // A table proposed by SET and adopted by LEA; the code of the first refusal, or "".
    std::string adopt(const std::vector<SpecRow>& rows, const std::string& table = "t.csv");

    // A press of a gauge's button. Answers the code of a refused reading's reason, or "" when it was taken.
    std::string press(const std::string& mm, const std::string& gauge = "CAL-1");
    std::string yes(Characteristic what, bool answer = true, const std::string& who = "OPA");
    std::string see(Characteristic what, MarkSeen seen, const std::string& who = "OPA");

    // Does what next_step asks for, with good values.
    void prove(const std::string& gauge = "CAL-1", const std::string& mm = "25.00");
    void good_setup();
    // One step with a good value. False when the bench asks for none (no order, order done, on hold ...).
    bool good_step();
    // Good steps until the bench asks for this at that end.
    void work_to(Characteristic what, End end = End::a, std::int64_t flat = 0);
    // A whole assembly of good steps; its serial.
    std::string good_assembly();
    // Good steps to the end of the assembly in work.
    void finish();
    // Crimp readings from here on are these, all of the flats of the end.
    void press_crimps(const std::vector<std::string>& mm);
    void quarantine(const std::string& serial = "");
    void settle_ok(const std::string& serial, Settlement how, const std::string& who = "LEA");

    NextStep next() const { return next_step(state, rules, now); }
    const std::string& serial() const { return state.current; }
    AssemblyState& assembly(const std::string& serial) { return state.assemblies.at(serial); }

    // The last entry of that type; null when there is none.
    template <class Body>
    const Body* last() const {
        for (auto at = log.rbegin(); at != log.rend(); ++at)
            if (const auto* body = std::get_if<Body>(&at->body)) return body;
        return nullptr;
    }
    template <class Body>
    std::size_t count() const {
        std::size_t n = 0;
        for (const auto& entry : log)
            n += std::holds_alternative<Body>(entry.body) ? 1 : 0;
        return n;
    }
    bool was_passed(const std::string& serial) const;

    // The log through JSON and back into a fresh state; throws where an entry does not come back as itself.
    // `fresh` is an empty state, with something to recall from or without.
    BenchState refolded(BenchState fresh = {}) const;
};

// Everything that a bench remembers, as text, member by member.
std::string dump(const BenchState& state);
std::string dump(const NextStep& step);

}  // namespace crimpgate::test
