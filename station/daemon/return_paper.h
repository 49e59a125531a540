// The report on a returned hose from what was found, in the reader's words: the shop's own copy, or the customer's,
// which names nobody else's assemblies, no other customer and nobody of the shop's people (R12).
#pragma once

#include <functional>
#include <string>

#include "reports/return_report.h"
#include "station/daemon/return_source.h"

namespace crimpgate {

struct ReturnPaperAsked {
    bool for_customer = false;
    bool inches = false;
    std::string time_zone;
    std::function<std::string(const Message&)> say;  // in the paper's language
};

// Whether a customer's copy may be made at all: "returned.no_sender" when nobody knows who sent it,
// "returned.not_their_hose" when it was made for another customer, "returned.names_other" (field) when what was written
// at the conclusion names another customer.
Result<void> customers_copy_allowed(const ReturnFound& found, const std::vector<std::string>& all_customers);

ReturnReport return_report_of(const ReturnFound& found, const ReturnPaperAsked& asked);

}  // namespace crimpgate
