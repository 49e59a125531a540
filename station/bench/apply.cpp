#include <algorithm>

#include "station/bench/apply_audit.h"
#include "station/bench/apply_record.h"
#include "station/bench/apply_shop.h"
#include "station/bench/state.h"

namespace crimpgate {

using namespace entries;

EndReadings readings_of(const EndState& end) {
    EndReadings out;
    for (const auto& r : end.records) {
        switch (r.what) {
            case Characteristic::skive_outer:
                out.skive_outer = r.measured;
                break;
            case Characteristic::skive_inner:
                out.skive_inner = r.measured;
                break;
            case Characteristic::depth:
                out.depth = r.measured;
                break;
            case Characteristic::lubricant:
                out.lubricated = r.yes;
                break;
            case Characteristic::mark_before:
                out.mark_before_measured = r.measured;
                out.mark_before_seen = r.seen;
                break;
            case Characteristic::crimp_diameter:
                std::erase_if(out.crimps, [&](const PlaceReading& p) { return p.flat == r.flat; });
                out.crimps.push_back({r.flat, r.measured.value_or(Measured{})});
                break;
            case Characteristic::spread:
                break;  // computed, never taken
            case Characteristic::mark_after:
                out.mark_after_measured = r.measured;
                out.mark_after_seen = r.seen;
                break;
            case Characteristic::bore_pin:
                out.pin_passed = r.yes;
                break;
        }
    }
    return out;
}

bool pushed_in(const EndState& end) {
    return end.crimped || std::any_of(end.records.begin(), end.records.end(),
                                      [](const StepRecord& r) { return r.what == Characteristic::mark_before; });
}

End end_in_work(const BenchState& s) {
    if (s.current.empty()) return End::a;
    return s.assemblies.at(s.current).at(End::a).done ? End::b : End::a;
}

const SpecRow* row_in_work(const BenchState& s) {
    const End end = end_in_work(s);
    if (!s.current.empty()) return &s.assemblies.at(s.current).row(end);
    if (s.order.empty()) return nullptr;
    const auto& order = s.orders.at(s.order).order;
    const auto row = s.rows.find(end == End::a ? order.spec_a : order.spec_b);
    return row == s.rows.end() ? nullptr : &row->second;
}

std::string hose_lot_in_work(const BenchState& s) {
    if (!s.current.empty()) return s.assemblies.at(s.current).started.hose_lot;
    return s.lots ? s.lots->hose : std::string();
}

std::string stream_of(const SpecRow& row) {
    return row.spec_id + "|" + row.revision + "|" + row.crimper + "|" + row.die_set;
}

std::string setup_key(const SpecRow& row, const std::string& hose_lot) {
    return stream_of(row) + "|" + hose_lot;
}

const std::pair<const std::string, PersonState>* person_of_code(const BenchState& s, const std::string& code,
                                                                Secret secret) {
    for (const auto& known : s.people)
        if (!known.second.retired &&
            (known.second.badge == code || (secret == Secret::passphrase && known.first == code)))
            return &known;
    return nullptr;
}

namespace {

// What only a crimped part has; measured anew after a re-crimp.
bool after_the_crimp(Characteristic what) {
    return what == Characteristic::crimp_diameter || what == Characteristic::mark_after ||
           what == Characteristic::bore_pin;
}

class Apply : ApplyShop, ApplyAudit, ApplyRecord {
  public:
    using ApplyAudit::operator();
    using ApplyRecord::operator();
    using ApplyShop::operator();
    Apply(BenchState& state, const Facts& facts)
        : ApplyShop(state, facts), ApplyAudit(state, facts), ApplyRecord(state, facts), s_(state), f_(facts) {}

    void operator()(const StationStarted&) {
        for (auto& [id, gauge] : s_.gauges)
            gauge.connected = false;
    }
    void operator()(const StationStopped&) {}
    void operator()(const ClockStepped& e) { s_.clock_doubted = s_.clock_doubted || e.stops_line; }
    void operator()(const ClockAccepted&) {
        s_.clock_doubted = false;
        prove_anew();  // how long a proof counts was reckoned by the clock that was wrong
    }

