#include "station/journal/customer_view.h"

#include <map>
#include <set>
#include <utility>

#include "station/journal/database.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

// R12: the two ways in which an assembly is in a link's scope, by what says the link's customer and its delivery. A
// customer's link shows what was ever sent to them or has passed.
std::string of_delivery(const std::string& customer, const std::string& delivery) {
    return "a.delivery = " + delivery + " AND a.customer = " + customer;
}
std::string of_customer(const std::string& customer, const std::string& delivery) {
    return "a.customer = " + customer + " AND " + delivery +
           " = '' AND (a.stage = 'passed' OR a.delivery IS NOT NULL OR EXISTS(SELECT 1 FROM serial_entries s JOIN "
           "deliveries d ON d.seq = s.seq WHERE s.serial = a.serial AND d.customer = " +
           customer + "))";
}

// ?1 is the scope's customer, ?2 its delivery, ?3 the one serial that a tag opened.
std::string inside(const LinkScope& scope) {
    return (scope.delivery.empty() ? of_customer("?1", "?2") : of_delivery("?1", "?2")) +
           (scope.serial.empty() ? " AND ?3 = ''" : " AND a.serial = ?3");
}

constexpr const char* state =
    "CASE a.stage WHEN 'passed' THEN CASE WHEN coalesce(a.concession_reference, '') = '' THEN 'passed' ELSE 'conceded' "
    "END WHEN 'scrapped' THEN 'withdrawn' ELSE 'in_question' END";

std::string columns() {
    return std::string(
               "a.serial, a.\"order\", a.customer_part, a.time AS started, a.passed, a.hose_lot, a.fitting_a_lot, "
               "a.fitting_b_lot, a.spec_a, a.revision_a, a.spec_b, a.revision_b, a.working_pressure_kpa, "
               "a.overall_length_nm, a.cut_length_nm, a.length_rule, a.orientation_deg, a.recrimps, "
               "a.concession_reference, a.delivery, a.delivered, ") +
           state + " AS state";
}

// No serial, order or lot in it that is not the customer's own: what was asked for is not said again.
Message not_there() {
    return message("trace_page.not_there");
}

std::string text(const json::object& row, const char* name) {
    const auto* value = row.if_contains(name);
    return value != nullptr && value->is_string() ? std::string(value->get_string()) : std::string();
}
std::int64_t whole(const json::object& row, const char* name) {
    const auto* value = row.if_contains(name);
    return value != nullptr && value->is_int64() ? value->get_int64() : 0;
}

constexpr const char* certificate_columns =
    "c.certificate, c.time, c.subject, c.subject_id, c.serials_json, c.statement, c.releaser, c.function, c.language, "
    "c.paper, c.pdf_sha256, c.evidence_sha256, c.checkpoint_size";

// Behind a tag no certificate that has a link's address printed on it, and none whose attached record holds a
// delivery's list with other serials in it.
constexpr const char* names_no_other =
    " AND c.link IS NULL AND NOT EXISTS(SELECT 1 FROM serial_entries s JOIN entries e ON e.seq = s.seq WHERE s.serial "
    "= ?3 AND s.seq <= c.checkpoint_size AND json_extract(e.bytes, '$.type') IN ('delivery.sent', "
    "'delivery.taken_back') AND json_array_length(e.bytes, '$.body.serials') > 1)";

// A certificate is the customer's, and nothing in it lies outside the link.
std::string certificate_inside(const LinkScope& scope) {
    return "c.customer = ?1 AND NOT EXISTS(SELECT 1 FROM json_each(c.serials_json) j WHERE NOT EXISTS(SELECT 1 FROM "
           "assemblies a WHERE a.serial = j.value AND " +
           inside(scope) + "))" + (scope.serial.empty() ? "" : names_no_other);
}

