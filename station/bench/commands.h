// Everything that may happen at a bench: what people ask for and what gauges say. `who` is always a person that the
// shell has established (a session, or the PIN given for this one action); the bench checks what that person may do.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "drivers/reading.h"
#include "station/bench/record_commands.h"
#include "station/entries/entries.h"

namespace crimpgate {

// Now, as the shell's clock has it.
struct Now {
    std::int64_t utc_ms = 0;
    std::int64_t mono_ns = 0;
    std::string local_date;  // "2026-11-25" in the shop's time zone
};

namespace commands {

// --- setting the station up (setter; AddPerson also without anybody, while there is nobody) ---
struct AddPerson {
    std::string person;  // badge code
    std::string name;
    Role role = Role::operator_;
    std::string pin_hash;  // empty: none
    std::optional<std::string> passphrase_hash{};
    std::optional<std::string> badge{};
    std::optional<std::string> language{};
};
struct SetSecret {  // setter, or oneself
    std::string person;
    Secret secret = Secret::pin;
    std::string secret_hash;
};
struct GiveRole {
    std::string person;
    Role role = Role::operator_;
};
struct GiveBadge {
    std::string person;
    std::string badge;
};
struct RetirePerson {
    std::string person;
    std::string reason;
};
struct ChooseLanguage {  // one's own
    std::string language;
};
struct SetGaugeLine {
    entries::GaugeLineSet line;
};
struct ChoosePrinter {
    entries::PrinterChosen printer;
};
struct SetScreen {
    entries::ScreenSet screen;
};
struct SetLimits {
    entries::LimitsSet limits;
};
struct RegisterGauge {
    entries::GaugeRegistered gauge;
};
struct RegisterReference {
    entries::ReferenceRegistered reference;
};
struct ProposeTable {
    std::string table;
    std::string file_sha256;
    std::vector<SpecRow> rows;
    std::vector<Message> warnings;  // what the check found
    bool warnings_acknowledged = false;
};
struct AdoptProposal {  // lead or setter, not whoever proposed it
    std::int64_t proposed_seq = 0;
};
struct DropProposal {
    std::int64_t proposed_seq = 0;
    std::string reason;
};
struct OpenOrder {
    entries::OrderOpened order;
};

struct OverrideApplication {  // lead: answers for what the application check of an order stops
    std::string order;
    std::string reason;
};

// --- people at the bench ---
struct SignIn {};
struct SignOut {};
// From the shell: nobody used the bench for as long as the shop allows.
struct SignOutIdle {};
struct StartShift {};
struct EndShift {};
// From the shell: the wall clock moved against the monotonic one while the station ran.
struct ClockMoved {
    std::int64_t expected_utc_ms = 0;
    std::int64_t found_utc_ms = 0;
};
struct AcceptClock {};  // lead: the clock is right now

// --- gauges ---
struct ProveGauge {
    std::string gauge;
    std::string reference;
};
struct WithdrawGauge {  // lead
    std::string gauge;
    std::string reason;
};
struct GaugeSaid {
    std::string gauge;
    GaugeEvent event;
};
struct GaugeGone {
    std::string gauge;
    Message why;
};
struct GaugeReturned {
    std::string gauge;
};

// --- the work ---
struct TakeOrder {
    std::string order;
};
struct ConfirmLots {
    std::string hose_lot;
    std::string fitting_a_lot;
    std::string fitting_b_lot;
};
struct ConfirmDie {
    std::string die_set;
    std::string crimper;
    std::string setting;
};
// What no gauge measures: lubricant (yes), a mark at the shell's edge (seen), the bore pin (yes).
struct Confirm {
    Characteristic what = Characteristic::lubricant;
    std::optional<bool> yes;
    std::optional<MarkSeen> seen;
};
// The proof test of the assembly in work, read from a pressure gauge by a person.
struct TestProof {
    Pressure reached;
    std::int64_t held_s = 0;
    std::string medium;
    std::string seen;  // "nothing", "leak", "moved", "burst"
    std::string manometer;
};
// The last reading or confirmation of the end in work. Whoever measured may void one that conforms or is uncertain; one
// that fails only a lead who did not take it.
struct VoidLast {
    std::string reason;
};
// Something is wrong that no gauge sees. The assembly in work, or by its serial any that was not scrapped: damage seen
// on the rack, a wrong fitting noticed after the pass.
struct HoldAssembly {
    std::string reason;
    std::string serial{};  // empty: the one in work
};
struct PutInQuarantine {
    std::string serial;
};
struct SettleHold {
    std::string serial;
    Settlement how = Settlement::scrap;
    std::string reason;
    std::string customer_reference;
    std::string second{};  // proved by their own PIN or passphrase; empty: nobody
};
struct TakeUp {
    std::string serial;
};

// --- tags (the shell prints; the bench says whether it may) ---
struct RecordTag {  // from the shell itself
    std::variant<entries::TagPrinting, entries::TagPrinted, entries::TagFailed, entries::TagInDoubt> what;
};
struct SettleTagDoubt {
    std::string serial;
    bool found = false;
};

// --- the QC lead ---
struct FreezeLimits {  // reckoned by the shell from the journal
    entries::LimitsFrozen limits;
};
struct ReleaseLimits {
    std::string stream;
    ChartOf chart = ChartOf::means;
    std::string reason;
};
struct SetWatch {
    entries::WatchSet watch;
};
struct SignOffShift {
    std::string shift;
    std::string remark;
};

// --- gauge studies; the bench gives the study its name and draws its turns from the seed ---
struct PlanStudy {  // lead
    entries::StudyPlanned plan;
};
struct BeginStudy {
    std::string study;
};
struct LeaveStudy {};
struct VoidTurn {  // the last one, by whoever took it
    std::string reason;
};
struct DropStudy {  // lead
    std::string study;
    std::string reason;
};
struct ApproveUncertainty {  // lead who did not measure; the figures are the shell's, from the study
    entries::UncertaintySet set;
};

// --- samples; the bench gives the sample its name, its size and its serials ---
struct DrawSample {  // lead
    entries::SampleDrawn sample;
};
struct BeginSample {
    std::string sample;
};
struct LeaveSample {};

// --- what leaves the house ---
struct SendDelivery {  // lead
    std::string customer;
    std::string note_number;  // may be empty: a shop without a paper of its own
    std::string date;         // empty: today
    std::string to;
    std::vector<std::string> serials;
};
struct TakeBackDelivery {  // lead: it did not go after all, or came back unopened
    std::string delivery;
    std::vector<std::string> serials;
    std::string reason;
};
struct DrawRecall {  // lead; the list is drawn by the shell from the journal, the bench gives it its number
    entries::RecallDrawn recall;
};

// --- certificates: made by the shell, number and all ---
struct IssueCertificate {  // lead
    entries::CertificateIssued certificate;
    // The link to its delivery that is printed on it; the shell made the token.
    std::optional<entries::LinkMade> link{};
};

}  // namespace commands

using CommandTypes = std::variant<
    commands::IssueCertificate, commands::AddPerson, commands::SetSecret, commands::GiveRole, commands::GiveBadge,
    commands::RetirePerson, commands::ChooseLanguage, commands::SetGaugeLine, commands::ChoosePrinter,
    commands::SetScreen, commands::SetLimits, commands::RegisterGauge, commands::RegisterReference,
    commands::ProposeTable, commands::AdoptProposal, commands::DropProposal, commands::OpenOrder,
    commands::OverrideApplication, commands::SignIn, commands::SignOut, commands::SignOutIdle, commands::StartShift,
    commands::EndShift, commands::ClockMoved, commands::AcceptClock, commands::ProveGauge, commands::WithdrawGauge,
    commands::GaugeSaid, commands::GaugeGone, commands::GaugeReturned, commands::TakeOrder, commands::ConfirmLots,
    commands::ConfirmDie, commands::Confirm, commands::TestProof, commands::VoidLast, commands::HoldAssembly,
    commands::PutInQuarantine, commands::SettleHold, commands::TakeUp, commands::RecordTag, commands::SettleTagDoubt,
    commands::FreezeLimits, commands::ReleaseLimits, commands::SetWatch, commands::SignOffShift, commands::PlanStudy,
    commands::BeginStudy, commands::LeaveStudy, commands::VoidTurn, commands::DropStudy, commands::ApproveUncertainty,
    commands::DrawSample, commands::BeginSample, commands::LeaveSample, commands::SendDelivery,
    commands::TakeBackDelivery, commands::DrawRecall, commands::HandOverKey, commands::RecordRecovery,
    commands::KnowWitness, commands::ForgetWitness, commands::BringCountersignature, commands::MakeLink,
    commands::RevokeLink, commands::OpenReturn, commands::AnswerReturn, commands::BeginReturn, commands::LeaveReturn,
    commands::ConcludeReturn, commands::ReopenReturn>;

// One of the above; as EntryBody, compiled once, in command.cpp.
class Command : public CommandTypes {
  public:
    template <class T>
    requires(is_one_of<T, CommandTypes>) Command(T command);
    Command(const Command& other);
    Command(Command&& other) noexcept;
    Command& operator=(const Command& other);
    Command& operator=(Command&& other) noexcept;
    ~Command();
};

}  // namespace crimpgate
