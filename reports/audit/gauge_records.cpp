#include "reports/audit/gauge_records.h"

#include <unordered_map>

#include "specs/dates.h"

namespace crimpgate::audit {

namespace {

std::optional<std::int64_t> days_between(std::string_view from, std::string_view to) {
    const auto a = parse_date(from), b = parse_date(to);
    if (!a || !b) return std::nullopt;
    return (std::chrono::sys_days{*b} - std::chrono::sys_days{*a}).count();
}

void count_reading(GaugeRecord& record, const ReadingFact& reading) {
    ++record.readings;
    if (record.first_reading_seq == 0) record.first_reading_seq = reading.seq;
    record.last_reading_seq = reading.seq;
    record.last_reading_ms = reading.ms;
}

void count_proof(GaugeRecord& record, const ProofFact& proof, bool& all_nought) {
    ++record.proofs;
    record.failed += !proof.passed;
    if (record.worst == nullptr || proof.error.abs() > record.worst->error.abs()) record.worst = &proof;
    if (proof.error != Length{}) all_nought = false;
    if (proof.passed)
        record.open_failure = nullptr;
    else if (record.open_failure == nullptr)
        record.open_failure = &proof;
    if (proof.passed && (record.readings == 0 || proof.seq < record.first_reading_seq)) record.before = &proof;
    if (record.readings > 0 && proof.seq > record.last_reading_seq && record.after == nullptr) record.after = &proof;
}

}  // namespace

std::vector<GaugeRecord> gauge_records(const Work& work) {
    const AuditFacts& facts = *work.facts;
    std::vector<GaugeRecord> out;
    std::unordered_map<std::string_view, std::size_t> known;
    for (const GaugeFact& gauge : facts.gauges) {
        known[gauge.gauge] = out.size();
        out.emplace_back().gauge = &gauge;
    }
    for (const ReadingFact& reading : facts.readings)
        if (const auto at = known.find(reading.gauge); reading.purpose != "proof" && at != known.end())
            count_reading(out[at->second], reading);
    std::vector<bool> all_nought(out.size(), true);
    for (const ProofFact& proof : facts.proofs)
        if (const auto at = known.find(proof.gauge); at != known.end()) {
            bool nought = all_nought[at->second];
            count_proof(out[at->second], proof, nought);
            all_nought[at->second] = nought;
        }
    for (std::size_t i = 0; i < out.size(); ++i) {
        out[i].too_good = out[i].proofs >= too_good_proofs && all_nought[i];
        out[i].days_left = days_between(facts.today, out[i].gauge->calibration_due);
    }
    std::erase_if(out, [](const GaugeRecord& record) { return record.readings == 0 && record.proofs == 0; });
    return out;
}

}  // namespace crimpgate::audit
