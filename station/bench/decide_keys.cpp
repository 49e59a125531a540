// Keys and witnesses. Signatures are made and checked by the shell, which holds the key; here is who may ask for it.
#include "station/bench/decider.h"

namespace crimpgate {

using namespace entries;

Result<void> Decider::operator()(const commands::HandOverKey& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (s_.clock_doubted) return refuse(message("bench.clock_in_doubt"));
    if (c.handed.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    if (c.handed.old_key != s_.record.key.key) return refuse(message("record.key_meanwhile"));
    emit(c.handed);
    return {};
}

Result<void> Decider::operator()(const commands::RecordRecovery& c) {
    if (auto ok = must_be(Role::setter); !ok) return ok;
    if (c.key != s_.record.key.key) return refuse(message("record.key_meanwhile"));
    emit(RecoveryPrinted{c.key});
    return {};
}

Result<void> Decider::operator()(const commands::KnowWitness& c) {
    if (auto ok = lead_or_setter(); !ok) return ok;
    if (c.holder.empty()) return refuse(message("bench.field_empty").with("field", "holder"));
    if (s_.record.witnesses.contains(c.key)) return refuse(message("record.witness_known").with("key", c.key));
    emit(WitnessKnown{c.key, c.holder});
    return {};
}

Result<void> Decider::operator()(const commands::ForgetWitness& c) {
    if (auto ok = lead_or_setter(); !ok) return ok;
    if (c.reason.empty()) return refuse(message("bench.field_empty").with("field", "reason"));
    if (!s_.record.witnesses.contains(c.key)) return refuse(message("record.no_witness").with("key", c.key));
    emit(WitnessForgotten{c.key, c.reason});
    return {};
}

// Whoever brings it: it was checked against a witness that the shop knows, and says nothing of who carried it here.
Result<void> Decider::operator()(const commands::BringCountersignature& c) {
    if (!s_.record.witnesses.contains(c.signed_.key))
        return refuse(message("record.no_witness").with("key", c.signed_.key));
    emit(c.signed_);
    return {};
}

}  // namespace crimpgate
