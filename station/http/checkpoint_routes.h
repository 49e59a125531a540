// The record's seal over HTTP: checkpoints signed, shown and countersigned, witnesses, and the station's key.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "station/http/routes.h"
#include "station/journal/checkpoints.h"
#include "station/proof/signing_key.h"

namespace crimpgate {

// What a change of the station's key led to.
struct KeyChanged {
    std::optional<Message> refusal;  // nothing was changed
    std::optional<Message>
        unsettled;  // it was changed, but its file is still to be put in place: the next start does it
};

// What the station lends for it; null: a station without a key (409 "evidence.no_key").
struct CheckpointParts {
    std::function<Result<KeptCheckpoint>(const std::string& cause, const std::string& who)> sign{};
    // What could not be written to the folders at the last signing.
    std::function<std::vector<Message>()> unwritten{};
    std::function<KeyChanged(const std::string& reason, const std::string& who)> hand_over{};
    // From the key's file, for the recovery page alone; whoever gets it wipes it.
    std::function<Result<Seed>()> seed{};
};

std::vector<Route> checkpoint_routes();

}  // namespace crimpgate
