#include "station/daemon/certificate_data.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <utility>

#include "specs/decision_rule.h"
#include "specs/length_tolerance.h"
#include "station/bench/state.h"
#include "station/daemon/assembly_entries.h"
#include "station/entries/describe_entries.h"
#include "station/entries/entry_json.h"
#include "station/json/describe_specs.h"
#include "station/json/reflect.h"

namespace crimpgate {
namespace {

using namespace entries;

// The last of a kind before an entry, by what it is about.
template <class Body>
class Latest {
  public:
    void add(const std::string& about, std::int64_t seq, Body body) { all_[about][seq] = std::move(body); }
    const std::pair<const std::int64_t, Body>* before(const std::string& about, std::int64_t seq) const {
        const auto found = all_.find(about);
        if (found == all_.end()) return nullptr;
        const auto after = found->second.lower_bound(seq);
        return after == found->second.begin() ? nullptr : &*std::prev(after);
    }

  private:
    std::map<std::string, std::map<std::int64_t, Body>> all_;
};

struct Read {
    const Entry* entry = nullptr;
    EntryBody body;
};

std::string serial_in(const boost::json::object& body) {
    const auto* serial = body.if_contains("serial");
    return serial != nullptr && serial->is_string() ? std::string(serial->get_string()) : std::string();
}

class Gatherer {
  public:
    explicit Gatherer(const CertificateGathering& gathering) : gathering_(gathering) {}

    Result<void> read(const std::vector<Entry>& all) {
        for (const auto& entry : all) {
            auto body = entry_body(entry.type, entry.body);
            if (!body)
                return refuse(
                    message("certificate.entry").with("seq", std::to_string(entry.seq)).with("why", body.error().code));
            if (const auto* gauge = std::get_if<GaugeRegistered>(&*body)) gauges_.add(gauge->gauge, entry.seq, *gauge);
            if (const auto* reference = std::get_if<ReferenceRegistered>(&*body))
                references_.add(reference->reference, entry.seq, *reference);
            if (const auto* proof = std::get_if<GaugeProved>(&*body)) proofs_[entry.seq] = {entry.stamp.utc_ms, *proof};
            if (const auto* order = std::get_if<OrderOpened>(&*body)) orders_.add(order->order, entry.seq, *order);
            if (const auto* overridden = std::get_if<ApplicationOverridden>(&*body))
                overrides_[overridden->order] = {name(entry.who), overridden->reason};
            if (const auto serial = serial_in(entry.body); !serial.empty() && of_assembly(*body))
                of_serial_[serial].push_back({&entry, std::move(*body)});
        }
        return {};
    }

    Result<CertificateData> data() {
        for (const auto& serial : gathering_.serials)
            if (auto done = assembly(serial); !done) return refuse(std::move(done.error()));
        for (const auto& [seq, gauge] : used_gauges_)
            out_.gauges.push_back(
                {seq, gauge.gauge, gauge.resolution, gauge.calibrated, gauge.calibration_due, gauge.certificate});
        for (const auto seq : used_proofs_)
            if (const auto found = proofs_.find(seq); found != proofs_.end()) proof(seq, found->second);
        return std::move(out_);
    }

  private:
    std::string name(const std::string& person) const {
        return gathering_.name_of && !person.empty() ? gathering_.name_of(person) : person;
    }

    Result<void> assembly(const std::string& serial) {
        const auto found = of_serial_.find(serial);
        BenchState bench;
        std::map<std::int64_t, const Read*> by_seq;
        if (found != of_serial_.end())
            for (const auto& read : found->second) {
                apply(bench, Facts{read.entry->seq, read.entry->stamp.utc_ms, read.entry->who}, read.body);
                by_seq[read.entry->seq] = &read;
            }
        const auto made = bench.assemblies.find(serial);
        // R1: whoever asks has looked before; this is what the paper itself would say.
        if (made == bench.assemblies.end() || made->second.stage != Stage::passed)
            return refuse(message("certificate.not_passed").with("serial", serial));
        const AssemblyState& a = made->second;
        CertificateAssembly out;
        out.serial = serial;
        out.item = item_of(a.started, a.started_seq);
        for (const End end : {End::a, End::b})
            out.ends[end == End::a ? 0 : 1] = end_of(a, end, by_seq);
        out.passed_by = name(a.passed_by);
        out.passed_ms = a.passed_utc_ms;
        out.passed_seq = a.passed_seq;
        for (const auto& read : found->second)
            speak(read, out);
        if (!out.on_concession()) out.concessions.clear();
        out_.assemblies.push_back(std::move(out));
        return {};
    }