    void operator()(const GaugeRegistered& e) {
        // Registered again: new calibration figures, so everything about its last proof is void.
        const bool connected = s_.gauges.contains(e.gauge) && s_.gauges[e.gauge].connected;
        const auto measured = std::move(s_.gauges[e.gauge].measured_since_proof);
        s_.gauges[e.gauge] = {};
        s_.gauges[e.gauge].registered = e;
        s_.gauges[e.gauge].connected = connected;
        s_.gauges[e.gauge].measured_since_proof = measured;
    }
    void operator()(const ReferenceRegistered& e) { s_.references[e.reference] = e; }
    void operator()(const ProofBegun& e) { s_.proof = ProofPending{e.gauge, e.reference}; }
    void operator()(const GaugeProved& e) {
        s_.proof.reset();
        auto& gauge = s_.gauges[e.gauge];
        gauge.needs_proof = !e.passed;
        gauge.used_since_proof = false;
        gauge.measured_since_proof.clear();  // held as suspect by entries of their own when the proof failed
        if (e.passed) {
            gauge.lost = false;
            gauge.proof_seq = f_.seq;
            gauge.valid_until_utc_ms = e.valid_until_utc_ms;
            gauge.prover = f_.who;
        } else {
            // A set-up that was measured with it says nothing any more.
            s_.setups.clear();
            s_.setup_crimper.clear();
            s_.setup.reset();
        }
    }
    void operator()(const GaugeWithdrawn& e) {
        if (s_.proof && s_.proof->gauge == e.gauge) s_.proof.reset();
        s_.gauges.erase(e.gauge);
        s_.setups.clear();
        s_.setup_crimper.clear();
        s_.setup.reset();
    }
    void operator()(const GaugeLost& e) {
        if (!s_.gauges.contains(e.gauge)) return;
        s_.gauges[e.gauge].connected = false;
        s_.gauges[e.gauge].lost = true;
        if (s_.proof && s_.proof->gauge == e.gauge) s_.proof.reset();
    }
    void operator()(const GaugeBack& e) {
        if (!s_.gauges.contains(e.gauge)) return;
        s_.gauges[e.gauge].connected = true;
        if (e.needs_proof) s_.gauges[e.gauge].needs_proof = true;
    }

    void operator()(const OrderOpened& e) { s_.orders[e.order].order = e; }

    void operator()(const ShiftStarted& e) {
        s_.shift = e.shift;
        s_.known_shifts.insert(e.shift);
        s_.last_shift_date = e.date;
        s_.shifts_of_day = e.number;
        prove_anew();        // every gauge before its first reading of the shift
        s_.mounted.clear();  // nobody knows what was done to the crimper in between: die set and set-up are new
    }
    void operator()(const ShiftEnded&) {
        s_.shift.clear();
        s_.order.clear();
        s_.lots.reset();
        s_.setup.reset();
    }
    void operator()(const OrderTaken& e) {
        s_.order = e.order;
        if (s_.lots && s_.lots->order != e.order) s_.lots.reset();
        s_.setup.reset();
    }
    void operator()(const LotsConfirmed& e) {
        s_.lots = LotsInUse{e.order, e.hose_lot, e.fitting_a_lot, e.fitting_b_lot};
        s_.setup.reset();
    }
    void operator()(const DieConfirmed& e) {
        auto& mounted = s_.mounted[e.crimper];
        if (mounted != e.die_set || s_.settings[e.crimper] != e.setting) {
            // Taking a die set out and in again is a new set-up, even if it is the same one; so is another setting.
            std::erase_if(s_.setups, [&](const std::string& key) { return s_.setup_crimper[key] == e.crimper; });
            s_.setup.reset();
        }
        mounted = e.die_set;
        s_.settings[e.crimper] = e.setting;
    }
    void operator()(const SetupJudged& e) {
        s_.setup.reset();
        s_.last_setup = e;
        watch_setup(e);
        if (e.passed) {
            s_.setups.insert(e.key);
            s_.setup_crimper[e.key] = e.crimper;
        }
    }

