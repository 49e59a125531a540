// The journal's entries: every fact that the station keeps, one type each.
//
// Bodies hold codes and numbers, never sentences, and each is complete in itself: it can be read without the state
// that it was made in and without the configuration of the day. Lengths go out as whole nanometres under a name that
// ends in _nm, pressures as whole kilopascals under _kpa (station/json/reflect.h); times as UTC milliseconds under
// _utc_ms. A released type never changes its meaning; improvements get a new type or an optional member.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "specs/application.h"
#include "specs/judgement.h"
#include "specs/length.h"
#include "specs/message.h"
#include "specs/pressure.h"
#include "specs/spec_row.h"
#include "station/entries/audit_entries.h"
#include "station/entries/one_of.h"
#include "station/entries/record_entries.h"
#include "station/entries/shop_entries.h"

namespace crimpgate {

enum class Purpose { assembly, setup, proof };
enum class HoldCause {
    failed,      // an end did not conform
    uncertain,   // too close to a limit for this gauge, repeats used up
    suspect,     // measured since the last good proof of a gauge that then failed
    person,      // put aside by hand
    overturned,  // measured again from a sample, and another gauge does not share the verdict
    proof_test,  // leaked, moved or burst under proof pressure: scrap, whatever its crimps measure
};
enum class Settlement { recrimp, scrap, remeasure, concession };

namespace entries {

// --- the station itself ---
struct StationStarted {
    static constexpr std::string_view type = "station.started";
    std::string version;
    std::string configuration_sha256;
    std::string time_zone;
};
struct StationStopped {
    static constexpr std::string_view type = "station.stopped";
    std::string cause;
};
// The wall clock moved against the monotonic clock, or back behind the last entry (R10).
struct ClockStepped {
    static constexpr std::string_view type = "clock.stepped";
    std::int64_t expected_utc_ms = 0;
    std::int64_t found_utc_ms = 0;
    bool stops_line = false;
};
struct ClockAccepted {
    static constexpr std::string_view type = "clock.accepted";
    std::int64_t utc_ms = 0;
};

// --- gauges and references ---
struct GaugeRegistered {
    static constexpr std::string_view type = "gauge.registered";
    std::string gauge;
    std::string profile;
    std::string profile_sha256;
    Length resolution;
    Length uncertainty;      // standard, k = 1
    Length proof_limit;      // largest error of a proof that still counts as good
    std::string calibrated;  // ISO dates; the gauge measures up to and including the due date
    std::string calibration_due;
    std::string certificate;
};
struct ReferenceRegistered {
    static constexpr std::string_view type = "reference.registered";
    std::string reference;
    std::string kind;  // "setting ring", "pin", "gauge block"
    Length size;       // as calibrated, not as engraved
    std::string certificate;
    std::string calibration_due;
};
struct ProofBegun {
    static constexpr std::string_view type = "gauge.proof_begun";
    std::string gauge;
    std::string reference;
};
struct GaugeProved {
    static constexpr std::string_view type = "gauge.proved";
    std::string gauge;
    std::string reference;
    std::int64_t reading_seq = 0;
    Length size;
    Length value;
    Length error;
    Length limit;
    bool passed = false;
    std::int64_t valid_until_utc_ms = 0;
};
// Broken, lost or dropped: it will never be proved again, so what it measured stays suspect.
struct GaugeWithdrawn {
    static constexpr std::string_view type = "gauge.withdrawn";
    std::string gauge;
    std::string reason;
};
struct GaugeLost {
    static constexpr std::string_view type = "gauge.lost";
    std::string gauge;
    Message why;
};
struct GaugeBack {
    static constexpr std::string_view type = "gauge.back";
    std::string gauge;
    bool needs_proof = true;
};

// --- specs and orders ---
struct TableAdopted {
    static constexpr std::string_view type = "table.adopted";
    std::string table;
    std::string file_sha256;
    std::vector<SpecRow> rows;
    std::vector<Message> warnings;  // acknowledged by whoever proposed it
    // A table comes into force by two people: whoever proposed it, and whoever this entry is by.
    std::optional<std::int64_t> proposed_seq{};
    std::optional<std::string> proposed_by{};
};
struct TableProposed {
    static constexpr std::string_view type = "table.proposed";
    std::string table;
    std::string file_sha256;
    std::vector<SpecRow> rows;
    std::vector<Message> warnings;  // acknowledged by the proposer
};
struct ProposalDropped {
    static constexpr std::string_view type = "table.proposal_dropped";
    std::int64_t proposed_seq = 0;
    std::string reason;
};
struct LotIssued {
    std::string lot;
    std::string made;  // hose: quarter and year of manufacture, "2Q26"; empty when not known
    bool operator==(const LotIssued&) const = default;
};
struct OrderOpened {
    static constexpr std::string_view type = "order.opened";
    std::string order;
    std::string customer;
    std::string customer_part;
    std::int64_t quantity = 0;
    std::string spec_a;
    std::string spec_b;
    Length overall_length;
    std::string length_rule;
    std::optional<std::int64_t> orientation_deg;
    // How the angle is read: the same two elbows are 90 by one rule and 270 by another. "a_down_counter_clockwise":
    // seen from end A with its elbow at 6 o'clock, counter-clockwise to the elbow of end B.
    std::optional<std::string> orientation_rule;
    std::vector<LotIssued> hose_lots;
    std::vector<LotIssued> fitting_a_lots;
    std::vector<LotIssued> fitting_b_lots;
    std::optional<Pressure> needed_pressure;
    std::string due;
    std::string notes;
    // What the machine asks, what that came to on the day of opening, and the proof test that each assembly has to
    // pass.
    std::optional<Application> application{};
    std::optional<std::vector<ApplicationFinding>> application_findings{};
    std::optional<ProofTestAsked> proof_test{};
};

// --- the shift and the set-up ---
struct ShiftStarted {
    static constexpr std::string_view type = "shift.started";
    std::string shift;  // local date and number of the day, "2026-11-25/1"
    std::string date;   // in the shop's time zone
    std::int64_t number = 0;
};
struct ShiftEnded {
    static constexpr std::string_view type = "shift.ended";
    std::string shift;
};
struct OrderTaken {
    static constexpr std::string_view type = "order.taken";
    std::string order;
};
struct LotsConfirmed {
    static constexpr std::string_view type = "lots.confirmed";
    std::string order;
    std::string hose_lot;
    std::string fitting_a_lot;
    std::string fitting_b_lot;
};
struct DieConfirmed {
    static constexpr std::string_view type = "die.confirmed";
    std::string die_set;
    std::string crimper;
    std::string setting;
};
struct SetupReading {
    std::int64_t flat = 0;
    Length value;
    bool operator==(const SetupReading&) const = default;
};
struct SetupJudged {
    static constexpr std::string_view type = "setup.judged";
    std::string key;  // spec row, revision, crimper, die set, hose lot
    std::string spec_id;
    std::string revision;
    std::string crimper;
    std::string die_set;
    std::string hose_lot;
    std::vector<SetupReading> readings;
    Length lower;  // of the middle half of the band
    Length upper;
    Length mean;
    Length correction;  // what the crimp diameter should change by: negative closes, positive opens
    bool passed = false;
};

// --- assemblies ---
struct AssemblyStarted {
    static constexpr std::string_view type = "assembly.started";
    std::string serial;
    std::int64_t counter = 0;
    std::string order;
    std::string customer;
    std::string customer_part;
    std::string hose_lot;
    std::string fitting_a_lot;
    std::string fitting_b_lot;
    SpecRow row_a;  // as it was (R6)
    SpecRow row_b;
    Pressure working_pressure;
    Length overall_length;
    Length cut_length;
    std::string length_rule;
    std::optional<std::int64_t> orientation_deg;
    std::optional<std::string> orientation_rule;
    std::string shift;
    std::optional<ProofTestAsked> proof_test{};
};
struct ReadingTaken {
    static constexpr std::string_view type = "reading.taken";
    Purpose purpose = Purpose::assembly;
    std::string serial;  // empty for a set-up piece and for a proof
    std::optional<End> end;
    std::optional<Characteristic> what;
    std::int64_t flat = 0;
    std::int64_t attempt = 1;  // 2 after the first re-crimp
    std::string gauge;
    std::int64_t proof_seq = 0;  // the good proof that it stands on
    Length value;
    LengthUnit unit = LengthUnit::mm;
    Length resolution;
    std::string raw_hex;
    std::int64_t arrived_utc_ms = 0;
    std::optional<Length> lower;
    std::optional<Length> upper;
    std::optional<Length> guard;
    std::optional<Length> uncertainty;
    std::optional<Verdict> verdict;
    std::optional<Side> side;
};
struct ReadingRefused {
    static constexpr std::string_view type = "reading.refused";
    std::string gauge;
    Message why;
    std::string raw_hex;
    std::int64_t arrived_utc_ms = 0;
    std::string serial;  // in work at that moment, if any
};
struct ReadingVoided {
    static constexpr std::string_view type = "reading.voided";
    std::string serial;
    End end = End::a;
    Characteristic what = Characteristic::depth;
    std::int64_t flat = 0;
    std::int64_t voided_seq = 0;
    std::string reason;
};
struct StepConfirmed {
    static constexpr std::string_view type = "step.confirmed";
    std::string serial;
    End end = End::a;
    Characteristic what = Characteristic::lubricant;
    std::int64_t attempt = 1;
    std::optional<MarkSeen> seen;  // the two marks
    std::optional<bool> yes;       // lubricant, bore pin
    Verdict verdict = Verdict::conforms;
};
struct EndJudged {
    static constexpr std::string_view type = "end.judged";
    std::string serial;
    End end = End::a;
    std::int64_t attempt = 1;
    Verdict verdict = Verdict::conforms;
    std::vector<Finding> findings;
    std::vector<Characteristic> missing;
    std::optional<Length> mean;
    std::optional<Length> spread;
    std::int64_t conformity_ppm = 0;
    bool recrimp_possible = false;
};
struct AssemblyHeld {
    static constexpr std::string_view type = "assembly.held";
    std::string serial;
    HoldCause cause = HoldCause::failed;
    std::optional<End> end;
    std::string gauge;    // suspect only
    Length gauge_error;   // suspect only: found at the proof that failed
    std::string reason;   // person only
    std::string made_by;  // who measured: may not settle it (R9)
    bool recrimp_possible = false;
};
struct PartQuarantined {
    static constexpr std::string_view type = "part.quarantined";
    std::string serial;
};
struct HoldSettled {
    static constexpr std::string_view type = "hold.settled";
    std::string serial;
    Settlement how = Settlement::scrap;
    std::string reason;
    std::string customer_reference;  // concession only
    std::int64_t held_seq = 0;
    std::optional<std::string> second{};  // who signed beside whoever settled, where the shop asks for two
};
struct AssemblyTakenUp {
    static constexpr std::string_view type = "assembly.taken_up";
    std::string serial;
};
struct AssemblyPassed {
    static constexpr std::string_view type = "assembly.passed";
    std::string serial;
    std::string order;
    std::string concession_reference;  // empty: conforms in everything
    std::int64_t recrimps = 0;
};

// --- tags ---
// A print job is journalled before and after; what lies between a crash and its return is in doubt and a person says.
struct TagPrinting {
    static constexpr std::string_view type = "tag.printing";
    std::string serial;
    std::int64_t copy = 0;  // 0 is the tag; n is REPRINT n (R11)
    std::string reason;     // reprints only
    std::string pdf_sha256;
    std::string file;     // name in the tag folder
    std::string printer;  // empty: folder only
};
struct TagPrinted {
    static constexpr std::string_view type = "tag.printed";
    std::string serial;
    std::int64_t copy = 0;
    std::string job;  // the print server's, if any
};
struct TagFailed {
    static constexpr std::string_view type = "tag.failed";
    std::string serial;
    std::int64_t copy = 0;
    Message why;
};
struct TagInDoubt {
    static constexpr std::string_view type = "tag.in_doubt";
    std::string serial;
    std::int64_t copy = 0;
};
// A person looked: the tag in doubt is there, or it is not (and may be printed again under the same number).
struct TagDoubtSettled {
    static constexpr std::string_view type = "tag.doubt_settled";
    std::string serial;
    std::int64_t copy = 0;
    bool found = false;
};

}  // namespace entries

using EntryTypes = std::variant<
    entries::StationStarted, entries::StationStopped, entries::ClockStepped, entries::ClockAccepted,
    entries::PersonAdded, entries::SignedIn, entries::SignedOut, entries::SignInRefused, entries::SecretSet,
    entries::RoleGiven, entries::BadgeGiven, entries::PersonRetired, entries::LanguageChosen, entries::SessionBegun,
    entries::SessionEnded, entries::GaugeLineSet, entries::LimitsSet, entries::PrinterChosen, entries::ScreenSet,
    entries::TableProposed, entries::ProposalDropped, entries::GaugeRegistered, entries::ReferenceRegistered,
    entries::ProofBegun, entries::GaugeProved, entries::GaugeWithdrawn, entries::GaugeLost, entries::GaugeBack,
    entries::TableAdopted, entries::OrderOpened, entries::ShiftStarted, entries::ShiftEnded, entries::OrderTaken,
    entries::LotsConfirmed, entries::DieConfirmed, entries::SetupJudged, entries::AssemblyStarted,
    entries::ReadingTaken, entries::ReadingRefused, entries::ReadingVoided, entries::StepConfirmed, entries::EndJudged,
    entries::AssemblyHeld, entries::PartQuarantined, entries::HoldSettled, entries::AssemblyTakenUp,
    entries::AssemblyPassed, entries::TagPrinting, entries::TagPrinted, entries::TagFailed, entries::TagInDoubt,
    entries::TagDoubtSettled, entries::LimitsFrozen, entries::LimitsReleased, entries::WatchSet, entries::DriftWarned,
    entries::ShiftSignedOff, entries::StudyPlanned, entries::StudyBegun, entries::StudyLeft, entries::StudyMeasured,
    entries::StudyTurnVoided, entries::StudyDropped, entries::UncertaintySet, entries::SampleDrawn,
    entries::SampleBegun, entries::SampleLeft, entries::SampleMeasured, entries::SampleJudged, entries::KeyMade,
    entries::KeyHandedOver, entries::RecoveryPrinted, entries::WitnessKnown, entries::WitnessForgotten,
    entries::CheckpointSigned, entries::CheckpointCountersigned, entries::CertificateIssued, entries::DeliverySent,
    entries::DeliveryTakenBack, entries::LinkMade, entries::LinkRevoked, entries::LinkLooked, entries::RecallDrawn,
    entries::ProofTested, entries::ApplicationOverridden, entries::ReturnOpened, entries::ReturnAnswered,
    entries::ReturnBegun, entries::ReturnLeft, entries::ReturnMeasured, entries::ReturnConcluded,
    entries::ReturnReopened>;

// What an entry says: one of the types above. All that a variant of so many is made of is compiled once, in
// entry_body.cpp; where it was left to every file that touches one, it made two thirds of the code of each.
class EntryBody : public EntryTypes {
  public:
    EntryBody();
    template <class T>
    requires(is_one_of<T, EntryTypes>) EntryBody(T body);
    EntryBody(const EntryBody& other);
    EntryBody(EntryBody&& other) noexcept;
    EntryBody& operator=(const EntryBody& other);
    EntryBody& operator=(EntryBody&& other) noexcept;
    ~EntryBody();
};

}  // namespace crimpgate
