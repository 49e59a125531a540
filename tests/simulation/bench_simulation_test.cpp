// Random shifts: operators, good and bad presses, unplugged gauges, failed proofs, settling by whoever comes by, clocks
// that jump, restarts at any instant. After each command a witness checks the rules on the entries alone, and every so
// often the whole journal is folded anew and must give the same bench.
//
// A run is reproduced by its number: CRIMPGATE_SEED=n tests_simulation. CRIMPGATE_SHIFTS=n runs more of them.
#include <cstdlib>
#include <random>

#include "tests/simulation/witness.h"
#include "tests/support/bench_fixture.h"
#include "tests/support/catch.h"
#include "tests/support/recall_from_log.h"

using namespace crimpgate;
using namespace crimpgate::test;
using namespace crimpgate::commands;

namespace {

class Shift {
  public:
    explicit Shift(std::uint64_t seed) : dice_(seed) {
        auto row_a = bench_row("ROW-A");
        auto row_b = bench_row("ROW-B");
        if (chance(30)) row_b.die_set = "D-28";
        if (chance(50)) row_b.crimper = "C-2";
        if (chance(30)) row_a.mark_check = MarkCheck::measured;
        if (chance(30)) row_b.lubricant.clear();
        if (chance(30)) row_b.bore_pin.reset();
        if (chance(30)) row_a.flats = {2, 6};
        row_b.recrimps_allowed = roll(3);
        if (chance(20)) {
            row_a.skive = Skive::outer;
            row_a.skive_outer = Toleranced{38'000_um, 500_um, 1'000_um};
        }
        b_ = Bench::set_up();
        tell_witness(b_.log.size());
        auto order = bench_order("S-1", "ROW-A", "ROW-B");
        order.quantity = 4 + roll(4);
        auto second = bench_order("S-2", "ROW-B", "ROW-A");
        run(ProposeTable{"t", "0", {row_a, row_b}, {}, false}, "SET");
        run(AdoptProposal{b_.state.last_seq}, "LEA");
        if (chance(50)) order.proof_test = entries::ProofTestAsked{Pressure::from_bar(550), 30, "oil"};
        // Ester on a hose to EN 853: a lead has to answer for it before the order is taken.
        if (chance(40)) {
            order.application = Application{};
            order.application->fluid = Fluid::ester;
        }
        run(OpenOrder{order}, "SET");
        run(OpenOrder{second}, "SET");
        run(RegisterGauge{caliper("CAL-2", 6_um)}, "SET");
        run(GaugeReturned{"CAL-2"}, "");
        run(SignIn{}, "OPA");
        run(StartShift{}, "OPA");
        recall_from_log(b_.log, b_.state.assemblies);
    }

    // Complaints of the first command that breaks a rule.
    std::vector<std::string> work(int steps) {
        for (int i = 0; i < steps && complaints_.empty(); ++i) {
            if (chance(90))
                go_on();
            else
                disturb();
            if (chance(1)) refold();
        }
        if (complaints_.empty()) refold();
        return complaints_;
    }
    const Witness& witness() const { return witness_; }
    std::size_t entries() const { return b_.log.size(); }

  private:
    std::int64_t roll(std::int64_t sides) {
        return static_cast<std::int64_t>(dice_() % static_cast<std::uint64_t>(sides));
    }
    bool chance(int percent) { return roll(100) < percent; }
    template <class T>
    const T& one_of(const std::vector<T>& all) {
        return all[static_cast<std::size_t>(roll(static_cast<std::int64_t>(all.size())))];
    }
    std::string anybody() { return one_of<std::string>({"OPA", "OPB", "LEA", "LEB", "SET", b_.state.person}); }
    std::string any_gauge() { return one_of<std::string>({"CAL-1", "CAL-1", "CAL-2"}); }
    std::string any_serial() {
        if (serials_.empty()) return "K1";
        // Mostly one that the bench still has something to do with; sometimes one from long ago.
        if (b_.state.assemblies.empty() || chance(20)) return one_of(serials_);
        auto at = b_.state.assemblies.begin();
        std::advance(at, roll(static_cast<std::int64_t>(b_.state.assemblies.size())));
        return at->first;
    }