    void operator()(const AssemblyStarted& e) {
        AssemblyState a;
        a.started = e;
        a.started_seq = f_.seq;
        auto& order = s_.orders[e.order];
        a.number = order.passed + order.open + order.scrapped + 1;
        ++order.open;
        s_.serial_counter = e.counter;
        s_.current = e.serial;
        s_.assemblies.put(e.serial, std::move(a));
    }
    void operator()(const ReadingTaken& e) {
        s_.last = LastSaid{f_.seq, f_.utc_ms, e, std::nullopt};
        auto& gauge = s_.gauges[e.gauge];
        if (e.purpose != Purpose::proof) gauge.used_since_proof = true;
        StepRecord r;
        r.seq = f_.seq;
        r.what = e.what.value_or(Characteristic::crimp_diameter);
        r.flat = e.flat;
        r.measured = Measured{e.value, e.uncertainty.value_or(Length{})};
        r.verdict = e.verdict.value_or(Verdict::conforms);
        r.side = e.side.value_or(Side::none);
        r.gauge = e.gauge;
        r.who = f_.who;
        if (e.purpose == Purpose::setup) {
            // A set-up piece is of the row in work: begun anew whenever that has changed.
            const SpecRow* row = row_in_work(s_);
            const std::string key = row == nullptr ? std::string() : setup_key(*row, hose_lot_in_work(s_));
            if (!s_.setup || s_.setup->key != key) s_.setup = SetupWork{key, {}};
            s_.setup->records.push_back(std::move(r));
        } else if (e.purpose == Purpose::assembly && e.end) {
            auto& a = s_.assemblies.at(e.serial);
            gauge.measured_since_proof.insert(e.serial);
            a.measured_by.insert(f_.who);
            if (r.what == Characteristic::crimp_diameter) a.at(*e.end).crimped = true;
            a.at(*e.end).records.push_back(std::move(r));
        }
    }
    void operator()(const ReadingRefused& e) { s_.last = LastSaid{f_.seq, f_.utc_ms, std::nullopt, e}; }
    void operator()(const ReadingVoided& e) {
        auto drop = [&](std::vector<StepRecord>& records) {
            std::erase_if(records, [&](const StepRecord& r) { return r.seq == e.voided_seq; });
        };
        if (e.serial.empty()) {
            if (s_.setup) drop(s_.setup->records);
        } else {
            auto& end = s_.assemblies.at(e.serial).at(e.end);
            for (const auto& r : end.records)
                if (r.seq == e.voided_seq && r.verdict == Verdict::uncertain) ++end.voided_uncertain[{r.what, r.flat}];
            drop(end.records);
            end.done = false;
        }
    }
    void operator()(const StepConfirmed& e) {
        auto& a = s_.assemblies.at(e.serial);
        StepRecord r;
        r.seq = f_.seq;
        r.what = e.what;
        r.seen = e.seen;
        r.yes = e.yes;
        r.verdict = e.verdict;
        r.who = f_.who;
        a.measured_by.insert(f_.who);
        a.at(e.end).records.push_back(std::move(r));
    }
    void operator()(const EndJudged& e) {
        auto& assembly = s_.assemblies.at(e.serial);
        auto& end = assembly.at(e.end);
        watch_end(e, assembly, readings_of(end).crimps.size());
        end.last_findings = e.findings;
        end.done = e.verdict == Verdict::conforms && e.missing.empty();
    }
    void operator()(const AssemblyHeld& e) {
        auto& a = s_.assemblies.at(e.serial);
        set_stage(a, Stage::on_hold);
        auto doubted = a.hold ? std::move(a.hold->doubted) : std::map<std::string, Length>();
        // What a second gauge does not share is measured again too, as if the first had failed a proof.
        if (e.cause == HoldCause::suspect || e.cause == HoldCause::overturned) doubted[e.gauge] = e.gauge_error;
        a.hold =
            HoldState{f_.seq, e.cause, e.end, e.gauge, e.gauge_error, e.reason, e.recrimp_possible, std::move(doubted)};
        a.rework.reset();
        if (s_.current == e.serial) {
            s_.current.clear();
            s_.stopped = e.serial;
        }
    }
    void operator()(const PartQuarantined& e) {
        if (s_.stopped == e.serial) s_.stopped.clear();
    }
    void operator()(const HoldSettled& e) {
        auto& a = s_.assemblies.at(e.serial);
        if (s_.stopped == e.serial) s_.stopped.clear();
        set_stage(a, e.how == Settlement::scrap ? Stage::scrapped : Stage::to_be_taken_up);
        a.rework = e.how;
        switch (e.how) {
            case Settlement::scrap:
                break;
            case Settlement::recrimp:
                ++a.recrimps;
                a.proof_test.reset();  // what was proved is not what the crimper leaves behind
                for (auto& end : a.ends)
                    renew(end);
                break;
            case Settlement::remeasure:
                remeasure(a);
                break;
            case Settlement::concession:
                a.concession_reference = e.customer_reference;
                a.concession_by = f_.who;
                for (auto& end : a.ends)
                    concede(end);
                break;
        }
        a.hold.reset();
    }
    void operator()(const AssemblyTakenUp& e) {
        auto& a = s_.assemblies.at(e.serial);
        set_stage(a, Stage::in_work);
        s_.current = e.serial;
        s_.order = a.started.order;
        // Which lots lie at the bench for the next one is asked again, unless they are these.
        if (s_.lots && (s_.lots->order != a.started.order || s_.lots->hose != a.started.hose_lot ||
                        s_.lots->fitting_a != a.started.fitting_a_lot || s_.lots->fitting_b != a.started.fitting_b_lot))
            s_.lots.reset();
        s_.setup.reset();
    }
    void operator()(const AssemblyPassed& e) {
        auto& a = s_.assemblies.at(e.serial);
        set_stage(a, Stage::passed);
        a.rework.reset();
        a.passed_seq = f_.seq;
        a.passed_utc_ms = f_.utc_ms;
        a.passed_by = f_.who;
        if (s_.current == e.serial) s_.current.clear();
    }

