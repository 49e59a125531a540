// The record of the assembly that came back, gathered as evidence and as readings beside their limits.
#include <algorithm>

#include "specs/decision_rule.h"
#include "station/bench/state.h"
#include "station/daemon/assembly_entries.h"
#include "station/daemon/local_time.h"
#include "station/daemon/return_source.h"
#include "station/entries/describe_entries.h"
#include "station/entries/entry_json.h"
#include "station/journal/happenings.h"
#include "station/journal/one_assembly.h"
#include "station/json/reflect.h"
#include "station/words/entry_words.h"

namespace crimpgate {

using namespace entries;

namespace {

struct Read {
    Entry entry;
    EntryBody body;
};

std::string end_letter(End end) {
    return end == End::a ? "a" : "b";
}

class Record {
  public:
    Record(const Journal& journal, const ReturnSetting& setting, ReturnFound& out)
        : journal_(journal), setting_(setting), out_(out) {}

    Result<void> gather() {
        const auto& serial = out_.returned.opened.serial;
        if (auto ok = read(serial); !ok) return ok;
        auto went = where_it_went(journal_, serial);
        if (!went) return refuse(went.error());
        out_.went = std::move(*went);
        auto registered = happenings_of(journal_, {"gauge.registered"}, out_.upto_seq);
        if (!registered) return refuse(registered.error());
        gauges_ = std::move(*registered);
        auto& record = out_.evidence.record;
        const auto& a = *out_.assembly;
        record.known = true;
        record.serial = serial;
        record.order = a.started.order;
        record.hose_lot = a.started.hose_lot;
        record.shift = a.started.shift;
        record.hose_age_limit_years = setting_.hose_age_years;
        happened();
        for (const End end : {End::a, End::b})
            if (auto ok = add_end(a, end); !ok) return ok;
        if (std::ranges::all_of(dies_, [](const auto& d) { return d == true; }) && !dies_.empty())
            record.parts_matched = true;
        if (std::ranges::any_of(dies_, [](const auto& d) { return d == false; })) record.parts_matched = false;
        if (a.proof_test)
            record.proof_test = ProofTestEvidence{a.proof_test->passed, a.proof_test->reached, a.proof_test->held_s};
        ages(a);
        const auto others = other_returns(journal_, serial);
        if (!others) return refuse(others.error());
        record.other_returns = *others;
        std::ranges::sort(out_.happened, {}, &ReturnHappened::seq);
        return {};
    }

  private:
    Result<void> read(const std::string& serial) {
        auto entries = entries_of(journal_, serial, out_.upto_seq);
        if (!entries) return refuse(entries.error());
        BenchState bench;
        for (auto& entry : *entries) {
            auto body = entry_body(entry.type, entry.body);
            if (!body) return refuse(body.error());
            if (!of_assembly(*body)) continue;
            apply(bench, Facts{entry.seq, entry.stamp.utc_ms, entry.who}, *body);
            read_.push_back({std::move(entry), std::move(*body)});
        }
        const auto found = bench.assemblies.find(serial);
        if (found == bench.assemblies.end()) return refuse(message("returned.no_serial").with("serial", serial));
        out_.assembly = found->second;
        return {};
    }

    void tell(const Entry& entry, const EntryBody& body) {
        if (std::ranges::any_of(out_.happened, [&](const ReturnHappened& h) { return h.seq == entry.seq; })) return;
        out_.happened.push_back({entry.seq, entry.stamp.utc_ms, entry.who, words_of(body, entry.who, setting_.unit)});
    }
    Result<void> tell(std::int64_t seq) {
        auto entry = journal_.entry(seq);
        if (!entry) return refuse(entry.error());
        if (!*entry) return {};
        auto body = entry_body((*entry)->type, (*entry)->body);
        if (!body) return refuse(body.error());
        tell(**entry, *body);
        return {};
    }

    // What a plain list of readings does not show.
    void happened() {
        for (const auto& [entry, body] : read_)
            if (std::holds_alternative<AssemblyHeld>(body) || std::holds_alternative<HoldSettled>(body) ||
                std::holds_alternative<ReadingVoided>(body) || std::holds_alternative<ProofTested>(body) ||
                std::holds_alternative<AssemblyPassed>(body))
                tell(entry, body);
    }

    const Read* entry_of(std::int64_t seq) const {
        const auto found = std::ranges::find(read_, seq, [](const Read& r) { return r.entry.seq; });
        return found == read_.end() ? nullptr : &*found;
    }