// Crimp diameters that count: of the last crimping, of each place the last one that was not voided.
std::vector<EpcisEnd> ends_of(Database& database, const LinkScope& scope, const std::string& serial) {
    struct Counting {
        std::int64_t attempt = 0;
        std::map<std::int64_t, std::int64_t> by_flat;
        EpcisEnd end;
    };
    std::map<std::string, Counting> found;
    database.each(
        ("SELECT r.\"end\", r.flat, r.attempt, r.value_nm, r.gauge, r.arrived_utc_ms FROM assemblies a JOIN readings r "
         "ON r.serial = a.serial WHERE a.serial = ?4 AND " +
         inside(scope) +
         " AND r.purpose = 'assembly' AND r.what = 'crimp_diameter' AND r.voided_seq IS NULL ORDER BY r.seq")
            .c_str(),
        [&](SQLite::Statement& row) {
            const auto name = row.getColumn(0).getString();
            auto& one = found[name];
            if (const auto attempt = row.getColumn(2).getInt64(); attempt > one.attempt) {
                one.attempt = attempt;
                one.by_flat.clear();
            } else if (attempt < one.attempt) {
                return;
            }
            one.by_flat[row.getColumn(1).getInt64()] = row.getColumn(3).getInt64();
            one.end.end = name;
            one.end.gauge = row.getColumn(4).getString();
            one.end.at_ms = row.getColumn(5).getInt64();
        },
        scope.customer, scope.delivery, scope.serial, serial);
    std::vector<EpcisEnd> out;
    for (auto& [name, one] : found) {
        std::int64_t sum = 0, least = one.by_flat.begin()->second, most = least;
        for (const auto& [flat, nm] : one.by_flat) {
            sum += nm;
            least = std::min(least, nm);
            most = std::max(most, nm);
        }
        const auto count = static_cast<std::int64_t>(one.by_flat.size());
        one.end.least = Length::from_nm(least);
        one.end.most = Length::from_nm(most);
        one.end.mean_nm = (sum + count / 2) / count;  // diameters are above nought
        out.push_back(std::move(one.end));
    }
    return out;
}

EpcisAssembly event_facts(Database& database, const LinkScope& scope, const json::object& row) {
    EpcisAssembly out;
    out.serial = text(row, "serial");
    out.order = text(row, "order");
    out.customer_part = text(row, "customer_part");
    out.hose_lot = text(row, "hose_lot");
    out.fitting_lots[0] = text(row, "fitting_a_lot");
    out.fitting_lots[1] = text(row, "fitting_b_lot");
    out.specs[0] = text(row, "spec_a") + " rev " + text(row, "revision_a");
    out.specs[1] = text(row, "spec_b") + " rev " + text(row, "revision_b");
    out.cut_length = Length::from_nm(whole(row, "cut_length_nm"));
    out.working_pressure = Pressure::from_kpa(whole(row, "working_pressure_kpa"));
    out.started_ms = parse_utc_text(text(row, "started")).value_or(0);
    if (const auto passed = parse_utc_text(text(row, "passed"))) out.passed_ms = *passed;
    out.state = text(row, "state");
    out.concession = text(row, "concession_reference");
    out.entry = whole(row, "seq");
    out.ends = ends_of(database, scope, out.serial);
    database.each(
        "SELECT reached_kpa FROM proof_tests WHERE serial = ? AND passed_yn ORDER BY seq DESC LIMIT 1",
        [&](SQLite::Statement& found) { out.proof_pressure = Pressure::from_kpa(found.getColumn(0).getInt64()); },
        out.serial);
    return out;
}

}  // namespace

Result<std::optional<LinkScope>> link_of(const Journal& journal, const std::string& token_sha256) {
    return guarded([&]() -> Result<std::optional<LinkScope>> {
        std::optional<LinkScope> found;
        journal.database().each(
            "SELECT link, customer, delivery, valid_until FROM links WHERE token_sha256 = ? AND revoked_seq IS NULL",
            [&](SQLite::Statement& row) {
                found = LinkScope{row.getColumn(0).getString(), row.getColumn(1).getString(),
                                  row.getColumn(2).getString(), row.getColumn(3).getString()};
            },
            token_sha256);
        return found;
    });
}

Result<std::optional<LinkScope>> link_of_tag(const Journal& journal, const std::string& serial,
                                             const std::string& today) {
    return guarded([&]() -> Result<std::optional<LinkScope>> {
        const auto sql =
            "SELECT l.link, l.customer, l.delivery, l.valid_until, a.serial FROM assemblies a JOIN links l WHERE "
            "a.serial = ?1 AND l.opens_by_tag_yn AND l.revoked_seq IS NULL AND (l.valid_until = '' OR l.valid_until >= "
            "?2) AND (l.delivery <> '' AND " +
            of_delivery("l.customer", "l.delivery") + " OR " + of_customer("l.customer", "l.delivery") +
            ") ORDER BY l.seq DESC LIMIT 1";
        std::optional<LinkScope> found;
        journal.database().each(
            sql.c_str(),
            [&](SQLite::Statement& row) {
                found =
                    LinkScope{row.getColumn(0).getString(), row.getColumn(1).getString(), row.getColumn(2).getString(),
                              row.getColumn(3).getString(), row.getColumn(4).getString()};
            },
            serial, today);
        return found;
    });
}

