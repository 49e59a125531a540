// The part of applying that is the QC lead's: charts, the drift watch, gauge studies, samples, signatures. Internal to
// station/bench.
#pragma once

#include <utility>

#include "station/bench/state.h"

namespace crimpgate {

class ApplyAudit {
  public:
    ApplyAudit(BenchState& state, const Facts& facts) : s_(state), f_(facts) {}

    void operator()(const entries::LimitsFrozen& e) { s_.frozen[{e.stream, e.chart}] = e; }
    void operator()(const entries::LimitsReleased& e) { s_.frozen.erase({e.stream, e.chart}); }
    void operator()(const entries::WatchSet& e) { s_.watch = e; }
    // The set-up has to show again that it sits well, before the next assembly is begun on it.
    void operator()(const entries::DriftWarned& e) {
        s_.setups.erase(e.key);
        s_.drifted[e.key] = e;
    }
    void operator()(const entries::ShiftSignedOff& e) { s_.signed_off[e.shift] = e.upto_seq; }

    void operator()(const entries::StudyPlanned& e) {
        StudyState study;
        study.plan = e;
        study.planned_by = f_.who;
        s_.studies[e.study] = std::move(study);
    }
    void operator()(const entries::StudyBegun& e) { s_.study = e.study; }
    void operator()(const entries::StudyLeft&) { s_.study.clear(); }
    void operator()(const entries::StudyMeasured& e) {
        auto& study = s_.studies[e.study];
        study.measured[e.turn] = e;
        study.measured_by[e.turn] = f_.who;
        used(e.gauge);
    }
    void operator()(const entries::StudyTurnVoided& e) {
        auto& study = s_.studies[e.study];
        study.measured.erase(e.turn);
        study.measured_by.erase(e.turn);
    }
    void operator()(const entries::StudyDropped& e) {
        s_.studies[e.study].dropped = true;
        if (s_.study == e.study) s_.study.clear();
    }
    void operator()(const entries::UncertaintySet& e) {
        if (const auto gauge = s_.gauges.find(e.gauge); gauge != s_.gauges.end())
            gauge->second.registered.uncertainty = e.uncertainty;
    }

    void operator()(const entries::SampleDrawn& e) { s_.samples[e.sample] = SampleState{e, f_.who, {}, {}}; }
    void operator()(const entries::SampleBegun& e) { s_.sample = e.sample; }
    void operator()(const entries::SampleLeft&) { s_.sample.clear(); }
    void operator()(const entries::SampleMeasured& e) {
        s_.samples[e.sample].measured.push_back(e);
        used(e.gauge);
    }
    void operator()(const entries::SampleJudged& e) {
        s_.samples[e.sample].judged = e;
        if (s_.sample == e.sample) s_.sample.clear();
    }

  protected:
    // An end that was judged: a point of its running set-up, if every place was measured.
    void watch_end(const entries::EndJudged& e, const AssemblyState& assembly, std::size_t places) {
        const SpecRow& row = assembly.row(e.end);
        if (!e.mean || places < row.flats.size()) return;
        auto& points = s_.running[setup_key(row, assembly.started.hose_lot)];
        points.push_back({f_.seq, e.serial, e.end, *e.mean, e.spread.value_or(Length{})});
        if (points.size() > most_running) points.erase(points.begin());
    }
    // A chart begins anew with a set-up piece.
    void watch_setup(const entries::SetupJudged& e) {
        if (!e.passed) return;
        s_.running[e.key].clear();
        s_.drifted.erase(e.key);
    }

  private:
    // An end of shift asks for a proof then.
    void used(const std::string& id) {
        if (const auto gauge = s_.gauges.find(id); gauge != s_.gauges.end()) gauge->second.used_since_proof = true;
    }

    BenchState& s_;
    const Facts& f_;
};

}  // namespace crimpgate
