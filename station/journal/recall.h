// A recall: every assembly that shares something with the one in question, where it went, and how close it was.
//
// From the views alone, a row at a time, in the order of starting. All criteria must hold. Spec row, revision, die set
// and crimper must hold of the same end. One unchanging picture of the journal. A Result because the disk may fail.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "reports/recall_row.h"
#include "station/entries/record_entries.h"
#include "station/journal/journal.h"

namespace crimpgate {

// Criteria: "hose_lot"; "fitting_lot" (of either end); "die_set", "crimper", "spec_row", "spec_revision"; "gauge"
// (a reading by it counts for the assembly); "operator" (whoever began, measured or confirmed); "customer", "order";
// "around_serial": what was crimped on the same crimper between the same set-up pieces or die confirmations as that
// serial, or with "around_count" N those N that were begun before and after it on its crimper.
//
// A time range narrows to what was in work within it: begun before its end, and passed or measured last after its
// start. With a gauge or an operator it is their readings (or confirmations) that must lie in it.
struct RecallAsked {
    std::vector<entries::RecallCriterion> criteria;
    std::optional<std::int64_t> from_ms;  // inclusive
    std::optional<std::int64_t> to_ms;    // exclusive
    std::int64_t upto_seq = 0;            // only what was begun up to that entry; 0: all
};

struct RecallShare {
    std::int64_t assemblies = 0;
    std::int64_t delivered = 0;
    bool operator==(const RecallShare&) const = default;
};

struct RecallFound {
    std::int64_t upto_seq = 0;  // the journal's last entry when it was drawn
    std::int64_t assemblies = 0;
    std::int64_t delivered = 0;
    std::map<std::string, RecallShare> customers;
    std::string list_sha256;  // of the serials in order, one a line
};

// Every row in order. What is asked must be known to the record ("recall.not_known": what, value), since an empty list
// for a word mistyped would look like good news; "recall.nothing_asked", "recall.bad_criterion".
Result<RecallFound> recall(const Journal& journal, const RecallAsked& asked,
                           const std::function<void(const RecallRow&)>& each);

// The recalls that were drawn, newest first, as JSON rows of the view "recalls"; or one: "recall.no_recall".
Result<boost::json::array> recalls(const Journal& journal, std::int64_t limit);
Result<boost::json::object> drawn_recall(const Journal& journal, const std::string& recall);

}  // namespace crimpgate