    void operator()(const TagPrinting& e) {
        tag(e.serial, e.copy, TagState::printing);
        s_.assemblies.at(e.serial).tag_made_seq = f_.seq;
        s_.assemblies.at(e.serial).tag_file = e.file;
        s_.assemblies.at(e.serial).tag_printer = e.printer;
    }
    void operator()(const TagPrinted& e) { tag(e.serial, e.copy, TagState::printed); }
    void operator()(const TagFailed& e) { tag(e.serial, e.copy, TagState::failed); }
    void operator()(const TagInDoubt& e) { tag(e.serial, e.copy, TagState::in_doubt); }
    void operator()(const TagDoubtSettled& e) { tag(e.serial, e.copy, e.found ? TagState::printed : TagState::failed); }

  private:
    void prove_anew() {
        for (auto& [id, gauge] : s_.gauges)
            gauge.needs_proof = true;
    }

    void set_stage(AssemblyState& a, Stage to) {
        auto& order = s_.orders[a.started.order];
        auto counter = [&](Stage stage) -> std::int64_t& {
            if (stage == Stage::passed) return order.passed;
            return stage == Stage::scrapped ? order.scrapped : order.open;
        };
        --counter(a.stage);
        a.stage = to;
        ++counter(a.stage);
    }

    // An end that was never crimped has nothing to renew and keeps its attempt. What was conceded of the crimp says
    // nothing about the new one.
    static void renew(EndState& end) {
        const auto before = end.records.size();
        std::erase_if(end.records, [](const StepRecord& r) { return after_the_crimp(r.what); });
        if (end.records.size() != before) ++end.attempt;
        end.done = false;
        end.crimped = false;
        std::erase_if(end.conceded,
                      [](const Finding& f) { return after_the_crimp(f.what) || f.what == Characteristic::spread; });
        end.last_findings.clear();
        end.voided_uncertain.clear();
    }

