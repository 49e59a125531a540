// Questions to the views, answered as JSON: what screens, the command line and reports ask for.
//
// Members have the names of the views' columns (view_tables.cpp); what is not known is left out. Every question is one
// unchanging picture of the journal. A Result because the disk may fail.
#pragma once

#include <string>
#include <string_view>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "station/journal/journal.h"

namespace crimpgate {

// Every order in the order of opening, with its lots and the counts of its assemblies by stage: in_work, on_hold,
// to_be_taken_up, passed, scrapped.
Result<boost::json::array> orders(const Journal& journal);

// Holds that wait to be settled, one an assembly, whichever was stopped first coming first. Each with the assembly's
// order, customer, customer_part, stage, quarantined and recrimps; the shift in which it was held; how often its tag
// was printed (tags_printed) and what became of the last print (tag); first_held_seq, smaller than seq when a suspicion
// came on top of an older hold; and for a suspect the entry that cast the doubt, doubt_seq.
Result<boost::json::array> open_holds(const Journal& journal);

// Every hold, settled or not, oldest first, with the same members.
Result<boost::json::array> all_holds(const Journal& journal);

// What made the gauges of those holds doubtful, by doubt_seq: {"seq", "time", "who", "gauge", "kind": "proof" with
// reference, size_nm, value_nm, error_nm and limit_nm, or "withdrawn" with reason; "good_seq", "good_time",
// "good_error_nm": the last good proof before, if there was one}.
Result<boost::json::array> doubts(const Journal& journal, const boost::json::array& holds);

// Assemblies of an order in the order of starting.
Result<boost::json::array> assemblies_of(const Journal& journal, const std::string& order);

// Everything the station knows of an assembly: {"assembly", "readings" (voided ones too, raw frames), "confirmations",
// "ends_judged", "holds" (as all_holds), "tags", "proofs" and "gauges" that its readings stand on, "entries" (all that
// speak of it, as entries_json)}. Refused with "trace.no_serial".
Result<boost::json::object> trace(const Journal& journal, const std::string& serial);

// Gauges with the state of their proofs, the last proof as "last_proof".
Result<boost::json::array> gauges(const Journal& journal);

Result<boost::json::array> references(const Journal& journal);
Result<boost::json::array> people(const Journal& journal);
// Each with the counts of the assemblies started in it, by stage as orders() has them, and once it is signed off how
// many entries came for them after that (late_entries).
Result<boost::json::array> shifts(const Journal& journal);
Result<boost::json::array> tags(const Journal& journal);

// Spec rows in force, each as {"spec_id", "revision", "seq", "row": {...}}.
Result<boost::json::array> spec_rows_in_force(const Journal& journal);

// The last entry of that type, whole as entries_since gives it; empty when there is none.
Result<boost::json::object> last_entry_of(const Journal& journal, std::string_view type);

// Entries after `seq`, at most `limit`, whole: the members of their bytes and "hash" in hex.
Result<boost::json::array> entries_since(const Journal& journal, std::int64_t seq, std::int64_t limit);

}  // namespace crimpgate