    // What happened to it beside the readings.
    void speak(const Read& read, CertificateAssembly& out) const {
        const auto& entry = *read.entry;
        if (!entry.stamp.clock_synced) out.clock_unsynced = true;
        if (const auto* settled = std::get_if<HoldSettled>(&read.body)) {
            if (settled->how == Settlement::recrimp)
                out.recrimps.push_back({name(entry.who), settled->reason, entry.stamp.utc_ms});
            if (settled->how == Settlement::concession)
                out.concessions.push_back({settled->reason, settled->customer_reference, name(entry.who),
                                           settled->second ? name(*settled->second) : std::string(), entry.stamp.utc_ms,
                                           entry.seq});
        } else if (const auto* passed = std::get_if<AssemblyPassed>(&read.body)) {
            out.concession_reference = passed->concession_reference;  // of the last pass
        } else if (const auto* tested = std::get_if<ProofTested>(&read.body)) {
            CertificateProofTest test;
            test.asked = tested->asked.pressure;
            test.asked_s = tested->asked.hold_s;
            test.reached = tested->reached;
            test.held_s = tested->held_s;
            test.medium = tested->medium;
            test.seen = tested->seen;
            test.manometer = tested->manometer;
            test.passed = tested->passed;
            test.by = name(entry.who);
            test.at_ms = entry.stamp.utc_ms;
            out.proof_tests.push_back(std::move(test));
        }
    }

    // Of several records at one place the last counts, as the bench takes them.
    CertificateEnd end_of(const AssemblyState& a, End end, const std::map<std::int64_t, const Read*>& by_seq) {
        const auto& work = a.at(end);
        CertificateEnd out;
        out.fitting_lot = end == End::a ? a.started.fitting_a_lot : a.started.fitting_b_lot;
        out.attempt = work.attempt;
        std::map<std::pair<Characteristic, std::int64_t>, const StepRecord*> counting;
        for (const auto& record : work.records)
            counting[{record.what, record.flat}] = &record;
        for (const auto& [place, record] : counting)
            out.readings.push_back(reading(*record, *by_seq.at(record->seq)));
        spread(work, out);
        for (auto& r : out.readings)
            r.conceded = std::any_of(work.conceded.begin(), work.conceded.end(), [&](const Finding& f) {
                return f.what == r.what && f.flat == r.flat && f.value == r.value && f.seen == r.seen;
            });
        for (const auto& [seq, read] : by_seq)
            if (const auto* judged = std::get_if<EndJudged>(&read->body); judged != nullptr && judged->end == end)
                out.mean = judged->mean;
        std::stable_sort(out.readings.begin(), out.readings.end(),
                         [](const auto& one, const auto& two) { return one.what < two.what; });
        return out;
    }

    CertificateReading reading(const StepRecord& record, const Read& read) {
        CertificateReading out;
        out.what = record.what;
        out.flat = record.flat;
        out.seen = record.seen;
        out.yes = record.yes;
        out.verdict = record.verdict;
        out.person = name(record.who);
        out.at_ms = read.entry->stamp.utc_ms;
        out.seq = record.seq;
        if (const auto* taken = std::get_if<ReadingTaken>(&read.body)) {
            out.value = taken->value;
            out.lower = taken->lower;
            out.upper = taken->upper;
            out.guard = taken->guard;
            out.uncertainty = taken->uncertainty;
            out.resolution = taken->resolution;
            if (taken->lower) out.margin = taken->value - *taken->lower;
            if (taken->upper && (!out.margin || *taken->upper - taken->value < *out.margin))
                out.margin = *taken->upper - taken->value;
            out.gauge = taken->gauge;
            out.proof_seq = taken->proof_seq;
            used_proofs_.insert(taken->proof_seq);
            if (const auto* gauge = gauges_.before(taken->gauge, record.seq)) {
                out.gauge_seq = gauge->first;
                used_gauges_[gauge->first] = gauge->second;
            }
        }
        return out;
    }