Result<json::array> links(const Journal& journal, std::int64_t limit) {
    return guarded([&] {
        return journal.database().rows(
            "SELECT l.link, l.customer, l.delivery, l.valid_until, l.opens_by_tag_yn, l.certificate, l.seq, l.time, "
            "l.who, l.revoked_seq, e.time AS revoked, e.who AS revoked_by, l.revoke_reason, (SELECT count(*) FROM "
            "looks "
            "k WHERE k.link = "
            "l.link) AS looks, (SELECT max(k.time) FROM looks k WHERE k.link = l.link) AS looked FROM links l LEFT "
            "JOIN entries e ON e.seq = l.revoked_seq ORDER BY l.seq DESC LIMIT ?",
            limit);
    });
}

Result<json::array> customers_known(const Journal& journal) {
    return guarded([&] {
        return journal.database().rows(
            "SELECT customer FROM orders UNION SELECT customer FROM deliveries ORDER BY customer LIMIT 5000");
    });
}

Result<bool> has_customer(const Journal& journal, const std::string& customer) {
    return guarded([&]() -> Result<bool> {
        return journal.database().number(
                   "SELECT EXISTS(SELECT 1 FROM orders WHERE customer = ?1) OR EXISTS(SELECT 1 FROM assemblies WHERE "
                   "customer = ?1)",
                   customer) != 0;
    });
}

Result<json::array> customer_assemblies(const Journal& journal, const LinkScope& scope, const CustomerFilter& filter) {
    return guarded([&] {
        return journal.database().rows(
            ("SELECT " + columns() + " FROM assemblies a WHERE " + inside(scope) +
             " AND (?4 = '' OR a.serial = ?4) AND (?5 = '' OR a.\"order\" = ?5) AND (?6 = '' OR a.hose_lot = ?6 OR "
             "a.fitting_a_lot = ?6 OR a.fitting_b_lot = ?6) ORDER BY a.seq LIMIT ?7")
                .c_str(),
            scope.customer, scope.delivery, scope.serial, filter.serial, filter.order, filter.lot, filter.limit);
    });
}

Result<json::object> customer_assembly(const Journal& journal, const LinkScope& scope, const std::string& serial) {
    return guarded([&]() -> Result<json::object> {
        auto found = journal.database().rows(
            ("SELECT " + columns() + " FROM assemblies a WHERE a.serial = ?4 AND " + inside(scope)).c_str(),
            scope.customer, scope.delivery, scope.serial, serial);
        if (found.empty()) return refuse(not_there());
        return std::move(found.front().as_object());
    });
}

Result<std::int64_t> last_entry_of(const Journal& journal, const std::string& serial) {
    return guarded([&] {
        return journal.database().number("SELECT coalesce(max(seq), 0) FROM serial_entries WHERE serial = ?", serial);
    });
}