    Result<void> add_end(const AssemblyState& a, End end) {
        const auto& work = a.at(end);
        const auto& row = a.row(end);
        EndEvidence evidence;
        evidence.end = end_letter(end);
        evidence.fitting_lot = end == End::a ? a.started.fitting_a_lot : a.started.fitting_b_lot;
        evidence.die_set = row.die_set;
        evidence.setup = setup_key(row, a.started.hose_lot);
        evidence.recrimps = work.attempt - 1;
        for (const auto& conceded : work.conceded)
            if (std::ranges::find(evidence.concessions, conceded.what) == evidence.concessions.end())
                evidence.concessions.push_back(conceded.what);
        for (const auto& [entry, body] : read_)
            if (const auto* taken = std::get_if<ReadingTaken>(&body);
                taken != nullptr && taken->end == end && taken->verdict == Verdict::uncertain)
                ++evidence.uncertain_readings;

        std::map<std::pair<Characteristic, std::int64_t>, const StepRecord*> counting;
        for (const auto& record : work.records)
            counting[{record.what, record.flat}] = &record;
        std::int64_t first_crimp = 0, last_crimp = 0;
        std::map<std::string, std::pair<std::int64_t, std::int64_t>> gauges;  // first and last reading
        for (const auto& [place, record] : counting) {
            const auto* from = entry_of(record->seq);
            if (from == nullptr) continue;
            auto reading = reading_of(work, *record, *from);
            see(row, *record, reading, evidence);
            if (record->what == Characteristic::crimp_diameter) {
                first_crimp = first_crimp == 0 ? record->seq : std::min(first_crimp, record->seq);
                last_crimp = std::max(last_crimp, record->seq);
                if (evidence.crimps.size() == 1) out_.evidence.record.person = record->who;
            }
            if (!record->gauge.empty() &&
                (record->what == Characteristic::crimp_diameter || record->what == Characteristic::depth)) {
                auto [at, added] = gauges.emplace(record->gauge, std::pair(record->seq, record->seq));
                at->second.first = std::min(at->second.first, record->seq);
                at->second.second = std::max(at->second.second, record->seq);
            }
            out_.record.push_back(std::move(reading));
        }
        spread(work, row, evidence, end);
        if (auto ok = add_gauges(gauges, evidence.gauge); !ok) return ok;
        if (first_crimp != 0)
            if (auto ok = add_moment(a, end, first_crimp, last_crimp, evidence); !ok) return ok;
        out_.evidence.record.ends.push_back(std::move(evidence));
        return {};
    }

    static ReturnReading reading_of(const EndState& work, const StepRecord& record, const Read& from) {
        ReturnReading r;
        r.what = record.what;
        r.flat = record.flat;
        r.seen = record.seen;
        r.yes = record.yes;
        r.verdict = record.verdict;
        r.gauge = record.gauge;
        r.who = record.who;
        r.seq = record.seq;
        r.at_ms = from.entry.stamp.utc_ms;
        if (const auto* taken = std::get_if<ReadingTaken>(&from.body)) {
            r.end = taken->end.value_or(End::a);
            r.value = taken->value;
            r.lower = taken->lower;
            r.upper = taken->upper;
            if (taken->lower) r.margin = taken->value - *taken->lower;
            if (taken->upper && (!r.margin || *taken->upper - taken->value < *r.margin))
                r.margin = *taken->upper - taken->value;
            r.uncertainty = taken->uncertainty.value_or(Length{});
            r.resolution = taken->resolution;
            r.unit = taken->unit;
        } else if (const auto* confirmed = std::get_if<StepConfirmed>(&from.body)) {
            r.end = confirmed->end;
        }
        r.conceded = std::ranges::any_of(work.conceded, [&](const Finding& f) {
            return f.what == r.what && f.flat == r.flat && f.value == r.value && f.seen == r.seen;
        });
        return r;
    }

    static void see(const SpecRow& row, const StepRecord& record, const ReturnReading& reading, EndEvidence& out) {
        const bool measured = reading.value.has_value();
        switch (record.what) {
            case Characteristic::crimp_diameter:
                if (measured)
                    out.crimps.push_back(
                        {record.flat, {*reading.value, row.crimp.band().lower, row.crimp.band().upper}, std::nullopt});
                break;
            case Characteristic::depth:
                if (measured)
                    out.depth = BandedEvidence{*reading.value, row.depth.band().lower, row.depth.band().upper};
                break;
            case Characteristic::mark_after:
                if (record.seen)
                    out.mark_after = record.seen;
                else if (measured)
                    out.mark_after = *reading.value <= row.mark_edge_limit ? MarkSeen::at_edge : MarkSeen::gap;
                break;
            case Characteristic::bore_pin:
                out.pin_passed = record.yes;
                break;
            case Characteristic::lubricant:
                out.lubricated = record.yes;
                break;
            default:
                break;
        }
    }

