#include "station/journal/queries.h"

#include <boost/json.hpp>
#include <set>

#include "station/journal/database.h"
#include "station/json/canonical.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

json::object with_hash(std::string_view bytes) {
    auto object = parse_strict_object(bytes);
    if (!object) throw SQLite::Exception("an entry cannot be read: " + object.error().code);
    (*object)["hash"] = to_hex(leaf_hash(bytes));
    return std::move(*object);
}

json::array whole_entries(Database& database, const char* sql, auto... values) {
    json::array out;
    database.each(
        sql, [&](SQLite::Statement& row) { out.push_back(with_hash(row.getColumn(0).getString())); }, values...);
    return out;
}

Result<json::array> ask(const Journal& journal, const char* sql, auto... values) {
    return guarded([&] { return journal.database().rows(sql, values...); });
}

// A suspicion comes on top of a hold that was open already: then only the newest of an assembly's holds can be settled,
// and it counts from the first. The gauge's failure is written down after the holds that it leads to, in the same
// transaction.
constexpr const char* hold_columns =
    "SELECT h.*, a.\"order\", a.customer, a.customer_part, a.stage, a.quarantined_yn, a.recrimps, "
    "coalesce((SELECT s.shift FROM shifts s WHERE s.seq < h.seq ORDER BY s.seq DESC LIMIT 1), a.shift) AS shift, "
    "(SELECT count(*) FROM tags t WHERE t.serial = h.serial AND t.state = 'printed') AS tags_printed, "
    "(SELECT t.state FROM tags t WHERE t.serial = h.serial ORDER BY t.copy DESC LIMIT 1) AS tag, "
    "(SELECT min(o.seq) FROM holds o WHERE o.serial = h.serial AND o.seq <= h.seq AND o.seq > "
    "  coalesce((SELECT max(s.seq) FROM holds s WHERE s.serial = h.serial AND s.seq < h.seq AND s.settled_seq IS NOT "
    "NULL), 0)) AS first_held_seq, "
    "CASE WHEN h.cause = 'suspect' THEN coalesce("
    "  (SELECT e.seq FROM entries e WHERE e.seq > h.seq AND e.type IN ('gauge.proved', 'gauge.withdrawn') "
    "     AND json_extract(e.bytes, '$.body.gauge') = h.gauge ORDER BY e.seq LIMIT 1), "
    "  (SELECT max(p.seq) FROM proofs p WHERE p.gauge = h.gauge AND NOT p.passed_yn AND p.seq < h.seq)) "
    "END AS doubt_seq, a.delivery, a.delivered, d.note_number, d.\"to\" "
    "FROM holds h JOIN assemblies a USING(serial) LEFT JOIN deliveries d ON d.delivery = a.delivery ";

constexpr const char* doubt_columns =
    "SELECT e.seq, e.time, e.who, json_extract(e.bytes, '$.body.gauge') AS gauge, "
    "CASE e.type WHEN 'gauge.proved' THEN 'proof' ELSE 'withdrawn' END AS kind, "
    "json_extract(e.bytes, '$.body.reason') AS reason, p.reference, p.size_nm, p.value_nm, p.error_nm, p.limit_nm, "
    "g.seq AS good_seq, g.time AS good_time, g.error_nm AS good_error_nm "
    "FROM entries e LEFT JOIN proofs p ON p.seq = e.seq "
    "LEFT JOIN proofs g ON g.seq = (SELECT max(q.seq) FROM proofs q WHERE q.passed_yn AND q.seq < e.seq "
    "  AND q.gauge = json_extract(e.bytes, '$.body.gauge')) "
    "WHERE e.seq = ?";

std::string member(const json::value& row, const char* name) {
    return std::string(row.at(name).as_string());
}

}  // namespace

Result<json::array> orders(const Journal& journal) {
    return guarded([&] {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        json::array found = database.rows(
            "SELECT o.*, count(a.serial) AS started, "
            "count(*) FILTER (WHERE a.stage = 'in_work') AS in_work, "
            "count(*) FILTER (WHERE a.stage = 'on_hold') AS on_hold, "
            "count(*) FILTER (WHERE a.stage = 'to_be_taken_up') AS to_be_taken_up, "
            "count(*) FILTER (WHERE a.stage = 'passed') AS passed, "
            "count(*) FILTER (WHERE a.stage = 'scrapped') AS scrapped "
            "FROM orders o LEFT JOIN assemblies a ON a.\"order\" = o.\"order\" GROUP BY o.\"order\" ORDER BY o.seq");
        for (auto& order : found)
            order.as_object()["lots"] =
                database.rows("SELECT part, lot, made FROM order_lots WHERE \"order\" = ? ORDER BY part DESC, place",
                              member(order, "order"));
        return found;
    });
}

Result<json::array> open_holds(const Journal& journal) {
    return ask(journal,
               (std::string(hold_columns) + "WHERE h.settled_seq IS NULL AND a.stage = 'on_hold' "
                                            "AND h.seq = (SELECT max(n.seq) FROM holds n WHERE n.serial = h.serial) "
                                            "ORDER BY first_held_seq")
                   .c_str());
}

Result<json::array> all_holds(const Journal& journal) {
    return ask(journal, (std::string(hold_columns) + "ORDER BY h.seq").c_str());
}

Result<json::array> doubts(const Journal& journal, const json::array& holds) {
    return guarded([&] {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        std::set<std::int64_t> seqs;
        for (const auto& hold : holds)
            if (const auto* seq = hold.as_object().if_contains("doubt_seq")) seqs.insert(seq->as_int64());
        json::array out;
        for (const auto seq : seqs)
            for (auto& doubt : database.rows(doubt_columns, seq))
                out.push_back(std::move(doubt));
        return out;
    });
}

