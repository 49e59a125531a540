// The bench's memory as text, and the fold of its entries through JSON: its own file, since JSON is costly to compile.
#include <boost/json/serialize.hpp>
#include <stdexcept>

#include "station/entries/entry_json.h"
#include "station/json/canonical.h"
#include "tests/support/bench_fixture.h"

namespace crimpgate::test {

namespace {

std::string n(std::int64_t value) {
    return std::to_string(value) + " ";
}
std::string n(Length value) {
    return std::to_string(value.nm()) + "nm ";
}
std::string t(const std::string& text) {
    return "\"" + text + "\" ";
}
template <class E>
std::string e(E value) {
    return "#" + std::to_string(static_cast<int>(value)) + " ";
}
template <class Body>
std::string body(const Body& value) {
    return canonical(to_json(EntryBody(value)));
}

std::string of(const StepRecord& r) {
    std::string out = n(r.seq) + e(r.what) + n(r.flat) + e(r.verdict) + e(r.side) + t(r.gauge) + t(r.who);
    if (r.measured) out += n(r.measured->value) + n(r.measured->uncertainty);
    if (r.seen) out += "seen" + e(*r.seen);
    if (r.yes) out += *r.yes ? "yes " : "no ";
    return out + "\n";
}

std::string of(const Finding& f) {
    std::string out = "  finding " + e(f.what) + n(f.flat) + e(f.verdict) + e(f.side);
    for (const auto& length : {f.value, f.lower, f.upper, f.guard, f.margin})
        out += length ? n(*length) : "- ";
    if (f.seen) out += e(*f.seen);
    return out + "\n";
}

std::string of(const EndState& end) {
    std::string out =
        " end attempt " + n(end.attempt) + (end.crimped ? "crimped " : "") + (end.done ? "done" : "") + "\n";
    for (const auto& r : end.records)
        out += "  " + of(r);
    for (const auto& f : end.last_findings)
        out += of(f);
    for (const auto& [place, times] : end.voided_uncertain)
        out += "  voided " + e(place.first) + n(place.second) + n(times) + "\n";
    out += "  conceded\n";
    for (const auto& f : end.conceded)
        out += of(f);
    return out;
}

std::string of(const AssemblyState& a) {
    std::string out =
        body(a.started) + n(a.started_seq) + n(a.number) + e(a.stage) + "\n" + of(a.ends[0]) + of(a.ends[1]);
    if (a.hold) {
        const auto& h = *a.hold;
        out += " hold " + n(h.seq) + e(h.cause) + (h.end ? e(*h.end) : "- ") + t(h.gauge) + n(h.gauge_error) +
               t(h.reason) + n(h.recrimp_possible);
        for (const auto& [gauge, error] : h.doubted)
            out += "doubted " + t(gauge) + n(error);
    }
    if (a.rework) out += " rework " + e(*a.rework);
    out += n(a.recrimps) + t(a.concession_reference) + t(a.concession_by);
    for (const auto& who : a.measured_by)
        out += t(who);
    return out + n(a.passed_seq) + n(a.passed_utc_ms) + t(a.passed_by) + e(a.tag) + n(a.tag_copy) + n(a.tag_seq) +
           n(a.tag_made_seq) + t(a.tag_file) + "\n";
}

std::string of(const GaugeState& g) {
    std::string out = body(g.registered) + n(g.connected) + n(g.lost) + n(g.needs_proof) + n(g.proof_seq) +
                      n(g.valid_until_utc_ms) + t(g.prover) + n(g.used_since_proof);
    for (const auto& serial : g.measured_since_proof)
        out += t(serial);
    return out + "\n";
}

}  // namespace

std::string dump(const BenchState& s) {
    std::string out = n(s.last_seq) + n(s.last_utc_ms) + "\n";
    for (const auto& [id, p] : s.people)
        out += t(id) + t(p.name) + e(p.role) + t(p.pin_hash) + "\n";
    for (const auto& [id, g] : s.gauges)
        out += t(id) + of(g);
    for (const auto& [id, r] : s.references)
        out += t(id) + body(r) + "\n";
    for (const auto& [id, row] : s.rows)
        out += t(id) + canonical(to_json(row)) + "\n";
    for (const auto& [id, o] : s.orders)
        out += t(id) + body(o.order) + n(o.passed) + n(o.scrapped) + n(o.open) + "\n";
    for (const auto& [id, a] : s.assemblies)
        out += t(id) + of(a);
    out += "person " + t(s.person) + "shift " + t(s.shift) + n(s.shifts_of_day) + t(s.last_shift_date) +
           n(s.clock_doubted) + "\n";
    if (s.proof) out += "proof " + t(s.proof->gauge) + t(s.proof->reference) + "\n";
    out += "order " + t(s.order) + "\n";
    if (s.lots) out += t(s.lots->order) + t(s.lots->hose) + t(s.lots->fitting_a) + t(s.lots->fitting_b) + "\n";
    for (const auto& [crimper, die] : s.mounted)
        out += "mounted " + t(crimper) + t(die) + "\n";
    for (const auto& [crimper, setting] : s.settings)
        out += "setting " + t(crimper) + t(setting) + "\n";
    for (const auto& key : s.setups)
        out += "setup good " + t(key) + "\n";
    for (const auto& [key, crimper] : s.setup_crimper)
        out += "setup on " + t(key) + t(crimper) + "\n";
    if (s.setup) {
        out += "setup begun " + t(s.setup->key) + "\n";
        for (const auto& r : s.setup->records)
            out += of(r);
    }
    if (s.last_setup) out += body(*s.last_setup) + "\n";
    if (s.watch) out += body(*s.watch) + "\n";
    for (const auto& [key, points] : s.running) {
        out += "running " + t(key);
        for (const auto& p : points)
            out += n(p.seq) + t(p.serial) + e(p.end) + n(p.mean) + n(p.spread);
        out += "\n";
    }
    for (const auto& [key, drift] : s.drifted)
        out += "drifted " + t(key) + body(drift) + "\n";
    for (const auto& [stream, limits] : s.frozen)
        out += "frozen " + t(stream.first) + e(stream.second) + body(limits) + "\n";
    for (const auto& shift : s.known_shifts)
        out += t(shift);
    for (const auto& [shift, seq] : s.signed_off)
        out += "signed " + t(shift) + n(seq);
    for (const auto& [id, study] : s.studies) {
        out += "study " + body(study.plan) + t(study.planned_by) + n(study.dropped);
        for (const auto& [turn, measured] : study.measured)
            out += n(turn) + body(measured) + t(study.measured_by.at(turn));
        out += "\n";
    }
    for (const auto& [id, sample] : s.samples) {
        out += "sample " + body(sample.drawn) + t(sample.drawn_by);
        for (const auto& measured : sample.measured)
            out += body(measured);
        if (sample.judged) out += body(*sample.judged);
        out += "\n";
    }
    out += t(s.study) + t(s.sample) + "\n";
    return out + "current " + t(s.current) + "stopped " + t(s.stopped) + n(s.serial_counter) + "\n";
}

std::string dump(const NextStep& step) {
    std::string out = "ask" + e(step.ask) + t(step.serial) + n(step.begins) + e(step.end) + e(step.what) + n(step.flat);
    if (step.band) out += n(step.band->lower) + n(step.band->upper);
    return out + t(step.gauge) + n(step.turn) + t(step.piece) + t(step.person);
}

BenchState Bench::refolded(BenchState fresh) const {
    for (const auto& entry : log) {
        const auto json = to_json(entry.body);
        auto back = entry_body(type_of(entry.body), json);
        if (!back) throw std::logic_error(std::string(type_of(entry.body)) + ": " + back.error().code);
        if (to_json(*back) != json) throw std::logic_error(std::string(type_of(entry.body)) + " changed on its way");
        apply(fresh, entry.facts, *back);
    }
    return fresh;
}

}  // namespace crimpgate::test