Result<json::object> customer_overview(const Journal& journal, const LinkScope& scope) {
    return guarded([&] {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        const auto from = " FROM assemblies a WHERE " + inside(scope);
        const auto grouped = [&](const std::string& what, const std::string& name) {
            return database.rows(
                ("SELECT " + what + " AS " + name +
                 ", count(*) AS assemblies, min(a.customer_part) AS "
                 "customer_part" +
                 from + " AND " + what + " <> '' GROUP BY " + what + " ORDER BY min(a.seq) DESC LIMIT 500")
                    .c_str(),
                scope.customer, scope.delivery, scope.serial);
        };
        auto out =
            database
                .rows(("SELECT count(*) AS assemblies, coalesce(sum(state = 'in_question'), 0) AS in_question, "
                       "coalesce(sum(state = 'withdrawn'), 0) AS withdrawn, coalesce(sum(state = 'conceded'), 0) "
                       "AS conceded FROM (SELECT " +
                       std::string(state) + " AS state" + from + ")")
                          .c_str(),
                      scope.customer, scope.delivery, scope.serial)
                .front()
                .as_object();
        out["orders"] = grouped("a.\"order\"", "\"order\"");
        out["hose_lots"] = grouped("a.hose_lot", "lot");
        out["fitting_lots"] = database.rows(
            ("SELECT lot, count(*) AS assemblies FROM (SELECT a.serial, a.fitting_a_lot AS lot" + from +
             " UNION SELECT a.serial, a.fitting_b_lot" + from + ") WHERE lot <> '' GROUP BY lot ORDER BY lot LIMIT 500")
                .c_str(),
            scope.customer, scope.delivery, scope.serial);
        // What is out with it now, of what it was sent with. Behind a tag the delivery that its assembly is out with.
        out["deliveries"] = database.rows(
            "SELECT d.delivery, d.note_number, d.date, d.\"to\", (SELECT count(*) FROM assemblies a WHERE a.delivery = "
            "d.delivery AND a.customer = ?1 AND (?3 = '' OR a.serial = ?3)) AS assemblies, (SELECT count(*) FROM "
            "json_each(e.bytes, '$.body.serials') j WHERE ?3 = '' OR j.value = ?3) AS sent FROM deliveries d JOIN "
            "entries e ON e.seq = d.seq WHERE d.customer = ?1 AND (?2 = '' OR d.delivery = ?2) AND (?3 = '' OR "
            "d.delivery = (SELECT a.delivery FROM assemblies a WHERE a.serial = ?3 AND a.customer = ?1)) ORDER BY "
            "d.seq DESC LIMIT 500",
            scope.customer, scope.delivery, scope.serial);
        return out;
    });
}

Result<json::array> customer_certificates(const Journal& journal, const LinkScope& scope, const std::string& serial) {
    return guarded([&] {
        const std::string of_serial =
            "SELECT " + std::string(certificate_columns) +
            " FROM certified s JOIN certificates c USING(certificate) WHERE s.serial = ?4 AND ";
        const std::string of_all =
            "SELECT " + std::string(certificate_columns) + " FROM certificates c WHERE ?4 = '' AND ";
        return journal.database().rows(
            ((serial.empty() ? of_all : of_serial) + certificate_inside(scope) + " ORDER BY c.seq DESC LIMIT 500")
                .c_str(),
            scope.customer, scope.delivery, scope.serial, serial);
    });
}

Result<json::object> customer_certificate(const Journal& journal, const LinkScope& scope, const std::string& number) {
    return guarded([&]() -> Result<json::object> {
        auto found =
            journal.database().rows(("SELECT " + std::string(certificate_columns) +
                                     " FROM certificates c WHERE c.certificate = ?4 AND " + certificate_inside(scope))
                                        .c_str(),
                                    scope.customer, scope.delivery, scope.serial, number);
        if (found.empty()) return refuse(not_there());
        return std::move(found.front().as_object());
    });
}

Result<EpcisFacts> customer_events(const Journal& journal, const LinkScope& scope, const std::string& serial,
                                   std::int64_t most) {
    return guarded([&]() -> Result<EpcisFacts> {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        const auto rows = database.rows(("SELECT a.seq, " + columns() + " FROM assemblies a WHERE " + inside(scope) +
                                         " AND (?4 = '' OR a.serial = ?4) ORDER BY a.seq LIMIT ?5")
                                            .c_str(),
                                        scope.customer, scope.delivery, scope.serial, serial, most + 1);
        if (rows.empty() && !serial.empty()) return refuse(not_there());
        if (static_cast<std::int64_t>(rows.size()) > most)
            return refuse(message("trace_page.too_many").with("most", std::to_string(most)));
        EpcisFacts out;
        std::map<std::string, std::vector<std::string>> sent;
        for (const auto& value : rows) {
            const auto& row = value.as_object();
            out.assemblies.push_back(event_facts(database, scope, row));
            if (const auto delivery = text(row, "delivery"); !delivery.empty())
                sent[delivery].push_back(out.assemblies.back().serial);
        }
        database.each(
            "SELECT d.delivery, d.note_number, d.time FROM deliveries d WHERE d.customer = ?1 AND (?2 = '' OR "
            "d.delivery = ?2) ORDER BY d.seq",
            [&](SQLite::Statement& row) {
                const auto found = sent.find(row.getColumn(0).getString());
                if (found == sent.end()) return;
                out.deliveries.push_back({found->first, row.getColumn(1).getString(),
                                          parse_utc_text(row.getColumn(2).getString()).value_or(0), found->second});
            },
            scope.customer, scope.delivery);
        return out;
    });
}

}  // namespace crimpgate
