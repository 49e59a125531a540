// A recall as it is asked for and as it is handed on: words of a person turned into what the journal is asked, the rows
// gathered, letters made of them. For the API and the command line alike, so that they cannot differ.
#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include <boost/json/object.hpp>

#include "reports/recall_letter.h"
#include "station/journal/recall.h"

namespace crimpgate {

// As somebody wrote it. Times: "2026-11-25" or "2026-11-25T08:30", of the shop's clock; `to` as a day is that whole
// day.
struct RecallWanted {
    std::vector<entries::RecallCriterion> criteria;
    std::string from, to;
};

// The criteria's names in the order in which they are asked and shown.
const std::vector<std::string>& recall_criteria();

// "recall.bad_time" (found). The zone must have been checked.
Result<RecallAsked> recall_asked(const RecallWanted& wanted, const std::string& time_zone);

struct RecallMade {
    RecallFound found;
    std::vector<RecallRow> rows;                // the first so many
    std::map<std::string, std::string> people;  // names by id
    std::string station;
};

// At most so many rows are kept; all are counted and hashed.
Result<RecallMade> make_recall(const Journal& journal, const RecallAsked& asked, std::size_t most_rows);

// {"upto_seq", "assemblies", "delivered", "list_sha256", "station", "people", "customers": [{customer, assemblies,
// delivered}], "rows": [...]} and back ("json.*").
boost::json::object recall_json(const RecallMade& made);
Result<RecallMade> recall_in(const boost::json::object& object);

// As it is written down; number and reason are the caller's.
entries::RecallDrawn drawn_of(const RecallAsked& asked, const RecallFound& found);

// What a drawn recall asked for, so that its list can be made again; from its row of the view "recalls".
Result<RecallAsked> asked_of_drawn(const boost::json::object& drawn);

// The letter to one customer: its delivered assemblies and nobody else's (R12). "recall.none_delivered" (customer);
// "recall.names_other" when the reason names another customer of the list. The caller adds shop, words, paper.
Result<RecallLetter> recall_letter_to(const RecallMade& made, const std::string& customer, const std::string& reason);

}  // namespace crimpgate