    void tell_witness(std::size_t entries) {
        std::vector<std::pair<Facts, EntryBody>> heard;
        for (auto at = b_.log.end() - static_cast<std::ptrdiff_t>(entries); at != b_.log.end(); ++at) {
            heard.emplace_back(at->facts, at->body);
            if (const auto* started = std::get_if<entries::AssemblyStarted>(&at->body))
                serials_.push_back(started->serial);
        }
        complaints_ = witness_.hear(heard);
    }
    void run(const Command& command, const std::string& who) {
        const auto before = b_.log.size();
        b_.run(command, who);
        tell_witness(b_.log.size() - before);
    }
    void press(const std::string& gauge, Length value) {
        Reading reading;
        reading.value = Length::from_nm(value.nm() / 10'000 * 10'000);
        reading.resolution = 10_um;
        reading.raw = "x";
        run(GaugeSaid{gauge, reading}, "");
    }

    // What the bench asks for, done well nine times in ten.
    void go_on() {
        const auto step = b_.next();
        const std::string& who = b_.state.person;
        switch (step.ask) {
            case Ask::clock:
                return run(AcceptClock{}, chance(50) ? "LEA" : anybody());
            case Ask::sign_in:
                return run(SignIn{}, one_of<std::string>({"OPA", "OPB", "LEA"}));
            case Ask::quarantine:
                return run(PutInQuarantine{b_.state.stopped}, who);
            case Ask::shift:
                return run(StartShift{}, who);
            case Ask::proof_reading:
                return press(step.gauge, 25'000_um + Length::from_um(chance(94) ? roll(30) - 15 : 60));
            case Ask::proof:
                return run(ProveGauge{any_gauge(), "RING-25"}, who);
            case Ask::gauge:
                return run(GaugeReturned{any_gauge()}, "");
            case Ask::order:
            case Ask::order_done:
                if (chance(50)) return settle();
                if (chance(30)) return run(OverrideApplication{"S-1", chance(80) ? "asked" : ""}, anybody());
                return run(TakeOrder{chance(50) ? "S-1" : "S-2"}, who);
            case Ask::lots:
                return run(ConfirmLots{chance(90) ? "H-1" : "H-2", "FA-1", "FB-1"}, who);
            case Ask::die: {
                const auto& row = *row_in_work(b_.state);
                return run(ConfirmDie{row.die_set, row.crimper, "4"}, who);
            }
            case Ask::confirm: {
                const bool good = chance(98);
                if (step.what == Characteristic::mark_before || step.what == Characteristic::mark_after)
                    return run(Confirm{step.what, std::nullopt, good ? MarkSeen::at_edge : MarkSeen::gap}, who);
                return run(Confirm{step.what, good, std::nullopt}, who);
            }
            case Ask::proof_test: {
                const auto asked = *b_.assembly(step.serial).started.proof_test;
                TestProof test{asked.pressure, asked.hold_s, asked.medium, "nothing", "M-1"};
                if (chance(6)) test.seen = one_of<std::string>({"leak", "moved", "burst"});
                if (chance(5)) test.reached = Pressure::from_kpa(asked.pressure.kpa() - 1);
                if (chance(5)) test.held_s -= 1;
                if (chance(2)) test.medium = "nitrogen";
                return run(test, who);
            }
            case Ask::setup:
            case Ask::measure:
            case Ask::again:
            case Ask::sample:
            case Ask::returned:  // the simulation opens none
                return measure(step);
            case Ask::study:
                if (b_.state.person != step.person) return run(SignIn{}, step.person);
                return press(chance(90) ? step.gauge : any_gauge(), 25'500_um + Length::from_um(roll(60) - 30));
        }
    }

    void measure(const NextStep& step) {
        const auto& band = *step.band;
        Length value = band.middle() + Length::from_um(roll(60) - 30);
        if (step.what == Characteristic::mark_before || step.what == Characteristic::mark_after) value = 100_um;
        const auto kind = roll(100);
        if (kind < 4) value = band.upper - Length::from_um(roll(20));                     // too close to call
        if (kind >= 4 && kind < 8) value = band.upper + Length::from_um(10 + roll(60));   // over
        if (kind >= 8 && kind < 10) value = band.lower - Length::from_um(10 + roll(60));  // under
        if (kind == 10) value = 12'340_um;                                                // the wrong thing
        press(any_gauge(), value);
    }

    void settle() {
        const auto how = one_of<Settlement>({Settlement::recrimp, Settlement::scrap, Settlement::remeasure,
                                             Settlement::remeasure, Settlement::concession});
        run(SettleHold{any_serial(), how, chance(95) ? "seen" : "", chance(90) ? "REF" : ""},
            one_of<std::string>({"LEA", "LEB", "LEB", anybody()}));
    }

    void disturb() {
        switch (roll(19)) {
            case 0:
                return run(GaugeGone{any_gauge(), message("port.gone")}, "");
            case 1:
            case 2:
                return run(GaugeReturned{any_gauge()}, "");
            case 3:
                return run(ProveGauge{any_gauge(), "RING-25"}, anybody());
            case 4:
                if (!chance(5)) return settle();
                run(WithdrawGauge{"CAL-2", "fell"}, anybody());
                run(RegisterGauge{caliper("CAL-2", 6_um)}, "SET");
                return run(GaugeReturned{"CAL-2"}, "");
            case 5:
            case 6:
            case 7:
                return settle();
            case 8:
            case 9:
            case 10:
                return run(TakeUp{any_serial()}, b_.state.person);
            case 11:
                return run(VoidLast{"askew"}, anybody());
            case 12:
                return run(HoldAssembly{"odd", chance(50) ? "" : any_serial()}, anybody());
            case 13:
                return run(SignIn{}, anybody());
            case 14:
                if (chance(80)) return tags();
                b_.now.utc_ms += chance(50) ? -3'600'000 : 5 * 3'600'000LL;
                return;
            case 15:
                if (chance(50)) return run(SignOut{}, b_.state.person);
                return run(EndShift{}, b_.state.person);
            case 16:
                return press(any_gauge(), Length::from_um(20'000 + roll(20'000)));
            case 17:
                return restart();
            default:
                return tags();
        }
    }

    void tags() {
        const std::string serial = any_serial();
        const auto known = b_.state.assemblies.find(serial);
        if (known == b_.state.assemblies.end()) return;
        const auto* copy = &known->second.tag_copy;
        switch (roll(4)) {
            case 0:
                return run(RecordTag{entries::TagPrinting{serial, *copy + roll(2), "torn", "0", "f", ""}},
                           chance(50) ? "" : anybody());
            case 1:
                return run(RecordTag{entries::TagPrinted{serial, *copy, ""}}, "");
            case 2:
                return run(RecordTag{entries::TagInDoubt{serial, *copy}}, "");
            default:
                return run(SettleTagDoubt{serial, chance(50)}, anybody());
        }
    }

    // R2: folding the journal gives the bench that was.
    void refold() {
        const auto again = forgetful();
        if (dump_of_loud(again) != dump_of_loud(b_.state))
            complaints_.push_back("R2: the journal folds to another bench");
        if (dump(next_step(again, b_.rules, b_.now)) != dump(b_.next()))
            complaints_.push_back("R2: the journal folds to another next step");
    }
    // Folded as the station does it: what is quiet is forgotten, and recalled from the log.
    BenchState forgetful() const {
        BenchState fresh;
        recall_from_log(b_.log, fresh.assemblies);
        return b_.refolded(std::move(fresh));
    }
    void restart() {
        refold();
        b_.state = forgetful();
        const EntryBody started = entries::StationStarted{"0", "0", "Europe/Oslo"};
        const Facts facts{b_.state.last_seq + 1, b_.now.utc_ms, ""};
        apply(b_.state, facts, started);
        b_.log.push_back({facts, started});
        const auto complaints = complaints_;
        tell_witness(1);
        complaints_.insert(complaints_.end(), complaints.begin(), complaints.end());
        if (!complaints_.empty()) return;
        run(GaugeReturned{"CAL-1"}, "");
    }

    std::mt19937_64 dice_;
    Bench b_;
    std::vector<std::string> serials_;
    Witness witness_;
    std::vector<std::string> complaints_;
};

std::uint64_t from_environment(const char* name, std::uint64_t otherwise) {
    const char* text = std::getenv(name);
    return text == nullptr ? otherwise : std::strtoull(text, nullptr, 10);
}

}  // namespace

TEST_CASE("R1 to R11: in random shifts no entry breaks a rule, and the journal always folds to the bench that was") {
    const auto first = from_environment("CRIMPGATE_SEED", 1);
    const auto shifts = from_environment("CRIMPGATE_SHIFTS", 150);
    std::size_t passed = 0;
    std::size_t clean = 0;
    std::size_t suspects = 0;
    for (auto seed = first; seed < first + shifts; ++seed) {
        INFO("reproduce with CRIMPGATE_SEED=" << seed);
        Shift shift(seed);
        const auto complaints = shift.work(400);
        for (const auto& complaint : complaints)
            FAIL_CHECK(complaint);
        REQUIRE(complaints.empty());
        passed += shift.witness().passed();
        clean += shift.witness().passed_clean();
        suspects += shift.witness().suspects();
    }
    // The shifts did work, and trouble: a simulation in which nothing happens proves nothing.
    if (shifts >= 100) {
        CHECK(clean > shifts);
        CHECK(passed > clean);
        CHECK(suspects > shifts / 4);
    }
}
