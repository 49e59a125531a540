#include "station/journal/recall.h"

#include <sodium.h>

#include <algorithm>
#include <limits>

#include <boost/json.hpp>

#include "station/journal/database.h"
#include "station/journal/recall_parts.h"
#include "station/json/utc_text.h"
#include "station/proof/hash.h"

namespace crimpgate {
namespace {

std::int64_t ms_of(const std::string& utc) {
    const auto ms = parse_utc_text(utc);
    return ms ? *ms : 0;
}

// SHA-256 of a list that is too long to hold.
class Sum {
  public:
    Sum() { crypto_hash_sha256_init(&state_); }
    void add(std::string_view bytes) {
        crypto_hash_sha256_update(&state_, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
    }
    std::string hex() {
        Hash hash;
        crypto_hash_sha256_final(&state_, hash.data());
        return to_hex(hash);
    }

  private:
    crypto_hash_sha256_state state_;
};

// What counts of one assembly's measuring: of each place the last reading that was not voided, of each end the last
// judgement. One statement for all of them, kept: five thousand lookups of some ten rows each are a matter of a tenth
// of a second.
class WhatCounts {
  public:
    explicit WhatCounts(Database& database)
        : readings_(database.raw(),
                    "SELECT \"end\", what, flat, value_nm, lower_nm, upper_nm FROM readings "
                    "WHERE serial = ? AND voided_seq IS NULL AND purpose = 'assembly' ORDER BY seq"),
          ends_(database.raw(), "SELECT \"end\", verdict, spread_nm FROM ends_judged WHERE serial = ? ORDER BY seq"),
          hold_(database.raw(),
                "SELECT cause, reason FROM holds WHERE serial = ? AND settled_seq IS NULL ORDER BY seq DESC LIMIT 1") {}

    void add_to(RecallRow& row) {
        ends(row);
        margin(row);
        if (row.stage == "on_hold") hold(row);
    }

  private:
    struct Again {
        explicit Again(SQLite::Statement& of, const std::string& serial) : statement(of) { statement.bind(1, serial); }
        ~Again() {
            statement.tryReset();
            statement.clearBindings();
        }
        Again(const Again&) = delete;
        Again& operator=(const Again&) = delete;
        SQLite::Statement& statement;
    };

    static int rank(std::string_view verdict) { return verdict == "fails" ? 2 : verdict == "uncertain" ? 1 : 0; }

    void ends(RecallRow& row) {
        std::string verdict[2];
        std::optional<std::int64_t> spread[2];
        const Again use(ends_, row.serial);
        while (ends_.executeStep()) {
            const int end = std::string_view(ends_.getColumn(0).getText()) == "b" ? 1 : 0;
            verdict[end] = ends_.getColumn(1).getString();
            const auto nm = ends_.getColumn(2);
            spread[end] = nm.isNull() ? std::nullopt : std::optional<std::int64_t>(nm.getInt64());
        }
        for (int end = 0; end < 2; ++end) {
            if (!verdict[end].empty() && (row.verdict.empty() || rank(verdict[end]) > rank(row.verdict)))
                row.verdict = verdict[end];
            if (spread[end] && (!row.spread_nm || *spread[end] > *row.spread_nm)) row.spread_nm = spread[end];
        }
    }

    struct Place {
        std::string end, what;
        std::int64_t flat = 0;
        std::int64_t margin = 0;
    };

    void margin(RecallRow& row) {
        places_.clear();
        const Again use(readings_, row.serial);
        while (readings_.executeStep()) {
            const auto lower = readings_.getColumn(4), upper = readings_.getColumn(5);
            const std::int64_t value = readings_.getColumn(3).getInt64();
            std::int64_t nearest = std::numeric_limits<std::int64_t>::max();
            if (!lower.isNull()) nearest = std::min(nearest, value - lower.getInt64());
            if (!upper.isNull()) nearest = std::min(nearest, upper.getInt64() - value);
            if (nearest == std::numeric_limits<std::int64_t>::max()) continue;  // no limit, no margin
            const std::string_view end(readings_.getColumn(0).getText()), what(readings_.getColumn(1).getText());
            const std::int64_t flat = readings_.getColumn(2).getInt64();
            const auto same = std::find_if(places_.begin(), places_.end(), [&](const Place& p) {
                return p.flat == flat && p.end == end && p.what == what;
            });
            if (same == places_.end())
                places_.push_back({std::string(end), std::string(what), flat, nearest});
            else
                same->margin = nearest;
        }
        for (const auto& place : places_) {
            if (row.margin_nm && *row.margin_nm <= place.margin) continue;
            row.margin_nm = place.margin;
            row.margin_end = place.end;
            row.margin_what = place.what;
            row.margin_place = place.flat;
        }
    }