    void spread(const EndState& work, const SpecRow& row, EndEvidence& evidence, End end) {
        const auto found = std::ranges::find(work.last_findings, Characteristic::spread, &Finding::what);
        if (found == work.last_findings.end() || !found->value) return;
        evidence.spread = found->value;
        evidence.spread_limit = row.spread_limit;
        ReturnReading r;
        r.end = end;
        r.what = Characteristic::spread;
        r.value = found->value;
        r.upper = row.spread_limit;
        r.margin = row.spread_limit - *found->value;
        r.verdict = found->verdict;
        for (const auto& known : out_.record)
            if (known.end == end && known.what == Characteristic::crimp_diameter) {
                r.resolution = std::max(r.resolution, known.resolution);
                r.unit = known.unit;
            }
        out_.record.push_back(std::move(r));
    }

    // Of several gauges the one that can be relied on least: an end is as sure as its weakest reading.
    Result<void> add_gauges(const std::map<std::string, std::pair<std::int64_t, std::int64_t>>& gauges,
                            GaugeEvidence& worst) {
        const auto rank = [](const GaugeEvidence& g) {
            if (g.id.empty()) return 0;  // none yet
            if (g.proved_after == false || g.withdrawn) return 4;
            if (g.proved_before == false || g.in_date == false) return 3;
            if (!g.proved_after) return 2;
            return 1;
        };
        for (const auto& [id, readings] : gauges) {
            const auto around = proofs_around(journal_, id, readings.first, readings.second);
            if (!around) return refuse(around.error());
            GaugeEvidence g;
            g.id = id;
            g.proved_before = around->before.has_value();
            if (around->after) g.proved_after = around->after->passed;
            g.withdrawn = around->withdrawn.has_value();
            const auto* at = entry_of(readings.first);
            for (const auto& entry : gauges_)
                if (entry.seq < readings.first && entry.body.at("gauge") == boost::json::value(id))
                    g.in_date = entry.body.at("calibration_due").as_string() >=
                                local_date(at->entry.stamp.utc_ms, setting_.time_zone);
            if (auto ok = proofs_told(*around); !ok) return ok;
            if (rank(g) > rank(worst)) worst = std::move(g);
        }
        return {};
    }

    Result<void> proofs_told(const ProofsAround& around) {
        if (around.before)
            if (auto ok = tell(around.before->seq); !ok) return ok;
        if (around.after)
            if (auto ok = tell(around.after->seq); !ok) return ok;
        if (around.withdrawn) return tell(*around.withdrawn);
        return {};
    }

    Result<void> add_moment(const AssemblyState& a, End end, std::int64_t first, std::int64_t last,
                            EndEvidence& evidence) {
        const auto& row = a.row(end);
        MomentAsked asked;
        asked.serial = a.started.serial;
        asked.setup_key = evidence.setup;
        asked.crimper = row.crimper;
        asked.die_set = row.die_set;
        asked.end = end;
        asked.first_reading = first;
        asked.last_reading = last;
        const auto moment = crimp_moment(journal_, asked);
        if (!moment) return refuse(moment.error());
        evidence.setup_good = moment->setup_good;
        evidence.drift_warned = !moment->drift.empty();
        dies_.push_back(moment->die_named);
        for (auto& crimp : evidence.crimps)
            if (const auto mean = moment->siblings_mean.find(crimp.flat); mean != moment->siblings_mean.end())
                crimp.siblings_mean = mean->second;
        for (auto& reading : out_.record)
            if (reading.end == end && reading.what == Characteristic::crimp_diameter)
                if (const auto mean = moment->siblings_mean.find(reading.flat); mean != moment->siblings_mean.end())
                    reading.siblings_mean = mean->second;
        for (const auto seq : moment->drift)
            if (auto ok = tell(seq); !ok) return ok;
        return {};
    }

    void ages(const AssemblyState& a) {
        auto& record = out_.evidence.record;
        const auto made_ms = read_.front().entry.stamp.utc_ms;
        const auto assembled = parse_date(local_date(made_ms, setting_.time_zone));
        const auto received = parse_date(out_.returned.opened.received);
        if (assembled && received && *assembled <= *received)
            record.age_at_failure_days = (std::chrono::sys_days(*received) - std::chrono::sys_days(*assembled)).count();
        if (!setting_.order || !assembled) return;
        for (const auto& lot : setting_.order->hose_lots) {
            if (lot.lot != a.started.hose_lot) continue;
            const auto quarter = HoseQuarter::parse(lot.made);
            if (!quarter) continue;
            const auto days = (std::chrono::sys_days(*assembled) - std::chrono::sys_days(quarter->first_day())).count();
            if (days >= 0) record.hose_age_at_assembly_days = days;
        }
    }

    const Journal& journal_;
    const ReturnSetting& setting_;
    ReturnFound& out_;
    std::vector<Read> read_;
    std::vector<Entry> gauges_;
    std::vector<std::optional<bool>> dies_;
};

}  // namespace

Result<void> add_record(const Journal& journal, const ReturnSetting& setting, ReturnFound& out) {
    return Record(journal, setting, out).gather();
}

}  // namespace crimpgate
