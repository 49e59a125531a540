// The part of applying that is about the shop: people, devices, limits, spec tables. Internal to station/bench.
#pragma once

#include <utility>

#include "station/bench/state.h"

namespace crimpgate {

class ApplyShop {
  public:
    ApplyShop(BenchState& state, const Facts& facts) : s_(state), f_(facts) {}

    void operator()(const entries::PersonAdded& e) {
        PersonState person;
        person.name = e.name;
        person.role = e.role;
        person.pin_hash = e.pin_hash;
        person.passphrase_hash = e.passphrase_hash.value_or("");
        person.badge = e.badge.value_or(e.person);
        person.language = e.language.value_or("");
        s_.people[e.person] = std::move(person);
    }
    void operator()(const entries::SignedIn& e) {
        s_.person = e.person;
        s_.people[e.person].wrong_in_a_row = 0;
        s_.last.reset();
    }
    void operator()(const entries::SignedOut&) {
        s_.person.clear();
        s_.last.reset();
    }
    void operator()(const entries::SignInRefused& e) {
        if (const auto person = s_.people.find(e.person); person != s_.people.end()) ++person->second.wrong_in_a_row;
    }
    void operator()(const entries::SecretSet& e) {
        auto& person = s_.people[e.person];
        (e.secret == Secret::pin ? person.pin_hash : person.passphrase_hash) = e.secret_hash;
        person.wrong_in_a_row = 0;
    }
    void operator()(const entries::RoleGiven& e) { s_.people[e.person].role = e.role; }
    void operator()(const entries::BadgeGiven& e) { s_.people[e.person].badge = e.badge; }
    void operator()(const entries::PersonRetired& e) { s_.people[e.person].retired = true; }
    void operator()(const entries::LanguageChosen& e) { s_.people[e.person].language = e.language; }
    void operator()(const entries::SessionBegun& e) { s_.people[e.person].wrong_in_a_row = 0; }
    void operator()(const entries::SessionEnded&) {}

    void operator()(const entries::GaugeLineSet& e) {
        s_.lines[e.gauge] = e;
        // R1: what lies at the end of another line may be another gauge.
        if (const auto gauge = s_.gauges.find(e.gauge); gauge != s_.gauges.end()) gauge->second.needs_proof = true;
    }
    void operator()(const entries::PrinterChosen& e) { s_.printer = e; }
    void operator()(const entries::ScreenSet& e) { s_.screen = e; }
    void operator()(const entries::LimitsSet& e) { s_.limits = e; }

    void operator()(const entries::TableAdopted& e) {
        for (const auto& row : e.rows)
            s_.rows[row.spec_id] = row;
        if (e.proposed_seq) s_.proposals.erase(*e.proposed_seq);
    }
    void operator()(const entries::TableProposed& e) { s_.proposals[f_.seq] = {e, f_.who, f_.utc_ms}; }
    void operator()(const entries::ProposalDropped& e) { s_.proposals.erase(e.proposed_seq); }

  private:
    BenchState& s_;
    const Facts& f_;
};

}  // namespace crimpgate
