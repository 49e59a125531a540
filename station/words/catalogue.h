// The words for a message: its code's sentence from the catalogue with the details filled into the holes.
//
// The catalogue (station/words/en.json, built into the program) holds one sentence a code: what happened, what it
// means, what to do. A test compares it with every code and every detail in the sources.
#pragma once

#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate {

// A code without a sentence says itself and its details, so that nobody stands before an empty screen.
std::string say(const Message& message);

// The sentence with its holes, empty when there is none.
std::string_view sentence(std::string_view code);

}  // namespace crimpgate