    void hold(RecallRow& row) {
        const Again use(hold_, row.serial);
        if (!hold_.executeStep()) return;
        row.hold_cause = hold_.getColumn(0).getString();
        row.hold_reason = hold_.getColumn(1).getString();
    }

    SQLite::Statement readings_, ends_, hold_;
    std::vector<Place> places_;
};

constexpr const char* list =
    "SELECT a.serial, a.\"order\", a.customer, a.customer_part, a.hose_lot, a.fitting_a_lot, a.fitting_b_lot, "
    "a.spec_a, a.revision_a, a.spec_b, a.revision_b, a.stage, a.time, a.who, a.passed, a.passed_by, a.recrimps, "
    "a.concession_reference, a.delivery, a.delivered, d.note_number, d.\"to\" "
    "FROM temp.recall_list l CROSS JOIN assemblies a ON a.serial = l.serial "
    "LEFT JOIN deliveries d ON d.delivery = a.delivery ORDER BY l.n";

void read(SQLite::Statement& from, RecallRow& row) {
    int at = 0;
    const auto text = [&] { return from.getColumn(at++).getString(); };
    for (auto* member : {&row.serial, &row.order, &row.customer, &row.customer_part, &row.hose_lot, &row.fitting_a_lot,
                         &row.fitting_b_lot, &row.spec_a, &row.revision_a, &row.spec_b, &row.revision_b, &row.stage})
        *member = text();
    row.started_ms = ms_of(text());
    row.started_by = text();
    if (const auto passed = text(); !passed.empty()) row.passed_ms = ms_of(passed);
    row.passed_by = text();
    row.recrimps = from.getColumn(at++).getInt64();
    for (auto* member : {&row.concession_reference, &row.delivery, &row.delivered, &row.note_number, &row.to})
        *member = text();
}

}  // namespace

Result<RecallFound> recall(const Journal& journal, const RecallAsked& asked,
                           const std::function<void(const RecallRow&)>& each) {
    return guarded([&]() -> Result<RecallFound> {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        if (auto chosen = choose_recalled(database, asked); !chosen) return refuse(chosen.error());
        RecallFound out;
        out.upto_seq = database.number("SELECT last_seq FROM views_shown");
        Sum sum;
        WhatCounts counts(database);
        database.each(list, [&](SQLite::Statement& statement) {
            RecallRow row;
            read(statement, row);
            counts.add_to(row);
            auto& share = out.customers[row.customer];
            ++share.assemblies;
            ++out.assemblies;
            if (!row.delivery.empty()) {
                ++share.delivered;
                ++out.delivered;
            }
            sum.add(row.serial);
            sum.add("\n");
            each(row);
        });
        out.list_sha256 = sum.hex();
        database.exec("DROP TABLE IF EXISTS temp.recall_list");
        return out;
    });
}

Result<boost::json::array> recalls(const Journal& journal, std::int64_t limit) {
    return guarded([&] { return journal.database().rows("SELECT * FROM recalls ORDER BY seq DESC LIMIT ?", limit); });
}

Result<boost::json::object> drawn_recall(const Journal& journal, const std::string& recall) {
    return guarded([&]() -> Result<boost::json::object> {
        auto found = journal.database().rows("SELECT * FROM recalls WHERE recall = ?", recall);
        if (found.empty()) return refuse(message("recall.no_recall").with("recall", recall));
        return std::move(found.front().as_object());
    });
}

}  // namespace crimpgate
