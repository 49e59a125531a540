#include "station/journal/return_record.h"

#include <limits>

#include "station/journal/database.h"
#include "station/journal/recall_parts.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

constexpr std::int64_t no_seq = std::numeric_limits<std::int64_t>::max();

std::optional<ProofSeen> proof(Database& database, const char* sql, const std::string& gauge, std::int64_t seq) {
    std::optional<ProofSeen> out;
    database.each(
        sql,
        [&](SQLite::Statement& row) {
            ProofSeen seen;
            seen.seq = row.getColumn(0).getInt64();
            seen.time = row.getColumn(1).getString();
            seen.passed = row.getColumn(2).getInt() != 0;
            seen.error = Length::from_nm(row.getColumn(3).getInt64());
            seen.limit = Length::from_nm(row.getColumn(4).getInt64());
            out = std::move(seen);
            return false;
        },
        gauge, seq);
    return out;
}

// Half away from zero, so that it does not matter from which side.
std::int64_t nearest(std::int64_t sum, std::int64_t count) {
    const std::int64_t half = sum < 0 ? -(count / 2) : count / 2;
    return (sum + half) / count;
}

// Of each sibling and flat the last reading that was not voided. Sums of differences from the first value, since a
// plain sum of many would still fit, but nobody should have to check that.
void siblings(Database& database, const MomentAsked& asked, CrimpMoment& out) {
    const std::string end = asked.end == End::a ? "a" : "b";
    database.exec(
        "DROP TABLE IF EXISTS temp.recall_near; CREATE TEMP TABLE recall_near(serial TEXT PRIMARY KEY) WITHOUT ROWID");
    choose_around(database, asked.serial, 0);
    struct Sum {
        std::int64_t base = 0, apart = 0, count = 0;
    };
    std::map<std::int64_t, Sum> sums;
    std::map<std::string, bool> seen;
    database.each(
        "SELECT r.serial, r.flat, r.value_nm, max(r.seq) FROM temp.recall_near n CROSS JOIN readings r INDEXED BY "
        "readings_by_serial ON r.serial = n.serial WHERE n.serial <> ? AND r.\"end\" = ? AND r.what = "
        "'crimp_diameter' AND r.purpose = 'assembly' AND r.voided_seq IS NULL GROUP BY r.serial, r.flat",
        [&](SQLite::Statement& row) {
            seen[row.getColumn(0).getString()] = true;
            auto& sum = sums[row.getColumn(1).getInt64()];
            const auto value = row.getColumn(2).getInt64();
            if (sum.count++ == 0) sum.base = value;
            sum.apart += value - sum.base;
        },
        asked.serial, end);
    out.siblings = static_cast<std::int64_t>(seen.size());
    for (const auto& [flat, sum] : sums)
        out.siblings_mean[flat] = Length::from_nm(sum.base + nearest(sum.apart, sum.count));
    database.exec("DROP TABLE temp.recall_near");
}

void set_up(Database& database, const MomentAsked& asked, CrimpMoment& out) {
    std::int64_t from = 0, to = no_seq;
    database.each(
        "SELECT seq, passed_yn FROM setups WHERE \"key\" = ? AND seq < ? ORDER BY seq DESC LIMIT 1",
        [&](SQLite::Statement& row) {
            from = row.getColumn(0).getInt64();
            out.setup_good = row.getColumn(1).getInt() != 0;
        },
        asked.setup_key, asked.first_reading);
    if (const auto next = database.number("SELECT min(seq) FROM setups WHERE \"key\" = ? AND seq > ?", asked.setup_key,
                                          asked.last_reading);
        next > 0)
        to = next;
    if (const auto die = database.text("SELECT die_set FROM mountings WHERE crimper = ? AND seq < ? ORDER BY seq DESC "
                                       "LIMIT 1",
                                       asked.crimper, asked.first_reading))
        out.die_named = *die == asked.die_set;
    database.each(
        "SELECT h.seq FROM happenings h JOIN entries e USING(seq) WHERE h.type = 'drift.warned' AND h.seq > ? AND "
        "h.seq < ? AND json_extract(e.bytes, '$.body.key') = ? ORDER BY h.seq",
        [&](SQLite::Statement& row) { out.drift.push_back(row.getColumn(0).getInt64()); }, from, to, asked.setup_key);
}

}  // namespace

Result<ProofsAround> proofs_around(const Journal& journal, const std::string& gauge, std::int64_t first,
                                   std::int64_t last) {
    return guarded([&] {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        ProofsAround out;
        out.before = proof(database,
                           "SELECT seq, time, passed_yn, error_nm, limit_nm FROM proofs WHERE gauge = ? AND seq < ? "
                           "AND passed_yn ORDER BY seq DESC LIMIT 1",
                           gauge, first);
        out.after = proof(database,
                          "SELECT seq, time, passed_yn, error_nm, limit_nm FROM proofs WHERE gauge = ? AND seq > ? "
                          "ORDER BY seq LIMIT 1",
                          gauge, last);
        const auto until = out.after ? out.after->seq : no_seq;
        const auto withdrawn = database.number(
            "SELECT h.seq FROM happenings h JOIN entries e USING(seq) WHERE h.type = 'gauge.withdrawn' AND h.seq > ? "
            "AND h.seq < ? AND json_extract(e.bytes, '$.body.gauge') = ? ORDER BY h.seq LIMIT 1",
            last, until, gauge);
        if (withdrawn > 0) out.withdrawn = withdrawn;
        return out;
    });
}

