// The sentences in the languages of the pages, for papers that are made here.
#pragma once

#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate {

// In that language ("en", "de"), in English where that language lacks the sentence, else as code and details.
std::string say_in(std::string_view language, const Message& message);

}  // namespace crimpgate