Result<json::array> assemblies_of(const Journal& journal, const std::string& order) {
    return ask(journal, "SELECT * FROM assemblies WHERE \"order\" = ? ORDER BY seq", order);
}

Result<json::object> trace(const Journal& journal, const std::string& serial) {
    return guarded([&]() -> Result<json::object> {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        const auto assembly = database.rows("SELECT * FROM assemblies WHERE serial = ?", serial);
        if (assembly.empty()) return refuse(message("trace.no_serial").with("serial", serial));
        json::object out;
        out["assembly"] = assembly.front();
        for (const char* table : {"readings", "confirmations", "ends_judged"})
            out[table] = database.rows(
                (std::string("SELECT * FROM ") + table + " WHERE serial = ? ORDER BY seq").c_str(), serial);
        out["holds"] = database.rows((std::string(hold_columns) + "WHERE h.serial = ? ORDER BY h.seq").c_str(), serial);
        out["tags"] = database.rows("SELECT * FROM tags WHERE serial = ? ORDER BY copy", serial);
        out["proofs"] = database.rows(
            "SELECT * FROM proofs WHERE seq IN (SELECT proof_seq FROM readings WHERE serial = ?) ORDER BY seq", serial);
        // R6: with the uncertainty that these readings were judged by, whatever a study has set since.
        out["gauges"] = database.rows(
            "SELECT g.gauge, g.profile, g.profile_sha256, g.resolution_nm, "
            "coalesce((SELECT max(r.uncertainty_nm) FROM readings r INDEXED BY readings_by_serial WHERE r.serial = ?1 "
            "AND r.gauge = g.gauge), "
            "g.uncertainty_nm) AS uncertainty_nm, g.proof_limit_nm, g.calibrated, g.calibration_due, g.certificate, "
            "g.seq, g.time, g.who, g.withdrawn_yn, g.gone_yn, g.needs_proof_yn, g.proof_seq, g.valid_until_utc_ms, "
            "g.last_proof_seq FROM gauges g WHERE g.gauge IN (SELECT gauge FROM readings WHERE serial = ?1) "
            "ORDER BY g.gauge",
            serial);
        out["entries"] = whole_entries(database,
                                       "SELECT e.bytes FROM serial_entries s JOIN entries e ON e.seq = s.seq "
                                       "WHERE s.serial = ? ORDER BY s.seq",
                                       serial);
        return out;
    });
}

Result<json::array> gauges(const Journal& journal) {
    return guarded([&] {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        json::array found = database.rows("SELECT * FROM gauges ORDER BY gauge");
        for (auto& gauge : found) {
            const auto* last = gauge.as_object().if_contains("last_proof_seq");
            if (last == nullptr) continue;
            auto proof = database.rows("SELECT * FROM proofs WHERE seq = ?", last->as_int64());
            if (!proof.empty()) gauge.as_object()["last_proof"] = std::move(proof.front());
        }
        return found;
    });
}

Result<json::array> references(const Journal& journal) {
    return ask(journal, "SELECT * FROM gauge_references ORDER BY reference");
}

Result<json::array> people(const Journal& journal) {
    return ask(journal, "SELECT * FROM people ORDER BY person");
}

Result<json::array> shifts(const Journal& journal) {
    return ask(journal,
               "SELECT s.*, count(a.serial) AS started, "
               "count(*) FILTER (WHERE a.stage = 'in_work') AS in_work, "
               "count(*) FILTER (WHERE a.stage = 'on_hold') AS on_hold, "
               "count(*) FILTER (WHERE a.stage = 'to_be_taken_up') AS to_be_taken_up, "
               "count(*) FILTER (WHERE a.stage = 'passed') AS passed, "
               "count(*) FILTER (WHERE a.stage = 'scrapped') AS scrapped, "
               "CASE WHEN s.upto_seq IS NOT NULL THEN (SELECT count(*) FROM assemblies l "
               "  CROSS JOIN serial_entries e ON e.serial = l.serial AND e.seq > s.upto_seq WHERE l.shift = s.shift) "
               "END AS late_entries "
               "FROM shifts s LEFT JOIN assemblies a ON a.shift = s.shift GROUP BY s.shift ORDER BY s.seq");
}

Result<json::array> tags(const Journal& journal) {
    return ask(journal, "SELECT * FROM tags ORDER BY seq");
}

Result<json::array> spec_rows_in_force(const Journal& journal) {
    return ask(journal,
               "SELECT r.spec_id, r.revision, r.seq, r.row_json, t.\"table\", t.time, t.who FROM spec_rows r "
               "JOIN spec_tables t USING(seq) WHERE r.in_force_yn ORDER BY r.spec_id");
}

// Of settings and the like: what belongs to the everyday work is not among the happenings (happenings.h). Without their
// index the one entry of a long journal would be looked for in all of them.
Result<json::object> last_entry_of(const Journal& journal, std::string_view type) {
    return guarded([&] {
        auto found =
            whole_entries(journal.database(),
                          "SELECT bytes FROM entries WHERE seq = (SELECT max(seq) FROM happenings WHERE type = ?)",
                          std::string(type));
        return found.empty() ? json::object() : std::move(found.front().as_object());
    });
}

Result<json::array> entries_since(const Journal& journal, std::int64_t seq, std::int64_t limit) {
    return guarded([&] {
        return whole_entries(journal.database(), "SELECT bytes FROM entries WHERE seq > ? ORDER BY seq LIMIT ?", seq,
                             limit);
    });
}

}  // namespace crimpgate
