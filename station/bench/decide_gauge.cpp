// What gauges say, and whether they may be believed: readings, refusals, proofs, going and coming back.
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

namespace {

std::string hex(const std::string& bytes) {
    static constexpr char digits[] = "0123456789abcdef";
    std::string out;
    out.reserve(bytes.size() * 2);
    for (const char c : bytes) {
        const auto byte = static_cast<unsigned char>(c);
        out += digits[byte >> 4];
        out += digits[byte & 15];
    }
    return out;
}

}  // namespace

Result<void> Decider::operator()(const commands::ProveGauge& c) {
    if (auto ok = may_work(); !ok) return ok;
    const auto gauge = s_.gauges.find(c.gauge);
    if (gauge == s_.gauges.end()) return refuse(message("bench.no_gauge").with("gauge", c.gauge));
    if (!gauge->second.connected) return refuse(message("bench.gauge_gone").with("gauge", c.gauge));
    const auto reference = s_.references.find(c.reference);
    if (reference == s_.references.end()) return refuse(message("bench.no_reference").with("reference", c.reference));
    if (reference->second.calibration_due < now_.local_date)
        return refuse(message("bench.reference_over")
                          .with("reference", c.reference)
                          .with("due", reference->second.calibration_due));
    emit(ProofBegun{c.gauge, c.reference});
    return {};
}

Result<void> Decider::operator()(const commands::WithdrawGauge& c) {
    if (auto ok = must_be(Role::lead); !ok) return ok;
    if (!s_.gauges.contains(c.gauge)) return refuse(message("bench.no_gauge").with("gauge", c.gauge));
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    gauge_failed(c.gauge, Length{});
    emit(GaugeWithdrawn{c.gauge, c.reason});
    return {};
}

Result<void> Decider::operator()(const commands::GaugeGone& c) {
    const auto gauge = s_.gauges.find(c.gauge);
    if (gauge == s_.gauges.end() || !gauge->second.connected) return {};
    emit_as({}, GaugeLost{c.gauge, c.why});
    return {};
}

Result<void> Decider::operator()(const commands::GaugeReturned& c) {
    const auto gauge = s_.gauges.find(c.gauge);
    if (gauge == s_.gauges.end() || gauge->second.connected) return {};
    emit_as({}, GaugeBack{c.gauge, gauge->second.lost && rules_.prove_after_reconnect});
    return {};
}

Result<void> Decider::operator()(const commands::GaugeSaid& c) {
    who_ = s_.person;  // whoever is signed in at the bench holds the gauge
    if (const auto* refusal = std::get_if<Refusal>(&c.event)) {
        ReadingRefused refused;
        refused.gauge = c.gauge;
        refused.why = refusal->why;
        refused.raw_hex = hex(refusal->raw);
        refused.arrived_utc_ms = refusal->arrival.utc_ms;
        refused.serial = s_.current;
        emit(refused);
        return {};
    }
    const auto& reading = std::get<Reading>(c.event);
    const auto found = s_.gauges.find(c.gauge);
    if (found == s_.gauges.end()) {
        refuse_reading(c, reading, message("bench.no_gauge").with("gauge", c.gauge));
        return {};
    }
    const auto next = step();
    if (next.ask == Ask::proof_reading && next.gauge == c.gauge) {
        proof_reading(c, reading);
        return {};
    }
    switch (next.ask) {
        case Ask::clock:
            refuse_reading(c, reading, message("bench.clock_in_doubt"));
            return {};
        case Ask::sign_in:
            refuse_reading(c, reading, message("bench.sign_in_first"));
            return {};
        case Ask::quarantine:
            refuse_reading(c, reading, message("bench.quarantine_first").with("serial", s_.stopped));
            return {};
        case Ask::shift:
            refuse_reading(c, reading, message("bench.no_shift"));
            return {};
        case Ask::proof_reading:
            refuse_reading(c, reading, message("bench.other_gauge_in_proof").with("gauge", next.gauge));
            return {};
        case Ask::order:
            refuse_reading(c, reading, message("bench.take_order_first"));
            return {};
        case Ask::order_done:
            refuse_reading(c, reading, message("bench.order_done").with("order", s_.order));
            return {};
        case Ask::lots:
            refuse_reading(c, reading, message("bench.lots_first"));
            return {};
        case Ask::die:
            refuse_reading(c, reading, message("bench.die_first").with("needed", row_in_work(s_)->die_set));
            return {};
        case Ask::confirm:
            refuse_reading(c, reading, message("bench.confirm_first"));
            return {};
        case Ask::proof_test:
            refuse_reading(c, reading, message("bench.proof_test_first"));
            return {};
        case Ask::proof:
        case Ask::gauge:
        case Ask::setup:
        case Ask::measure:
        case Ask::again:
        case Ask::study:
        case Ask::sample:
        case Ask::returned:
            break;
    }
    // R1: only a connected, proved, in-date gauge measures.
    if (auto ready = gauge_ready(found->second, now_); !ready) {
        refuse_reading(c, reading, std::move(ready.error()));
        return {};
    }
    if (next.ask == Ask::study) {
        study_reading(c, reading, next);
        return {};
    }
    if (next.ask == Ask::sample) {
        sample_reading(c, reading, next);
        return {};
    }
    if (next.ask == Ask::returned) {
        returned_reading(c, reading, next);
        return {};
    }
    const SpecRow* row = row_in_work(s_);
    if (row == nullptr) {
        refuse_reading(c, reading, message("bench.take_order_first"));
        return {};
    }
    std::vector<GaugeChoice> others;
    for (const auto& [id, gauge] : s_.gauges)
        if (id != c.gauge) others.push_back({id, gauge.registered.uncertainty});
    if (auto suits = gauge_suits(*row, {c.gauge, found->second.registered.uncertainty}, others); !suits) {
        refuse_reading(c, reading, std::move(suits.error()));
        return {};
    }
    if (auto fits = may_begin(next); !fits) {
        refuse_reading(c, reading, std::move(fits.error()));
        return {};
    }
    if (next.ask == Ask::setup)
        setup_reading(c, reading, next);
    else
        work_reading(c, reading, next);
    return {};
}

