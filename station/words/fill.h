// A sentence's holes filled with a message's details, in whichever language the sentence is.
#pragma once

#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate {

// "{name}" is the detail of that name. An empty sentence gives the code and its details, so that nobody stands before
// an empty screen. The catalogue's lengths are in millimetres; in a shop that shows inches the message says so beside
// its figures, and " mm" behind a hole becomes " in".
std::string filled(std::string_view sentence, const Message& message);

}  // namespace crimpgate
