// Entries of the record that leaves the house: the station's keys and signed checkpoints, certificates, deliveries, the
// customers' links, recalls, proof tests and returned hoses. See entries.h.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "specs/judgement.h"
#include "specs/length.h"
#include "specs/pressure.h"
#include "station/entries/audit_entries.h"

namespace crimpgate {

// What a look through a customer's link was at.
enum class Looked { overview, record, certificate, evidence, list, events };

namespace entries {

// --- keys and checkpoints ---
// Keys are written as C2SP verifier keys, "name+key id in hex+base64"; the tag's key as the base64 of its 32 bytes.
struct KeyMade {
    static constexpr std::string_view type = "key.made";
    std::string name;
    std::string key;
    std::string tag_key;
};
// `statement` is a signed note of the old key over the new ones, so that whoever trusts the old one can go on.
struct KeyHandedOver {
    static constexpr std::string_view type = "key.handed_over";
    std::string name;
    std::string old_key;
    std::string key;
    std::string tag_key;
    std::string statement;
    std::string reason;
};
struct RecoveryPrinted {
    static constexpr std::string_view type = "key.recovery_printed";
    std::string key;
};
// A key kept elsewhere, which countersigns.
struct WitnessKnown {
    static constexpr std::string_view type = "witness.known";
    std::string key;     // a C2SP verifier key of a cosigner
    std::string holder;  // who keeps it
};
struct WitnessForgotten {
    static constexpr std::string_view type = "witness.forgotten";
    std::string key;
    std::string reason;
};
// The tree of the first `size` entries; `note` is the signed note, verbatim.
struct CheckpointSigned {
    static constexpr std::string_view type = "checkpoint.signed";
    std::int64_t size = 0;
    std::string root;  // base64
    std::string note;
    std::string cause;  // "shift_end", "hour", "asked", "certificate", "start"
};
// One signature line more under the checkpoint of that size.
struct CheckpointCountersigned {
    static constexpr std::string_view type = "checkpoint.countersigned";
    std::int64_t size = 0;
    std::string key;   // the witness's verifier key
    std::string line;  // the note's signature line, verbatim, without its newline
    std::int64_t signed_utc_s = 0;
};

// --- what leaves the house ---
struct CertificateIssued {
    static constexpr std::string_view type = "certificate.issued";
    std::string certificate;  // its number, "CF-12"
    std::string subject;      // "serial", "order", "delivery"
    std::string subject_id;
    std::string customer;
    std::vector<std::string> serials;
    std::string statement;     // "declaration", "manner_2_2", "manner_3_1"
    std::string releaser;      // as printed
    std::string function;      // of the releaser
    bool independent = false;  // of production, as the releaser stated
    std::string paper;         // "a4", "letter"
    std::string language;
    std::string pdf_sha256;
    std::string evidence_sha256;
    std::int64_t checkpoint_size = 0;
    // The customer's link whose address is printed on it, "TL-3".
    std::optional<std::string> link{};
};
struct DeliverySent {
    static constexpr std::string_view type = "delivery.sent";
    std::string delivery;  // its number, "DL-7"
    std::string customer;
    std::string note_number;  // the customer's or the shop's own paper
    std::string date;         // in the shop's time zone
    std::string to;           // where it went
    std::vector<std::string> serials;
};
struct DeliveryTakenBack {
    static constexpr std::string_view type = "delivery.taken_back";
    std::string delivery;
    std::vector<std::string> serials;
    std::string reason;
};
// The token itself was shown once and is not kept.
struct LinkMade {
    static constexpr std::string_view type = "link.made";
    std::string link;  // its number, "TL-3"
    std::string token_sha256;
    std::string customer;
    std::string delivery;     // empty: everything of the customer
    std::string valid_until;  // ISO date, the last day; empty: until it is revoked
    // true: the signed code on the tag of an assembly opens it too, for that one assembly.
    std::optional<bool> opens_by_tag{};
    // The certificate that has its address printed on it, "CF-12".
    std::optional<std::string> certificate{};
};
struct LinkRevoked {
    static constexpr std::string_view type = "link.revoked";
    std::string link;
    std::string reason;
};
struct LinkLooked {
    static constexpr std::string_view type = "link.looked";
    std::string link;
    Looked what = Looked::overview;
    std::string subject;  // serial, order or lot; empty for the overview
    // The serial of the tag that opened it; none: its address did.
    std::optional<std::string> by_tag{};
};

// --- recall ---
struct RecallCriterion {
    // "hose_lot", "fitting_lot", "die_set", "crimper", "gauge", "spec_row", "operator", "around_serial"
    std::string what;
    std::string value;
    bool operator==(const RecallCriterion&) const = default;
};
struct RecallDrawn {
    static constexpr std::string_view type = "recall.drawn";
    std::string recall;  // its number, "RC-2"
    std::string reason;
    std::vector<RecallCriterion> criteria;  // all of them must hold
    std::optional<std::int64_t> from_utc_ms;
    std::optional<std::int64_t> to_utc_ms;
    std::int64_t upto_seq = 0;
    std::int64_t assemblies = 0;
    std::int64_t delivered = 0;
    std::vector<std::string> customers;  // who has some of them
    std::string list_sha256;             // of the serials in order, one a line
};

// --- the proof test ---
struct ProofTestAsked {
    Pressure pressure;
    std::int64_t hold_s = 30;
    std::string medium;
    bool operator==(const ProofTestAsked&) const = default;
};
struct ProofTested {
    static constexpr std::string_view type = "assembly.proof_tested";
    std::string serial;
    ProofTestAsked asked;
    Pressure reached;
    std::int64_t held_s = 0;
    std::string medium;
    std::string seen;       // "nothing", "leak", "moved", "burst"
    std::string manometer;  // what the pressure was read on
    bool passed = false;
};
// A lead answers for an order whose application check says stop.
struct ApplicationOverridden {
    static constexpr std::string_view type = "application.overridden";
    std::string order;
    std::vector<std::string> findings;  // their codes
    std::string reason;
};

// --- a hose comes back ---
struct ReadOff {
    std::string what;  // "maker", "standard", "dash", "pressure", "date_code", "fitting", "other"
    std::string value;
    bool operator==(const ReadOff&) const = default;
};
struct ReturnOpened {
    static constexpr std::string_view type = "return.opened";
    std::string return_;  // its number, "RT-4"
    std::string serial;   // empty: not one of ours, or not readable
    std::string customer;
    std::string received;  // date, in the shop's time zone
    std::string reported;  // the customer's words
    bool someone_hurt = false;
    std::vector<ReadOff> read_off;
};
// The last answer to a question counts.
struct ReturnAnswered {
    static constexpr std::string_view type = "return.answered";
    std::string return_;
    std::string question;
    std::string answer;
    std::string text;
};
// The station's gauges speak for this return until it is left.
struct ReturnBegun {
    static constexpr std::string_view type = "return.begun";
    std::string return_;
};
struct ReturnLeft {
    static constexpr std::string_view type = "return.left";
    std::string return_;
};
struct ReturnMeasured {
    static constexpr std::string_view type = "return.measured";
    std::string return_;
    End end = End::a;
    Characteristic what = Characteristic::crimp_diameter;
    std::int64_t flat = 0;
    std::string gauge;
    std::int64_t proof_seq = 0;
    Length value;
    LengthUnit unit = LengthUnit::mm;
    Length resolution;
    Length uncertainty;
    std::string raw_hex;
    std::int64_t arrived_utc_ms = 0;
};
struct RankedCause {
    std::string mode;
    std::int64_t weight = 0;
    bool operator==(const RankedCause&) const = default;
};
struct ReturnConcluded {
    static constexpr std::string_view type = "return.concluded";
    std::string return_;
    std::vector<RankedCause> ranking;  // as the station ranked them
    std::string cause;                 // as the person judged; empty: not known
    std::string remark;
    std::string bench_action;
    std::string application_action;
};
struct ReturnReopened {
    static constexpr std::string_view type = "return.reopened";
    std::string return_;
    std::string reason;
};

}  // namespace entries
}  // namespace crimpgate
