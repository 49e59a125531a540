// An entry in one sentence, for a trace, a terminal, a log: what happened, in the trade's words.
#pragma once

#include "specs/message.h"
#include "station/entries/entries.h"

namespace crimpgate {

// Codes and details for the catalogue; `who` is the person's id, empty for the station itself. In inches the message
// has the detail "unit", as in finding_words.h.
Message words_of(const EntryBody& body, const std::string& who, ShownUnit unit = ShownUnit::mm);

}  // namespace crimpgate
