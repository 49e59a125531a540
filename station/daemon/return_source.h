// A returned hose with everything that this station's record says of it: its own readings beside their limits and their
// siblings, the gauges behind them, re-crimps, concessions, holds, drift, its age, its application, what was measured
// now; the ranking that follows from it; and who shares something with it and is out in the world.
//
// It needs a journal opened for reading and nothing else, so the API asks on a thread of its own. Nothing is judged
// here: verdicts are the record's as they were (R1, R6). Evidence that the record does not have stays missing.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "specs/failure_ranking.h"
#include "station/bench/return_steps.h"
#include "station/daemon/recall_source.h"
#include "station/journal/return_record.h"

namespace crimpgate {

struct ReturnSetting {
    std::string time_zone;  // checked
    std::int64_t hose_age_years = usual_hose_age_limit_years;
    std::optional<entries::OrderOpened> order;  // of its assembly, as it was opened
    ShownUnit unit = ShownUnit::mm;             // of what happened, in sentences
    std::size_t most_serials = 60;              // named of each group
    std::string only_customer;                  // of the groups only these serials are named (R12); empty: all
};

// A reading of the record, or of the returned part, beside what was allowed.
struct ReturnReading {
    End end = End::a;
    Characteristic what = Characteristic::crimp_diameter;
    std::int64_t flat = 0;
    std::optional<Length> value, lower, upper, margin;
    std::optional<MarkSeen> seen;
    std::optional<bool> yes;
    std::optional<Verdict> verdict;  // of the record; what came back has none
    bool conceded = false;
    std::optional<Length> siblings_mean;
    Length uncertainty, resolution;
    LengthUnit unit = LengthUnit::mm;
    std::string gauge, who;
    std::int64_t seq = 0, at_ms = 0;
    bool counts = true;    // of the returned part: false when that place was measured again
    bool doubted = false;  // its gauge failed its next proof, or was taken out of use
};

// An entry that tells more than a reading does: a hold, how it was settled, a proof, a drift.
struct ReturnHappened {
    std::int64_t seq = 0, at_ms = 0;
    std::string who;
    Message what;
};

struct ReturnGroup {
    std::string code;                   // "hose_lot" ... as code_of(SiblingGroup); "crimper_shift", "spec_revision"
    std::optional<SiblingGroup> group;  // of those that causes name
    std::string key;                    // "NH-3Q26-1187"
    RecallWanted recall;                // the same list on the recall page
    SharedBy shared;
    bool at_risk = false;
    std::vector<std::string_view> because_of, why;
};

struct ReturnFound {
    ReturnState returned;
    std::optional<AssemblyState> assembly;  // as the journal has it
    std::optional<WhereItWent> went;
    std::vector<Message> notices;  // what has to be known before anything else: scrapped, another customer's, ...
    std::vector<Answered> answers;
    Application used;
    ReturnEvidence evidence;
    std::vector<ReturnReading> record, measured;
    std::vector<ReturnHappened> happened;  // in order
    ReturnRanking ranking;
    std::vector<ReturnGroup> groups;  // those at risk first
    std::map<std::string, std::string> people;
    std::optional<std::int64_t> concluded_ms;  // when, and by whom
    std::string concluded_by;
    std::int64_t upto_seq = 0;
    std::string last_hash;  // hex, of that entry
    std::string station;
};

// Refusals are the disk's, and "returned.no_serial" for a serial that the journal does not have.
Result<ReturnFound> find_return(const Journal& journal, const ReturnState& returned, const ReturnSetting& setting);

// Parts of it, in files of their own.
Result<void> add_record(const Journal& journal, const ReturnSetting& setting, ReturnFound& out);
Result<void> add_groups(const Journal& journal, const ReturnSetting& setting, ReturnFound& out);

}  // namespace crimpgate
