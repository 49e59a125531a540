// Checkpoints and public keys as JSON, the same from a station and from a journal's file alone.
#pragma once

#include <string>
#include <vector>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/journal/checkpoints.h"

namespace crimpgate {

// The name in a verifier key's text, the whole text when it is none.
std::string name_in_key(const std::string& key);

// {"size", "seq", "time", "who", "cause", "root", "note", "countersignatures": [{"seq", "key", "name", "signed",
// "line", "holder" of a witness that is known}]}
boost::json::object checkpoint_json(const KeptCheckpoint& one, const std::vector<KnownWitness>& witnesses);

// {"keys": newest first [{"key", "tag_key" as a verifier key, "seq", "since", "in_force", "handed_over", "statement"}],
// "witnesses": [{"key", "name", "holder"}]}
Result<boost::json::object> keys_json(const Journal& journal);

}  // namespace crimpgate
