// An entry in one sentence, for a trace, a terminal, a log: what happened, in the trade's words.
#pragma once

#include "specs/message.h"
#include "station/entries/entries.h"

namespace crimpgate {

// Codes and details for the catalogue; `who` is the person's id, empty for the station itself.
Message words_of(const EntryBody& body, const std::string& who);

}  // namespace crimpgate