    // Reckoned from the diameters when the end was judged; its uncertainty from theirs (decision_rule.h).
    static void spread(const EndState& work, CertificateEnd& out) {
        const auto found = std::find_if(work.last_findings.begin(), work.last_findings.end(),
                                        [](const Finding& f) { return f.what == Characteristic::spread; });
        if (found == work.last_findings.end()) return;
        CertificateReading r;
        r.what = found->what;
        r.value = found->value;
        r.lower = found->lower;
        r.upper = found->upper;
        r.guard = found->guard;
        r.margin = found->margin;
        r.verdict = found->verdict;
        std::optional<Length> most;
        for (const auto& one : out.readings)
            if (one.what == Characteristic::crimp_diameter) {
                if (one.uncertainty && (!most || *one.uncertainty > *most)) most = one.uncertainty;
                r.resolution = std::max(r.resolution, one.resolution);
            }
        if (most) r.uncertainty = uncertainty_of_difference(*most);
        out.readings.push_back(r);
    }

    std::size_t item_of(const AssemblyStarted& a, std::int64_t seq) {
        CertificateItem item;
        item.order = a.order;
        item.customer_part = a.customer_part;
        item.row_a = a.row_a;
        item.row_b = a.row_b;
        item.hose_lot = a.hose_lot;
        item.fitting_a_lot = a.fitting_a_lot;
        item.fitting_b_lot = a.fitting_b_lot;
        item.working_pressure = a.working_pressure;
        item.overall_length = a.overall_length;
        item.cut_length = a.cut_length;
        item.length_rule = a.length_rule;
        item.orientation_deg = a.orientation_deg;
        item.orientation_rule = a.orientation_rule.value_or("");
        const auto rule = a.length_rule == "sae_j517" ? LengthRule::sae_j517 : LengthRule::din20066;
        if (const auto band = toleranced_length(a.overall_length, rule, a.row_a.hose.dash)) item.length_band = *band;
        if (const auto* order = orders_.before(a.order, seq)) {
            item.needed_pressure = order->second.needed_pressure;
            for (const auto& lot : order->second.hose_lots)
                if (lot.lot == a.hose_lot) item.hose_made = lot.made;
            application(order->second);
        }
        const auto found = std::find(out_.items.begin(), out_.items.end(), item);
        if (found != out_.items.end()) return static_cast<std::size_t>(found - out_.items.begin());
        out_.items.push_back(std::move(item));
        return out_.items.size() - 1;
    }

    void application(const OrderOpened& order) {
        if (!order.application_findings || order.application_findings->empty()) return;
        for (const auto& known : out_.applications)
            if (known.order == order.order) return;
        CertificateApplication out;
        out.order = order.order;
        for (const auto& f : *order.application_findings)
            out.findings.push_back(
                {f.what, reflect::enum_name(f.severity), f.source, std::string(text_of(f.confidence))});
        if (const auto found = overrides_.find(order.order); found != overrides_.end()) {
            out.overridden_by = found->second.first;
            out.override_reason = found->second.second;
        }
        out_.applications.push_back(std::move(out));
    }

    void proof(std::int64_t seq, const std::pair<std::int64_t, GaugeProved>& known) {
        const auto& p = known.second;
        CertificateProof out;
        out.seq = seq;
        out.at_ms = known.first;
        out.gauge = p.gauge;
        out.reference = p.reference;
        if (const auto* reference = references_.before(p.reference, seq)) {
            out.reference_certificate = reference->second.certificate;
            out.reference_due = reference->second.calibration_due;
        }
        out.size = p.size;
        out.value = p.value;
        out.error = p.error;
        out.limit = p.limit;
        out_.proofs.push_back(std::move(out));
    }

    const CertificateGathering& gathering_;
    CertificateData out_;
    Latest<GaugeRegistered> gauges_;
    Latest<ReferenceRegistered> references_;
    Latest<OrderOpened> orders_;
    std::map<std::int64_t, std::pair<std::int64_t, GaugeProved>> proofs_;
    std::map<std::string, std::pair<std::string, std::string>> overrides_;
    std::map<std::string, std::vector<Read>> of_serial_;
    std::map<std::int64_t, GaugeRegistered> used_gauges_;
    std::set<std::int64_t> used_proofs_;
};

}  // namespace

Result<CertificateData> certificate_data(const std::vector<Entry>& entries, const CertificateGathering& gathering) {
    Gatherer gatherer(gathering);
    if (auto read = gatherer.read(entries); !read) return refuse(std::move(read.error()));
    return gatherer.data();
}

bool measured_any(const std::vector<Entry>& entries, const std::string& person) {
    return std::any_of(entries.begin(), entries.end(), [&](const Entry& entry) {
        return entry.who == person && (entry.type == "reading.taken" || entry.type == "step.confirmed" ||
                                       entry.type == "assembly.proof_tested");
    });
}

}  // namespace crimpgate
