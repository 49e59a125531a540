// What a bench knows of one assembly, and of all of them by serial.
//
// A bench makes some ten thousand assemblies a year and needs a few of them at a time. Those that are quiet, because
// nothing more is expected of them, are forgotten at the start and the end of each shift, and recalled from the journal
// when somebody names them: a hold on what had passed, a reprint, a sample. Whoever looks by serial does not notice;
// whoever walks over all of them sees those that are not quiet.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "station/entries/entries.h"

namespace crimpgate {

// A reading or a confirmation that counts (a voided or superseded one is only in the journal).
struct StepRecord {
    std::int64_t seq = 0;
    Characteristic what = Characteristic::depth;
    std::int64_t flat = 0;
    std::optional<Measured> measured;
    std::optional<MarkSeen> seen;
    std::optional<bool> yes;
    Verdict verdict = Verdict::conforms;
    Side side = Side::none;
    std::string gauge;
    std::string who;
};

struct EndState {
    std::int64_t attempt = 1;
    std::vector<StepRecord> records;
    std::vector<Finding> last_findings;  // of the last end.judged
    std::vector<Finding> conceded;
    // Uncertain readings that were voided, by characteristic and flat: a void wins no further tries (R5).
    std::map<std::pair<Characteristic, std::int64_t>, std::int64_t> voided_uncertain;
    bool crimped = false;  // in this attempt: from here on neither die set nor set-up is asked for
    bool done = false;
};

enum class Stage { in_work, on_hold, to_be_taken_up, passed, scrapped };

struct HoldState {
    std::int64_t seq = 0;
    HoldCause cause = HoldCause::failed;
    std::optional<End> end;
    std::string gauge;
    Length gauge_error;
    std::string reason;
    bool recrimp_possible = false;
    // Every gauge that is doubted while the hold is open, with its error (zero: not known, the gauge is gone). A second
    // gauge's failure takes the first one's place as the hold's cause, never as a doubt.
    std::map<std::string, Length> doubted{};
};

enum class TagState { none, printing, printed, failed, in_doubt };

struct AssemblyState {
    entries::AssemblyStarted started;
    std::int64_t started_seq = 0;
    std::int64_t number = 0;  // of the order, in the order of starting
    Stage stage = Stage::in_work;
    std::array<EndState, 2> ends;
    std::optional<HoldState> hold;
    std::optional<Settlement> rework;  // how the last hold was settled, while waiting and while taken up
    std::int64_t recrimps = 0;
    std::string concession_reference;
    std::string concession_by;
    std::set<std::string> measured_by;
    std::int64_t passed_seq = 0;
    std::int64_t passed_utc_ms = 0;
    std::string passed_by;
    TagState tag = TagState::none;
    std::int64_t tag_copy = 0;      // the copy that `tag` speaks of
    std::int64_t tag_seq = 0;       // of its last entry
    std::int64_t tag_made_seq = 0;  // when its print began: what stands on it is the record as it was then
    std::string tag_file;
    std::string tag_printer;                           // empty: the folder alone
    std::optional<entries::ProofTested> proof_test{};  // the last
    std::string delivery;                              // it left the house with, or empty

    const SpecRow& row(End end) const { return end == End::a ? started.row_a : started.row_b; }
    EndState& at(End end) { return ends[end == End::a ? 0 : 1]; }
    const EndState& at(End end) const { return ends[end == End::a ? 0 : 1]; }
};

class Assemblies {
  public:
    using Map = std::map<std::string, AssemblyState>;
    using iterator = Map::iterator;
    using const_iterator = Map::const_iterator;
    // The assembly as the journal has it up to that entry; nothing for a serial that was never given.
    using Recall = std::function<std::optional<AssemblyState>(const std::string& serial, std::int64_t upto_seq)>;
    // The serials of a shift's assemblies up to that entry, quiet or not.
    using OfShift = std::function<std::vector<std::string>(const std::string& shift, std::int64_t upto_seq)>;

    // Without these, what was forgotten is not found: for whoever keeps all in memory and never forgets.
    void recall_with(Recall recall, OfShift of_shift);
    bool can_recall() const { return static_cast<bool>(recall_); }
    // Up to which entry the journal may be asked: applying sets it to the entry before its own.
    void upto(std::int64_t seq) { upto_ = seq; }

    void put(const std::string& serial, AssemblyState assembly);
    // Whoever is not there, in memory or in the journal, throws std::out_of_range.
    AssemblyState& at(const std::string& serial);
    const AssemblyState& at(const std::string& serial) const;
    iterator find(const std::string& serial);
    const_iterator find(const std::string& serial) const;
    // Only when it need not be recalled; null otherwise.
    AssemblyState* in_memory(const std::string& serial);
    std::vector<std::string> of_shift(const std::string& shift) const;

    iterator begin() { return known_.begin(); }
    iterator end() { return known_.end(); }
    const_iterator begin() const { return known_.begin(); }
    const_iterator end() const { return known_.end(); }
    std::size_t size() const { return known_.size(); }
    bool empty() const { return known_.empty(); }
    void forget(const std::function<bool(const std::string& serial, const AssemblyState&)>& which);

  private:
    iterator fetch(const std::string& serial) const;

    mutable Map known_;  // looking one up may recall it
    Recall recall_;
    OfShift of_shift_;
    std::int64_t upto_ = 0;
};

}  // namespace crimpgate
