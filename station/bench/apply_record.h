// The part of applying that is about the record which leaves the house: keys, checkpoints, certificates, deliveries,
// links, recalls, proof tests, returns. Internal to station/bench.
#pragma once

#include "station/bench/state.h"

namespace crimpgate {

class ApplyRecord {
  public:
    ApplyRecord(BenchState& state, const Facts& facts) : s_(state), f_(facts) {}

    void operator()(const entries::KeyMade& e) { key_is({e.name, e.key, e.tag_key, f_.seq}); }
    void operator()(const entries::KeyHandedOver& e) { key_is({e.name, e.key, e.tag_key, f_.seq}); }
    void operator()(const entries::RecoveryPrinted& e) { s_.record.recovery_printed = e.key == s_.record.key.key; }
    void operator()(const entries::WitnessKnown& e) { s_.record.witnesses[e.key] = e.holder; }
    void operator()(const entries::WitnessForgotten& e) { s_.record.witnesses.erase(e.key); }
    void operator()(const entries::CheckpointSigned& e) {
        s_.record.checkpoint_size = e.size;
        s_.record.checkpoint_seq = f_.seq;
        s_.record.checkpoint_utc_ms = f_.utc_ms;
    }
    void operator()(const entries::CheckpointCountersigned& e) {
        s_.record.countersigned_size = std::max(s_.record.countersigned_size, e.size);
    }
    void operator()(const entries::CertificateIssued&) { ++s_.record.certificates; }

    void operator()(const entries::DeliverySent& e) {
        ++s_.record.deliveries;
        for (const auto& serial : e.serials)
            if (auto* assembly = s_.assemblies.in_memory(serial); assembly != nullptr) assembly->delivery = e.delivery;
    }
    void operator()(const entries::DeliveryTakenBack& e) {
        for (const auto& serial : e.serials)
            if (auto* assembly = s_.assemblies.in_memory(serial);
                assembly != nullptr && assembly->delivery == e.delivery)
                assembly->delivery.clear();
    }
    void operator()(const entries::LinkMade& e) { s_.record.links[e.link] = {e, false}; }
    void operator()(const entries::LinkRevoked& e) {
        if (const auto found = s_.record.links.find(e.link); found != s_.record.links.end())
            found->second.revoked = true;
    }
    void operator()(const entries::LinkLooked&) {}
    void operator()(const entries::RecallDrawn&) { ++s_.record.recalls; }

    void operator()(const entries::ProofTested& e) {
        auto& assembly = s_.assemblies.at(e.serial);
        assembly.proof_test = e;
        assembly.measured_by.insert(f_.who);
    }
    void operator()(const entries::ApplicationOverridden& e) {
        s_.record.overridden[e.order].insert(e.findings.begin(), e.findings.end());
    }

    void operator()(const entries::ReturnOpened& e) {
        ReturnState opened;
        opened.opened = e;
        opened.opened_by = f_.who;
        opened.opened_utc_ms = f_.utc_ms;
        s_.record.returns[e.return_] = std::move(opened);
        ++s_.record.returns_opened;
    }
    void operator()(const entries::ReturnAnswered& e) { s_.record.returns[e.return_].answers[e.question] = e; }
    void operator()(const entries::ReturnBegun& e) { s_.record.returned = e.return_; }
    void operator()(const entries::ReturnLeft&) { s_.record.returned.clear(); }
    void operator()(const entries::ReturnMeasured& e) {
        s_.record.returns[e.return_].measured.push_back(e);
        if (const auto gauge = s_.gauges.find(e.gauge); gauge != s_.gauges.end()) gauge->second.used_since_proof = true;
    }
    void operator()(const entries::ReturnConcluded& e) { s_.record.returns[e.return_].concluded = e; }
    void operator()(const entries::ReturnReopened& e) { s_.record.returns[e.return_].concluded.reset(); }

  private:
    // The page that was printed for the key before brings back nothing any more.
    void key_is(KeyState key) {
        s_.record.key = std::move(key);
        s_.record.recovery_printed = false;
    }

    BenchState& s_;
    const Facts& f_;
};

}  // namespace crimpgate
