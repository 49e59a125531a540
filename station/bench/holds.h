// What may be done about an assembly on hold, whoever asks. Who may, and with what reason, is decided with the command.
#pragma once

#include "specs/message.h"
#include "station/bench/state.h"

namespace crimpgate {

// Refusals: "bench.no_recrimp", "bench.no_remeasure", "bench.depth_cannot_be_measured_again" (serial). The assembly
// must be on hold. Scrap is always open, and a concession unless a proof test failed
// ("bench.proof_test_only_scrap").
Result<void> may_be_settled(const AssemblyState& assembly, Settlement how);

}  // namespace crimpgate
