// Which entries the bench's fold of one assembly needs, for whoever reads its record again: a certificate, a hose that
// came back. Deliveries, tags and samples change nothing that these look at.
#pragma once

#include "station/entries/entry_json.h"

namespace crimpgate {

bool of_assembly(const EntryBody& body);

}  // namespace crimpgate
