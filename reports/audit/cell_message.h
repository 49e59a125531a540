// A message inside a cell: {"code":"...","details":{"name":"text"}} there, a Message here, one line of text in files.
#pragma once

#include <string>
#include <string_view>

#include "specs/message.h"

namespace crimpgate::audit {

// What a cell of the kind `message` says. A cell that is no such object is taken as a code without details, so that
// nothing of it is lost.
Message message_in(std::string_view cell);

// "drift.trend: stream=P20-12; points=6", for files that know no catalogue.
std::string code_and_details(const Message& message);

// Details that are people's ids, in every sentence that has them: "person" and "who".
bool names_person(const Detail& detail);

}  // namespace crimpgate::audit