Result<CrimpMoment> crimp_moment(const Journal& journal, const MomentAsked& asked) {
    return guarded([&] {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        CrimpMoment out;
        set_up(database, asked, out);
        siblings(database, asked, out);
        return out;
    });
}

Result<OtherReturns> other_returns(const Journal& journal, const std::string& serial) {
    return guarded([&] {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        OtherReturns out;
        constexpr const char* others =
            "SELECT count(DISTINCT o.serial) FROM assemblies me CROSS JOIN returns r CROSS JOIN assemblies o ON "
            "o.serial = r.serial WHERE me.serial = ? AND o.serial <> me.serial AND ";
        out.of_hose_lot =
            database.number((std::string(others) + "o.hose_lot = me.hose_lot AND o.hose_lot <> ''").c_str(), serial);
        out.of_fitting_lots = database.number(
            (std::string(others) + "((o.fitting_a_lot <> '' AND o.fitting_a_lot IN (me.fitting_a_lot, "
                                   "me.fitting_b_lot)) OR (o.fitting_b_lot <> '' AND o.fitting_b_lot IN "
                                   "(me.fitting_a_lot, me.fitting_b_lot)))")
                .c_str(),
            serial);
        database.exec(
            "DROP TABLE IF EXISTS temp.recall_near; CREATE TEMP TABLE recall_near(serial TEXT PRIMARY KEY) WITHOUT "
            "ROWID");
        choose_around(database, serial, 0);
        out.of_setups = database.number(
            "SELECT count(DISTINCT r.serial) FROM returns r JOIN temp.recall_near n ON n.serial = r.serial WHERE "
            "r.serial <> ?",
            serial);
        database.exec("DROP TABLE temp.recall_near");
        return out;
    });
}

Result<SharedBy> shared_by(const Journal& journal, const RecallAsked& asked, const std::string& without,
                           std::size_t most_serials) {
    return guarded([&]() -> Result<SharedBy> {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        if (auto chosen = choose_recalled(database, asked); !chosen) return refuse(chosen.error());
        SharedBy out;
        database.each(
            "SELECT a.customer, count(*), count(a.delivery) FROM temp.recall_list l CROSS JOIN assemblies a ON "
            "a.serial = l.serial WHERE a.serial <> ? GROUP BY a.customer ORDER BY a.customer",
            [&](SQLite::Statement& row) {
                const RecallShare share{row.getColumn(1).getInt64(), row.getColumn(2).getInt64()};
                out.assemblies += share.assemblies;
                out.delivered += share.delivered;
                out.customers[row.getColumn(0).getString()] = share;
            },
            without);
        database.each(
            "SELECT serial FROM temp.recall_list WHERE serial <> ? ORDER BY n LIMIT ?",
            [&](SQLite::Statement& row) { out.serials.push_back(row.getColumn(0).getString()); }, without,
            static_cast<std::int64_t>(most_serials));
        database.exec("DROP TABLE IF EXISTS temp.recall_list");
        return out;
    });
}

Result<std::vector<ReturnReadingAt>> return_readings(const Journal& journal, const std::string& number) {
    return guarded([&] {
        std::vector<ReturnReadingAt> out;
        journal.database().each(
            "SELECT seq, time, who FROM return_readings WHERE \"return\" = ? ORDER BY seq",
            [&](SQLite::Statement& row) {
                out.push_back(
                    {row.getColumn(0).getInt64(), row.getColumn(1).getString(), row.getColumn(2).getString()});
            },
            number);
        return out;
    });
}

Result<ReturnReadingAt> concluded_at(const Journal& journal, const std::string& number) {
    return guarded([&] {
        ReturnReadingAt out;
        journal.database().each(
            "SELECT e.seq, e.bytes FROM returns r JOIN entries e ON e.seq = r.concluded_seq WHERE r.\"return\" = ?",
            [&](SQLite::Statement& row) {
                const auto entry = read_entry(row.getColumn(1).getString());
                if (!entry) return;
                out = {entry->seq, utc_text(entry->stamp.utc_ms), entry->who};
            },
            number);
        return out;
    });
}

Result<std::optional<WhereItWent>> where_it_went(const Journal& journal, const std::string& serial) {
    return guarded([&] {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        std::optional<WhereItWent> out;
        database.each(
            "SELECT a.stage, a.customer, a.delivery, a.delivered, d.\"to\", h.cause FROM assemblies a LEFT JOIN "
            "deliveries d ON d.delivery = a.delivery LEFT JOIN holds h ON h.serial = a.serial AND h.settled_seq IS "
            "NULL WHERE a.serial = ? LIMIT 1",
            [&](SQLite::Statement& row) {
                WhereItWent went;
                int at = 0;
                for (auto* member :
                     {&went.stage, &went.customer, &went.delivery, &went.delivered, &went.to, &went.hold_cause})
                    *member = row.getColumn(at++).getString();
                out = std::move(went);
            },
            serial);
        return out;
    });
}

Result<std::optional<ShiftSpan>> shift_span(const Journal& journal, const std::string& shift) {
    return guarded([&] {
        std::optional<ShiftSpan> out;
        journal.database().each(
            "SELECT time, coalesce(ended, '') FROM shifts WHERE shift = ?",
            [&](SQLite::Statement& row) {
                out = ShiftSpan{row.getColumn(0).getString(), row.getColumn(1).getString()};
            },
            shift);
        return out;
    });
}

}  // namespace crimpgate
