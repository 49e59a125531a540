// What a bench knows: the fold of its journal. Nothing here is stored; it is rebuilt by applying every entry in order,
// and applying depends on nothing but the entry (never on the configuration of the day), so that a restart at any
// instant leads to the state that the last committed entry left behind (R2).
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "station/bench/assemblies.h"
#include "station/entries/entries.h"

namespace crimpgate {

struct PersonState {
    std::string name;
    Role role = Role::operator_;
    std::string pin_hash;         // empty: none
    std::string passphrase_hash;  // empty: none
    std::string badge;            // what signs them in at the bench
    std::string language;         // empty: none chosen
    bool retired = false;
    std::int64_t wrong_in_a_row = 0;  // wrong PINs and passphrases since the last right one
};

struct GaugeState {
    entries::GaugeRegistered registered;
    bool connected = false;
    bool lost = false;  // gone while the station ran, and not proved since
    bool needs_proof = true;
    std::int64_t proof_seq = 0;  // of the last good proof
    std::int64_t valid_until_utc_ms = 0;
    std::string prover;
    bool used_since_proof = false;               // by anything: an end of shift asks for a proof then
    std::set<std::string> measured_since_proof;  // serials
};

struct OrderState {
    entries::OrderOpened order;
    std::int64_t passed = 0;
    std::int64_t scrapped = 0;
    std::int64_t open = 0;  // in work, on hold or waiting to be taken up
    bool may_start_another() const { return passed + open < order.quantity; }
    bool complete() const { return passed >= order.quantity; }
};

struct ProposalState {
    entries::TableProposed table;
    std::string by;
    std::int64_t utc_ms = 0;
};

// The last thing that a gauge said since somebody signed in, for the screen.
struct LastSaid {
    std::int64_t seq = 0;
    std::int64_t utc_ms = 0;
    std::optional<entries::ReadingTaken> taken;
    std::optional<entries::ReadingRefused> refused;
};

struct ProofPending {
    std::string gauge;
    std::string reference;
};

struct LotsInUse {
    std::string order;
    std::string hose;
    std::string fitting_a;
    std::string fitting_b;
};

struct SetupWork {
    std::string key;
    std::vector<StepRecord> records;
};

// An end that was judged with all its places, as the drift watch sees it.
struct EndMean {
    std::int64_t seq = 0;
    std::string serial;
    End end = End::a;
    Length mean;
    Length spread;
};

struct StudyState {
    entries::StudyPlanned plan;
    std::string planned_by;
    std::map<std::int64_t, entries::StudyMeasured> measured;  // by turn; a voided one is gone
    std::map<std::int64_t, std::string> measured_by;
    bool dropped = false;
    bool complete() const { return measured.size() == plan.turns.size(); }
};

struct SampleState {
    entries::SampleDrawn drawn;
    std::string drawn_by;
    std::vector<entries::SampleMeasured> measured;
    std::optional<entries::SampleJudged> judged;
};

struct KeyState {
    std::string name;  // empty: no key was made yet
    std::string key;
    std::string tag_key;
    std::int64_t seq = 0;
};

struct LinkState {
    entries::LinkMade made;
    bool revoked = false;
};

struct ReturnState {
    entries::ReturnOpened opened;
    std::string opened_by;
    std::int64_t opened_utc_ms = 0;
    std::map<std::string, entries::ReturnAnswered> answers;  // by question
    std::vector<entries::ReturnMeasured> measured;
    std::optional<entries::ReturnConcluded> concluded;
};

// What the record that leaves the house rests on.
struct RecordState {
    KeyState key;
    bool recovery_printed = false;
    std::map<std::string, std::string> witnesses;  // key -> who keeps it
    std::int64_t checkpoint_size = 0;              // of the last one signed
    std::int64_t checkpoint_seq = 0;
    std::int64_t checkpoint_utc_ms = 0;
    std::int64_t countersigned_size = 0;  // the largest
    std::int64_t certificates = 0;        // how many numbers were given, as with the next three
    std::int64_t deliveries = 0;
    std::int64_t recalls = 0;
    std::int64_t returns_opened = 0;
    std::map<std::string, LinkState> links;
    // Orders whose application check a lead answered for, with the codes of what they answered for.
    std::map<std::string, std::set<std::string>> overridden;
    std::map<std::string, ReturnState> returns;  // by number
    std::string returned;                        // being measured at the bench, or empty
};

struct BenchState {
    std::int64_t last_seq = 0;
    std::int64_t last_utc_ms = 0;

