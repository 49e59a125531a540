// One assembly of a recall's list, as every output has it. Lengths in whole nanometres, times in UTC milliseconds.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

namespace crimpgate {

struct RecallRow {
    std::string serial;
    std::string order;
    std::string customer;
    std::string customer_part;
    std::string hose_lot;
    std::string fitting_a_lot;
    std::string fitting_b_lot;
    std::string spec_a;  // with what they are made to, the rows' revisions as they were (R6)
    std::string revision_a;
    std::string spec_b;
    std::string revision_b;
    std::string stage;  // "in_work", "on_hold", "to_be_taken_up", "passed", "scrapped"
    std::int64_t started_ms = 0;
    std::string started_by;      // ids
    std::int64_t passed_ms = 0;  // 0: it never passed
    std::string passed_by;
    std::string verdict;  // of its ends as last judged, the worse: "conforms", "uncertain", "fails"; empty: not judged
    // The reading that came nearest to a limit, of those that count; negative: outside by so much. Nothing measured:
    // none.
    std::optional<std::int64_t> margin_nm;
    std::string margin_end;                 // "a", "b"
    std::string margin_what;                // "crimp_diameter", "depth", ...
    std::int64_t margin_place = 0;          // the flat; 0: not of a place
    std::optional<std::int64_t> spread_nm;  // the larger of its ends'
    std::int64_t recrimps = 0;
    std::string concession_reference;  // empty: none
    std::string hold_cause;            // of a hold that is open: "failed", "uncertain", "suspect", "person", ...
    std::string hold_reason;
    std::string delivery;   // empty: in the house, as far as the record knows
    std::string delivered;  // date
    std::string note_number;
    std::string to;
};

}  // namespace crimpgate
