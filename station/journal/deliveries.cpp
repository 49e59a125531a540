#include "station/journal/deliveries.h"

#include <boost/json.hpp>

#include "station/journal/database.h"

namespace crimpgate {

namespace json = boost::json;

namespace {

constexpr const char* with_counts =
    "SELECT d.*, (SELECT count(*) FROM assemblies a WHERE a.delivery = d.delivery) AS out, "
    "json_array_length(e.bytes, '$.body.serials') AS sent FROM deliveries d JOIN entries e ON e.seq = d.seq ";

}  // namespace

Result<json::array> deliveries(const Journal& journal, std::int64_t limit) {
    return guarded([&] {
        return journal.database().rows((std::string(with_counts) + "ORDER BY d.seq DESC LIMIT ?").c_str(), limit);
    });
}

Result<json::object> delivery(const Journal& journal, const std::string& number) {
    return guarded([&]() -> Result<json::object> {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        auto found = database.rows((std::string(with_counts) + "WHERE d.delivery = ?").c_str(), number);
        if (found.empty()) return refuse(message("delivery.no_delivery").with("delivery", number));
        json::object out;
        out["delivery"] = std::move(found.front());
        out["assemblies"] = database.rows(
            "SELECT serial, \"order\", customer_part, stage, hose_lot, concession_reference, passed FROM assemblies "
            "WHERE delivery = ? ORDER BY seq",
            number);
        out["taken_back"] = database.rows(
            "SELECT e.seq, e.time, e.who, json_extract(e.bytes, '$.body.reason') AS reason, "
            "json_extract(e.bytes, '$.body.serials') AS serials_json FROM happenings h JOIN entries e ON e.seq = h.seq "
            "WHERE h.type = 'delivery.taken_back' AND json_extract(e.bytes, '$.body.delivery') = ? ORDER BY e.seq",
            number);
        return out;
    });
}

Result<json::array> customers_to_send(const Journal& journal) {
    return guarded([&] {
        return journal.database().rows(
            "SELECT customer, count(*) AS assemblies FROM assemblies WHERE stage = 'passed' AND delivery IS NULL "
            "GROUP BY customer ORDER BY customer");
    });
}

Result<json::array> assemblies_to_send(const Journal& journal, const std::string& customer) {
    // As the bench has it (decide_record.cpp): the last copy is printed, and its print began after the pass.
    return guarded([&] {
        return journal.database().rows(
            "SELECT a.serial, a.\"order\", a.customer_part, a.passed, a.concession_reference, "
            "coalesce((SELECT t.state = 'printed' AND t.seq > a.passed_seq FROM tags t WHERE t.serial = a.serial ORDER "
            "BY t.copy DESC LIMIT 1), 0) AS tag_valid_yn "
            "FROM assemblies a WHERE a.customer = ? AND a.stage = 'passed' AND a.delivery IS NULL ORDER BY a.seq",
            customer);
    });
}

}  // namespace crimpgate
