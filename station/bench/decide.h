// The bench: a command comes in, entries come out. No I/O, no clock of its own.
#pragma once

#include <string>
#include <vector>

#include "station/bench/commands.h"
#include "station/bench/next_step.h"
#include "station/bench/rules.h"
#include "station/bench/state.h"

namespace crimpgate {

// One entry to append: the bench counts on it getting the next sequence number.
struct Decided {
    EntryBody body;
    std::string who;  // empty: the station itself
};

// A stepped clock is a fact even where the command itself is refused, so there may be both.
struct Outcome {
    std::vector<Decided> entries;
    std::optional<Message> refusal;  // for the person who asked
};

// What `command` leads to. The entries are already applied to `state` when this returns; the caller must append them to
// the journal, all or none, before it shows, prints or switches anything (R2). When appending fails, `state` is ahead
// of the journal: rebuild it from the journal before the next command.
//
// What a gauge sends is never refused: it becomes an entry, a reading or a refused reading, so that nothing it said is
// lost.
Outcome decide(BenchState& state, const BenchRules& rules, const Command& command, const std::string& who,
               const Now& now);

// A tag was printed, and the assembly then held and passed again: the tag on the part shows readings that no longer
// count, or does not say that a concession was given, and is due again as a reprint (R1, R11).
bool tag_outdated(const AssemblyState& assembly);

// Serials whose tag is due: passed, and no tag printed or under way, or outdated.
std::vector<std::string> tags_due(const BenchState& state);

}  // namespace crimpgate
