// What people and the shell ask of the bench about the record that leaves the house: keys and witnesses, the
// customers' links, hoses that come back. See commands.h.
#pragma once

#include <cstdint>
#include <string>

#include "station/entries/record_entries.h"

namespace crimpgate::commands {

// --- keys and witnesses: signatures are made and checked by the shell ---
struct HandOverKey {  // setter
    entries::KeyHandedOver handed;
};
struct RecordRecovery {  // setter
    std::string key;
};
struct KnowWitness {  // lead or setter
    std::string key;
    std::string holder;
};
struct ForgetWitness {  // lead or setter
    std::string key;
    std::string reason;
};
struct BringCountersignature {  // anybody: the signature proves itself
    entries::CheckpointCountersigned signed_;
};

// --- links: the shell makes the token and keeps nothing of it but its hash ---
struct MakeLink {  // lead
    entries::LinkMade link;
};
struct RevokeLink {  // lead
    std::string link;
    std::string reason;
};

// --- a hose comes back ---
struct OpenReturn {  // lead or operator; the bench gives the number
    entries::ReturnOpened opened;
};
struct AnswerReturn {  // lead or operator
    entries::ReturnAnswered answer;
};
struct BeginReturn {  // at the bench: from now on the gauges speak for this hose
    std::string return_;
};
struct LeaveReturn {};
struct ConcludeReturn {  // lead; the ranking is the shell's, from the record
    entries::ReturnConcluded concluded;
};
struct ReopenReturn {  // lead
    std::string return_;
    std::string reason;
};

}  // namespace crimpgate::commands
