// What an audit is reckoned from: plain facts, as the journal's views hold them, already narrowed to what was asked
// for.
//
// Lengths are whole nanometres, points in time UTC milliseconds, `seq` the number of the entry that says it. Voided
// readings are among them (voided_seq > 0), since a void is an override that an auditor asks about.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "specs/length.h"
#include "specs/message.h"

namespace crimpgate::audit {

// What is asked for; what is empty does not narrow. Times are UTC milliseconds, from inclusive, to exclusive.
struct Scope {
    std::string shift;     // "2026-11-25/1"
    std::string from_day;  // local dates, both inclusive
    std::string to_day;
    std::string order;
    std::string customer;
    std::string spec;  // spec id
    std::string die_set;
    std::string hose_lot;
    std::string gauge;   // assemblies with a reading of it
    std::string person;  // assemblies with a reading or confirmation of theirs
    bool operator==(const Scope&) const = default;
};

struct AssemblyFact {
    std::string serial, order, customer, shift, hose_lot, fitting_a_lot, fitting_b_lot;
    std::string spec_a, revision_a, die_set_a, crimper_a, spec_b, revision_b, die_set_b, crimper_b;
    std::string person;  // who began it
    std::string stage;   // "in_work", "on_hold", "to_be_taken_up", "passed", "scrapped"
    std::string concession_reference;
    std::int64_t recrimps = 0;
    std::int64_t started_seq = 0, started_ms = 0;
    std::int64_t passed_seq = 0, passed_ms = 0;  // 0: not passed
};

struct FindingFact {
    std::string what;     // "crimp_diameter", "depth", ...
    std::string verdict;  // "fails", "uncertain"
    std::string side;     // "below", "above", "none"
};

// Each judgement of an end, re-crimped ones too (attempt).
struct EndFact {
    std::int64_t seq = 0, ms = 0;
    std::string serial, end, verdict, person;
    std::int64_t attempt = 1;
    std::optional<Length> mean, spread;
    std::vector<FindingFact> findings;  // only what does not conform
};

struct ReadingFact {
    std::int64_t seq = 0, ms = 0;
    std::string person, purpose, serial, end, what, gauge, verdict, side;
    std::int64_t flat = 0, attempt = 1, proof_seq = 0;
    Length value, resolution;
    std::optional<Length> lower, upper, guard, uncertainty;
    std::int64_t voided_seq = 0;
    std::string void_reason, voided_by;
    std::int64_t voided_ms = 0;
};

// What a person said they saw or did: nothing that a gauge said.
struct ConfirmationFact {
    std::int64_t seq = 0, ms = 0;
    std::string person, serial, end, what, verdict;
    std::int64_t attempt = 1, voided_seq = 0;
};

// Each copy of a tag as it stands now: a copy that failed is made again under its own number.
struct TagFact {
    std::int64_t seq = 0, ms = 0;  // when it was begun last
    std::string serial, person, reason;
    std::int64_t copy = 0;
    std::string state;                         // "printing", "printed", "failed", "in_doubt"
    std::int64_t state_seq = 0, state_ms = 0;  // since when it is so
};

struct HoldFact {
    std::int64_t seq = 0, ms = 0;
    std::string serial, end, cause, gauge, reason, made_by;
    std::int64_t settled_seq = 0, settled_ms = 0;  // 0: open
    std::string settled_by, how, settle_reason, customer_reference;
};

struct RefusalFact {
    std::int64_t seq = 0, ms = 0;
    std::string person, gauge, serial;
    Message why;
};

struct ProofFact {
    std::int64_t seq = 0, ms = 0;
    std::string person, gauge, reference;
    Length size, value, error, limit;
    bool passed = false;
};

struct SetupFact {
    std::int64_t seq = 0, ms = 0;
    // The die.confirmed by which the die set was put in, or its setting changed, last before; 0: not known. Several
    // set-up pieces may follow each other on one mounting: another hose lot, a drift warning, a gauge that failed.
    std::int64_t mounting_seq = 0;
    std::string person, key, spec, revision, crimper, die_set, hose_lot;
    Length mean, correction;
    bool passed = false;
};

struct GaugeFact {
    std::string gauge, calibrated, calibration_due, certificate;
    Length resolution, uncertainty, proof_limit;
    bool withdrawn = false;
};

struct ShiftFact {
    std::string shift, date;
    std::int64_t started_seq = 0, started_ms = 0, ended_seq = 0, ended_ms = 0;  // 0: never closed
    std::string started_by, ended_by, signed_off_by, remark;
    std::int64_t signed_off_seq = 0, signed_off_ms = 0, upto_seq = 0;
    bool running = false;  // at the bench now
};

// Overrides, devices, clocks and settings: what happened beside the work, told as the journal tells it.
struct HappeningFact {
    std::int64_t seq = 0, ms = 0;
    std::string type, person, serial;  // serial: where the entry speaks of one
    Message told;                      // code and details of its sentence
};

// The spec row of a stream as the assemblies carry it.
struct StreamFact {
    std::string stream;  // "spec id|revision|crimper|die set"
    std::string spec, revision, crimper, die_set;
    Length lower, upper, nominal;
    std::int64_t places = 0;
};

struct FrozenFact {
    std::string stream;
    bool spreads = false;  // else of the means
    Length centre, lower, upper, sigma;
    std::int64_t seq = 0, ms = 0, from_seq = 0, to_seq = 0, points = 0;
    std::string person, reason;
    std::vector<std::int64_t> left_out;  // judgements of ends with a known cause: the limits were reckoned without
};

// How far the record goes and whether it was read through.
struct JournalFact {
    std::string station;
    std::int64_t last_seq = 0;
    std::string last_hash;          // of the last entry, hex
    std::int64_t verified_seq = 0;  // 0: not verified for this audit
    std::optional<Message> damage;
};

struct AuditFacts {
    Scope scope;
    std::string time_zone;
    std::int64_t now_ms = 0;
    std::string today;  // local date
    bool inches = false;
    std::vector<AssemblyFact> assemblies;         // by started_seq
    std::vector<EndFact> ends;                    // by seq; of those assemblies
    std::vector<ReadingFact> readings;            // by seq; of those assemblies, and set-up readings of the time
    std::vector<ConfirmationFact> confirmations;  // by seq; of those assemblies
    std::vector<HoldFact> holds;                  // by seq; of those assemblies
    std::vector<TagFact> tags;  // by state_seq; of those assemblies, and of those whose tag is among the happenings
    std::vector<RefusalFact> refusals;  // by seq; of the time
    std::vector<ProofFact> proofs;      // by seq; of the gauges concerned, one before and one after the time too
    std::vector<SetupFact> setups;
    std::vector<GaugeFact> gauges;
    std::vector<ShiftFact> shifts;  // that the assemblies or the time belong to
    std::vector<HappeningFact> happenings;
    std::vector<StreamFact> streams;
    std::vector<FrozenFact> frozen;
    std::vector<std::string> watch_rules;  // codes of the run rules in force
    JournalFact journal;
};

}  // namespace crimpgate::audit
