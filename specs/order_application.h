// The part of an order file that tells what the machine asks of the assembly, and whether each is proof-tested.
#pragma once

#include <optional>

#include "specs/order.h"

namespace crimpgate {

namespace order_cells {
class RowReader;
}

// The columns from `fluid` to `duty`; nothing when all of them are empty.
std::optional<Application> read_application(order_cells::RowReader& read);

// `proof_test` yes, or nothing. A pressure, time or medium without it is an error: somebody meant a test.
std::optional<ProofTest> read_proof_test(order_cells::RowReader& read);

}  // namespace crimpgate
