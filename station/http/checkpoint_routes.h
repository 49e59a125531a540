// The record's seal over HTTP: checkpoints signed, shown and countersigned, witnesses, and the station's key.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "station/daemon/key_change.h"
#include "station/http/routes.h"
#include "station/journal/checkpoints.h"

namespace crimpgate {

// What the station lends for it; null: a station without a key (409 "evidence.no_key").
struct CheckpointParts {
    std::function<Result<KeptCheckpoint>(const std::string& cause, const std::string& who)> sign{};
    // What could not be written to the folders at the last signing.
    std::function<std::vector<Message>()> unwritten{};
    std::function<KeyChange(const std::string& reason, const std::string& who)> hand_over{};
    // From the key's file, for the recovery page alone; whoever gets it wipes it.
    std::function<Result<Seed>()> seed{};
};

std::vector<Route> checkpoint_routes();

}  // namespace crimpgate
