// One assembly's record as a customer reads it: what its certificate would say, as JSON. Lengths in nanometres,
// pressures in kilopascals, times in UTC, as everywhere; people by name, as on certificates.
#pragma once

#include <boost/json/object.hpp>

#include "reports/certificate.h"

namespace crimpgate {

// Members: order facts, hose, fittings, ends with every reading that counts, worst (the least margin), concessions,
// recrimps, proof_tests, gauges, application, rules. `data` holds that one assembly.
boost::json::object trace_record(const CertificateData& data);

}  // namespace crimpgate