    std::map<std::string, PersonState> people;
    std::map<std::string, GaugeState> gauges;
    std::map<std::string, entries::ReferenceRegistered> references;
    std::map<std::string, SpecRow> rows;                 // in force, by spec id
    std::map<std::int64_t, ProposalState> proposals;     // tables that wait for their second signature
    std::map<std::string, entries::GaugeLineSet> lines;  // as set at the station; others are the configuration's
    std::optional<entries::PrinterChosen> printer;
    std::optional<entries::LimitsSet> limits;
    entries::ScreenSet screen;
    std::map<std::string, OrderState> orders;
    Assemblies assemblies;

    std::string person;  // signed in at the bench, or empty
    std::string shift;   // running, or empty
    std::int64_t shifts_of_day = 0;
    std::string last_shift_date;
    bool clock_doubted = false;
    std::optional<ProofPending> proof;

    std::string order;  // taken, or empty
    std::optional<LotsInUse> lots;
    std::map<std::string, std::string> mounted;        // crimper -> die set
    std::map<std::string, std::string> settings;       // crimper -> setting, as confirmed
    std::set<std::string> setups;                      // keys whose set-up piece sat well
    std::map<std::string, std::string> setup_crimper;  // key -> crimper, to forget them with the die set
    std::optional<SetupWork> setup;
    std::optional<entries::SetupJudged> last_setup;
    std::string current;              // serial in work, or empty
    std::string stopped;              // serial whose part must go into quarantine before anything else, or empty
    std::int64_t serial_counter = 0;  // of the last serial given
    std::optional<LastSaid> last;

    // The QC lead's.
    std::optional<entries::WatchSet> watch;
    std::map<std::string, std::vector<EndMean>> running;  // by set-up: the last fifty since its set-up piece
    std::map<std::string, entries::DriftWarned> drifted;  // by set-up: until its next set-up piece sits well
    std::map<std::pair<std::string, ChartOf>, entries::LimitsFrozen> frozen;
    std::set<std::string> known_shifts;
    std::map<std::string, std::int64_t> signed_off;  // shift -> up to which entry
    std::map<std::string, StudyState> studies;
    std::string study;  // at the bench, or empty
    std::map<std::string, SampleState> samples;
    std::string sample;  // at the bench, or empty

    RecordState record;
};

// How many end means of a running set-up are kept.
inline constexpr std::size_t most_running = 50;

// What applying needs to know of an entry beside its body.
struct Facts {
    std::int64_t seq = 0;
    std::int64_t utc_ms = 0;
    std::string who;
};

void apply(BenchState& state, const Facts& facts, const EntryBody& body);

// Forgets whatever is quiet (assemblies.h) and neither in work nor waiting for its quarantine. Applying does it at the
// start and at the end of a shift.
void forget_quiet(BenchState& state);

// Whether nothing more is expected of an assembly: scrapped, or passed with its tag printed as the record stands.
bool quiet(const AssemblyState& assembly);

// The readings that count of an end, as the judgement takes them.
EndReadings readings_of(const EndState& end);

// Once the mark has met the shell's edge, the hose is in the shell and its end cannot be measured any more.
bool pushed_in(const EndState& end);

// The end in work: A until it is done.
End end_in_work(const BenchState& state);

// The spec row in work: of the assembly, or the one that the next will be made to; null without an order.
const SpecRow* row_in_work(const BenchState& state);

// Of the assembly in work, else the reel at the bench; empty when no lot was confirmed.
std::string hose_lot_in_work(const BenchState& state);

// Whose code that is: what a badge says (for a PIN), or also the person's own id (for a passphrase). Null: nobody's, or
// somebody's who is retired.
const std::pair<const std::string, PersonState>* person_of_code(const BenchState& state, const std::string& code,
                                                                Secret secret);

// What one chart may hold together.
std::string stream_of(const SpecRow& row);

// A set-up holds for one spec row and revision on one crimper with one die set and one hose lot.
std::string setup_key(const SpecRow& row, const std::string& hose_lot);

}  // namespace crimpgate