    // What does not conform is measured again, with the whole crimp where it is the crimp; after a gauge failed its
    // proof everything behind the crimp that it measured, and on a hose that is not yet in its shell everything. The
    // decision has made sure that what stays may stay.
    static void remeasure(AssemblyState& a) {
        const auto& doubted = a.hold->doubted;
        for (auto& end : a.ends) {
            bool crimp = false;
            std::vector<Characteristic> again;
            for (const auto& r : end.records) {
                if (!after_the_crimp(r.what) && pushed_in(end)) continue;
                const bool anew = doubted.empty()
                                      ? r.verdict != Verdict::conforms && counts(end, r) && !may_stay(end, r)
                                      : doubted.contains(r.gauge);
                if (!anew) continue;
                again.push_back(r.what);
                crimp = crimp || r.what == Characteristic::crimp_diameter;
            }
            // A spread out of its limit shows in no single reading.
            for (const auto& f : end.last_findings)
                if (doubted.empty() && f.what == Characteristic::spread && f.verdict != Verdict::conforms) crimp = true;
            std::erase_if(end.records, [&](const StepRecord& r) {
                if (r.what == Characteristic::crimp_diameter) return crimp;
                return std::find(again.begin(), again.end(), r.what) != again.end();
            });
            if (!crimp && again.empty()) continue;
            end.done = false;
            end.last_findings.clear();
            end.voided_uncertain.clear();
        }
    }

    // Of several at one place the last reading counts.
    static bool counts(const EndState& end, const StepRecord& record) {
        return std::none_of(end.records.begin(), end.records.end(), [&](const StepRecord& r) {
            return r.seq > record.seq && r.what == record.what && r.flat == record.flat;
        });
    }

    static bool may_stay(const EndState& end, const StepRecord& r) {
        const auto value = r.measured ? std::optional(r.measured->value) : std::nullopt;
        return std::any_of(end.conceded.begin(), end.conceded.end(), [&](const Finding& f) {
            return f.what == r.what && f.flat == r.flat && f.value == value && f.seen == r.seen;
        });
    }

    static void concede(EndState& end) {
        for (const auto& f : end.last_findings)
            if (f.verdict != Verdict::conforms) end.conceded.push_back(f);
    }

    void tag(const std::string& serial, std::int64_t copy, TagState to) {
        auto& a = s_.assemblies.at(serial);
        a.tag = to;
        a.tag_copy = copy;
        a.tag_seq = f_.seq;
    }

    BenchState& s_;
    const Facts& f_;
};

}  // namespace

bool quiet(const AssemblyState& a) {
    if (a.stage == Stage::scrapped) return true;
    return a.stage == Stage::passed && a.tag == TagState::printed && a.tag_made_seq >= a.passed_seq;
}

void forget_quiet(BenchState& state) {
    if (!state.assemblies.can_recall()) return;
    state.assemblies.forget([&](const std::string& serial, const AssemblyState& a) {
        return quiet(a) && serial != state.current && serial != state.stopped;
    });
}

void apply(BenchState& state, const Facts& facts, const EntryBody& body) {
    state.assemblies.upto(facts.seq - 1);
    std::visit(Apply(state, facts), body);
    state.last_seq = facts.seq;
    state.last_utc_ms = facts.utc_ms;
    state.assemblies.upto(facts.seq);
    if (std::holds_alternative<ShiftStarted>(body) || std::holds_alternative<ShiftEnded>(body)) forget_quiet(state);
}

}  // namespace crimpgate