void Decider::refuse_reading(const commands::GaugeSaid& c, const Reading& reading, Message why) {
    ReadingRefused refused;
    refused.gauge = c.gauge;
    refused.why = std::move(why);
    refused.raw_hex = hex(reading.raw);
    refused.arrived_utc_ms = reading.arrival.utc_ms;
    refused.serial = s_.current;
    emit(refused);
}

ReadingTaken Decider::taken(const commands::GaugeSaid& c, const Reading& reading) const {
    ReadingTaken t;
    t.gauge = c.gauge;
    t.proof_seq = s_.gauges.at(c.gauge).proof_seq;
    t.value = reading.value;
    t.unit = reading.unit;
    t.resolution = reading.resolution;
    t.raw_hex = hex(reading.raw);
    t.arrived_utc_ms = reading.arrival.utc_ms;
    return t;
}

void Decider::proof_reading(const commands::GaugeSaid& c, const Reading& reading) {
    const auto& gauge = s_.gauges.at(c.gauge).registered;
    const auto& reference = s_.references.at(s_.proof->reference);
    auto t = taken(c, reading);
    t.purpose = Purpose::proof;
    emit(t);

    GaugeProved proved;
    proved.gauge = c.gauge;
    proved.reference = reference.reference;
    proved.reading_seq = s_.last_seq;
    proved.size = reference.size;
    proved.value = reading.value;
    proved.error = reading.value - reference.size;
    proved.limit = gauge.proof_limit;
    proved.passed = proved.error.abs() <= gauge.proof_limit;
    if (proved.passed) {
        proved.valid_until_utc_ms = now_.utc_ms + rules_.proof_interval_ms;
    } else {
        gauge_failed(c.gauge, proved.error);
    }
    emit(proved);
}

// Everything measured since the last good proof is suspect and held, passed or not.
void Decider::gauge_failed(const std::string& gauge, Length error) {
    const auto serials = s_.gauges.at(gauge).measured_since_proof;
    for (const auto& serial : serials) {
        const auto& a = s_.assemblies.at(serial);
        if (a.stage == Stage::scrapped) continue;
        // A hold that is open keeps its cause: nobody may settle it on readings that nothing stands behind, so the
        // suspicion comes on top as the newer hold.
        AssemblyHeld held;
        held.serial = serial;
        held.cause = HoldCause::suspect;
        held.gauge = gauge;
        held.gauge_error = error;
        held.made_by = a.measured_by.empty() ? std::string() : *a.measured_by.begin();
        emit_as({}, held);
    }
}

void Decider::setup_reading(const commands::GaugeSaid& c, const Reading& reading, const NextStep& next) {
    const SpecRow& row = *row_in_work(s_);
    const std::string key = setup_key(row, hose_lot_in_work(s_));
    auto t = taken(c, reading);
    t.purpose = Purpose::setup;
    t.what = Characteristic::crimp_diameter;
    t.flat = next.flat;
    t.lower = next.band->lower;
    t.upper = next.band->upper;
    t.uncertainty = s_.gauges.at(c.gauge).registered.uncertainty;
    t.verdict = next.band->holds(reading.value) ? Verdict::conforms : Verdict::fails;
    t.side = reading.value < next.band->lower   ? Side::below
             : next.band->upper < reading.value ? Side::above
                                                : Side::none;
    emit(t);
    const auto& records = s_.setup->records;
    const bool all = std::all_of(row.flats.begin(), row.flats.end(), [&](std::int64_t flat) {
        return std::any_of(records.begin(), records.end(), [&](const StepRecord& r) { return r.flat == flat; });
    });
    if (!all) return;

    SetupJudged judged_setup;
    judged_setup.key = key;
    judged_setup.spec_id = row.spec_id;
    judged_setup.revision = row.revision;
    judged_setup.crimper = row.crimper;
    judged_setup.die_set = row.die_set;
    judged_setup.hose_lot = hose_lot_in_work(s_);
    judged_setup.lower = next.band->lower;
    judged_setup.upper = next.band->upper;
    judged_setup.passed = true;
    std::int64_t sum_from_middle = 0;
    for (const auto& r : records) {
        judged_setup.readings.push_back({r.flat, r.measured->value});
        sum_from_middle += r.measured->value.nm() - row.crimp.band().middle().nm();
        judged_setup.passed = judged_setup.passed && next.band->holds(r.measured->value);
    }
    const auto count = static_cast<std::int64_t>(records.size());
    const Length off = Length::from_nm(sum_from_middle / count);
    judged_setup.mean = row.crimp.band().middle() + off;
    judged_setup.correction = -off;
    emit(judged_setup);
}

}  // namespace crimpgate
