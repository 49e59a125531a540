// What a screen gets of the bench: station/bench/show.h with what only the shell knows (the shop's name, its time zone)
// and with messages, not yet words, for whatever speaks against a part: each reader's own language has the sentence.
#pragma once

#include <boost/json/object.hpp>
#include <string>

#include "station/daemon/desk.h"

namespace crimpgate {

boost::json::object shown_bench(const Desk& desk, const std::string& shop);

}  // namespace crimpgate
