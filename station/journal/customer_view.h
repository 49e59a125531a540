// What a customer may see through a link (R12): every question here is bound to the link's customer and delivery, and
// to one serial where the tag on a hose opened it, in its SQL, so that another's rows are never read, and not filtered
// out afterwards.
//
// A link to one delivery shows what is out with it now. A link to everything of a customer shows what was sent to them
// and what passed and waits; what never left the house and did not pass is nobody else's business. Who measured, why
// something was held and what stands on the shop's own lists is in none of these answers.
//
// States as a customer reads them: "passed", "conceded" (passed on a concession), "in_question" (the shop doubts it
// now: out of service until it says more), "withdrawn" (scrapped or not to be used).
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include <boost/json/array.hpp>
#include <boost/json/object.hpp>

#include "reports/epcis.h"
#include "station/journal/journal.h"

namespace crimpgate {

struct LinkScope {
    std::string link;         // its number, "TL-3"
    std::string customer;     // whose
    std::string delivery;     // empty: everything of the customer
    std::string valid_until;  // last day; empty: until it is revoked
    std::string serial{};     // of the tag that opened it: of all that, this one assembly; empty: its own address did
};

// The link whose token has that hash; nothing when there is none or it is revoked. The last day is the caller's to
// look at, who knows what day it is.
Result<std::optional<LinkScope>> link_of(const Journal& journal, const std::string& token_sha256);

// The newest link that the tags open, too, and that covers that assembly today; its scope is that one alone. Nothing
// when there is none.
Result<std::optional<LinkScope>> link_of_tag(const Journal& journal, const std::string& serial,
                                             const std::string& today);

// For the lead: newest first, each with how often it was looked through (looks) and when last (looked).
Result<boost::json::array> links(const Journal& journal, std::int64_t limit);

// Customers that something was made or ordered for, by name; and whether one is among them.
Result<boost::json::array> customers_known(const Journal& journal);
Result<bool> has_customer(const Journal& journal, const std::string& customer);

struct CustomerFilter {
    std::string serial{}, order{}, lot{};  // of the hose or a fitting; empty: any
    std::int64_t limit = 0;
};

// Oldest first: serial, order, parts, lots, spec rows, pressure, lengths, passed, state, delivery.
Result<boost::json::array> customer_assemblies(const Journal& journal, const LinkScope& scope,
                                               const CustomerFilter& filter);
// "trace_page.not_there" for what is not in the link's scope, whether it exists or not.
Result<boost::json::object> customer_assembly(const Journal& journal, const LinkScope& scope,
                                              const std::string& serial);
// {"assemblies": how many, "in_question", "withdrawn", "deliveries", "orders", "hose_lots", "fitting_lots"}, each list
// with how many it has.
Result<boost::json::object> customer_overview(const Journal& journal, const LinkScope& scope);

// The number of the last entry that speaks of an assembly, 0 for none.
Result<std::int64_t> last_entry_of(const Journal& journal, const std::string& serial);

// Certificates of that customer with nothing in them that lies outside the link; of one serial alone where it is given.
Result<boost::json::array> customer_certificates(const Journal& journal, const LinkScope& scope,
                                                 const std::string& serial);
// "trace_page.not_there".
Result<boost::json::object> customer_certificate(const Journal& journal, const LinkScope& scope,
                                                 const std::string& number);

// What the events' file tells (reports/epcis.h), of one serial where it is given; at most `most` assemblies,
// "trace_page.too_many" (most) beyond.
Result<EpcisFacts> customer_events(const Journal& journal, const LinkScope& scope, const std::string& serial,
                                   std::int64_t most);

}  // namespace crimpgate
