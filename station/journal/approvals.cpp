#include "station/journal/approvals.h"

#include <boost/json.hpp>

#include "station/journal/database.h"
#include "station/json/canonical.h"

namespace crimpgate {

namespace json = boost::json;

Result<json::array> uncertainties_set(const Journal& journal) {
    return guarded([&] {
        json::array out;
        journal.database().each(
            "SELECT e.bytes FROM happenings h JOIN entries e ON e.seq = h.seq WHERE h.type = ? ORDER BY h.seq",
            [&](SQLite::Statement& row) {
                auto entry = parse_strict_object(row.getColumn(0).getString());
                if (!entry) throw SQLite::Exception("an entry cannot be read: " + entry.error().code);
                const auto& body = entry->at("body").as_object();
                json::object one{{"seq", entry->at("seq")}, {"time", entry->at("time")}, {"who", entry->at("who")}};
                for (const char* name : {"gauge", "study", "uncertainty_nm", "before_nm", "expanded_nm",
                                         "coverage_permille", "degrees_of_freedom", "reason"})
                    one[name] = body.at(name);
                out.push_back(std::move(one));
            },
            std::string("gauge.uncertainty_set"));
        return out;
    });
}

}  // namespace crimpgate
