// Which assemblies an audit is of, and what was measured, judged and held of them.
#include "station/journal/audit_facts.h"

#include <algorithm>
#include <stdexcept>

#include <boost/json.hpp>

#include "station/entries/entry_json.h"
#include "station/journal/audit_gather.h"
#include "station/json/canonical.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

constexpr std::int64_t no_seq = std::numeric_limits<std::int64_t>::max();

template <class Fact>
void by_seq(std::vector<Fact>& facts) {
    std::sort(facts.begin(), facts.end(), [](const Fact& a, const Fact& b) { return a.seq < b.seq; });
}

std::string text_of(const json::value& object, const char* member) {
    const auto* found = object.as_object().if_contains(member);
    return found != nullptr && found->is_string() ? std::string(found->get_string()) : std::string();
}

// What does not conform. Most ends have nothing of that kind, and then their text need not be read.
std::vector<audit::FindingFact> findings_in(const std::string& text) {
    std::vector<audit::FindingFact> out;
    if (text.find("\"fails\"") == std::string::npos && text.find("\"uncertain\"") == std::string::npos) return out;
    const auto list = parse_strict(text);
    if (!list) throw std::logic_error("a view holds JSON that is none: " + list.error().code);
    for (const auto& finding : list->as_array()) {
        auto verdict = text_of(finding, "verdict");
        if (verdict != "conforms")
            out.push_back({text_of(finding, "what"), std::move(verdict), text_of(finding, "side")});
    }
    return out;
}

// A question that narrows, with what it is filled with.
struct Clauses {
    std::string sql = "1";
    std::vector<Cell> values;
    void add(const char* clause, const std::string& value, int times = 1) {
        if (value.empty()) return;
        sql += std::string(" AND ") + clause;
        for (int i = 0; i < times; ++i)
            values.emplace_back(value);
    }
};

}  // namespace

std::int64_t Columns::time_ms() {
    const std::string found = text();
    if (found.empty()) return 0;
    const auto ms = parse_utc_text(found);
    if (!ms) throw std::logic_error("a view holds a time that is none: " + found);
    return *ms;
}

Message message_in(const std::string& text) {
    const auto object = parse_strict_object(text);
    if (!object) throw std::logic_error("a view holds JSON that is none: " + object.error().code);
    Message out;
    out.code = text_of(*object, "code");
    for (const auto& [name, value] : object->at("details").as_object())
        out.with(name, std::string_view(value.as_string()));
    return out;
}

bool AuditGather::narrowed() const {
    return !(asked_.stream.empty() && scope_.order.empty() && scope_.customer.empty() && scope_.spec.empty() &&
             scope_.die_set.empty() && scope_.hose_lot.empty() && scope_.gauge.empty() && scope_.person.empty());
}

bool AuditGather::in_span(std::int64_t seq, const std::string& time) const {
    return seq >= from_seq_ && seq <= to_seq_ && time >= from_time_ && time < to_time_;
}

// A word mistyped must not pass for a good shift in which nothing was made.
Result<void> AuditGather::is_known() const {
    const auto known = [&](const char* sql, const std::string& value) {
        return value.empty() || database_.number(sql, value) > 0;
    };
    if (!known("SELECT count(*) FROM shifts WHERE shift = ?", scope_.shift))
        return refuse(message("audit.no_shift").with("shift", scope_.shift));
    if (!known("SELECT count(*) FROM orders WHERE \"order\" = ?", scope_.order))
        return refuse(message("audit.no_order").with("order", scope_.order));
    if (!known("SELECT count(*) FROM spec_rows WHERE spec_id = ?", scope_.spec))
        return refuse(message("audit.no_spec").with("spec", scope_.spec));
    if (!known("SELECT count(*) FROM gauges WHERE gauge = ?", scope_.gauge))
        return refuse(message("audit.no_gauge").with("gauge", scope_.gauge));
    if (!known("SELECT count(*) FROM people WHERE person = ?", scope_.person))
        return refuse(message("audit.no_person").with("person", scope_.person));
    return {};
}

void AuditGather::choose_assemblies() {
    if (asked_.from_ms != 0) from_time_ = utc_text(asked_.from_ms);
    if (asked_.to_ms != 0) to_time_ = utc_text(asked_.to_ms);
    Clauses clauses;
    clauses.add("a.shift = ?", scope_.shift);
    clauses.add("a.time >= ?", from_time_);
    if (asked_.to_ms != 0) clauses.add("a.time < ?", to_time_);
    clauses.add("a.\"order\" = ?", scope_.order);
    clauses.add("a.customer = ?", scope_.customer);
    clauses.add("? IN (a.spec_a, a.spec_b)", scope_.spec);
    clauses.add("? IN (a.die_set_a, a.die_set_b)", scope_.die_set);
    clauses.add("a.hose_lot = ?", scope_.hose_lot);
    clauses.add(
        "EXISTS(SELECT 1 FROM readings r INDEXED BY readings_by_serial WHERE r.serial = a.serial AND r.gauge = ?)",
        scope_.gauge);
    clauses.add(
        "(EXISTS(SELECT 1 FROM readings r WHERE r.serial = a.serial AND r.who = ?) OR "
        "EXISTS(SELECT 1 FROM confirmations c WHERE c.serial = a.serial AND c.who = ?))",
        scope_.person, 2);
    database_.exec("DROP TABLE IF EXISTS temp.audit_serials");
    database_.exec("CREATE TEMP TABLE audit_serials(serial TEXT PRIMARY KEY) WITHOUT ROWID");
    if (!asked_.stream.empty()) {
        database_.run(
            "INSERT OR IGNORE INTO temp.audit_serials SELECT a.serial FROM ends_judged e JOIN assemblies a "
            "USING(serial) "
            "WHERE e.seq BETWEEN ? AND ? AND ? = CASE e.\"end\" "
            "WHEN 'a' THEN a.spec_a || '|' || a.revision_a || '|' || a.crimper_a || '|' || a.die_set_a "
            "ELSE a.spec_b || '|' || a.revision_b || '|' || a.crimper_b || '|' || a.die_set_b END",
            asked_.judged_from, asked_.judged_to, asked_.stream);
        return;
    }
    database_.run_cells(
        ("INSERT INTO temp.audit_serials SELECT a.serial FROM assemblies a WHERE " + clauses.sql).c_str(),
        clauses.values);
}

void AuditGather::choose_span() {
    if (!scope_.shift.empty()) {
        from_seq_ = database_.number("SELECT seq FROM shifts WHERE shift = ?", scope_.shift);
        const auto ended = database_.number("SELECT ended_seq FROM shifts WHERE shift = ?", scope_.shift);
        if (ended > 0) to_seq_ = ended;
    } else if (narrowed() && asked_.from_ms == 0 && asked_.to_ms == 0) {
        from_seq_ = no_seq;
        to_seq_ = 0;
        database_.each(
            "SELECT min(e.seq), max(e.seq) FROM temp.audit_serials s CROSS JOIN serial_entries e ON e.serial = "
            "s.serial HAVING count(*) > 0",
            [&](SQLite::Statement& row) {
                Columns columns(row);
                from_seq_ = columns.whole();
                to_seq_ = columns.whole();
            });
    }
}

void AuditGather::assemblies() {
    database_.each(
        "SELECT a.serial, a.\"order\", a.customer, a.shift, a.hose_lot, a.fitting_a_lot, a.fitting_b_lot, a.spec_a, "
        "a.revision_a, a.die_set_a, a.crimper_a, a.spec_b, a.revision_b, a.die_set_b, a.crimper_b, a.who, a.stage, "
        "a.concession_reference, a.recrimps, a.seq, a.time, a.passed_seq, a.passed "
        "FROM temp.audit_serials s CROSS JOIN assemblies a ON a.serial = s.serial",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::AssemblyFact a;
            for (auto* member :
                 {&a.serial, &a.order, &a.customer, &a.shift, &a.hose_lot, &a.fitting_a_lot, &a.fitting_b_lot,
                  &a.spec_a, &a.revision_a, &a.die_set_a, &a.crimper_a, &a.spec_b, &a.revision_b, &a.die_set_b,
                  &a.crimper_b, &a.person, &a.stage, &a.concession_reference})
                *member = c.text();
            a.recrimps = c.whole();
            a.started_seq = c.whole();
            a.started_ms = c.time_ms();
            a.passed_seq = c.whole();
            a.passed_ms = c.time_ms();
            serials_.insert(a.serial);
            orders_.insert(a.order);
            shifts_.insert(a.shift);
            add_stream(a.spec_a, a.revision_a, a.crimper_a, a.die_set_a, a.started_seq, true);
            add_stream(a.spec_b, a.revision_b, a.crimper_b, a.die_set_b, a.started_seq, false);
            out_.assemblies.push_back(std::move(a));
        });
    std::sort(out_.assemblies.begin(), out_.assemblies.end(),
              [](const auto& a, const auto& b) { return a.started_seq < b.started_seq; });
    if (!scope_.shift.empty()) shifts_.insert(scope_.shift);
}

void AuditGather::ends() {
    database_.each(
        "SELECT e.seq, e.time, e.serial, e.\"end\", e.verdict, e.who, e.attempt, e.mean_nm, e.spread_nm, "
        "e.findings_json FROM temp.audit_serials s CROSS JOIN ends_judged e ON e.serial = s.serial",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::EndFact e;
            e.seq = c.whole();
            e.ms = c.time_ms();
            e.serial = c.text();
            e.end = c.text();
            e.verdict = c.text();
            e.person = c.text();
            e.attempt = c.whole();
            e.mean = c.maybe_length();
            e.spread = c.maybe_length();
            e.findings = findings_in(c.text());
            out_.ends.push_back(std::move(e));
        });
    by_seq(out_.ends);
}

void AuditGather::readings() {
    const std::string columns =
        "SELECT r.seq, r.time, r.who, r.purpose, r.serial, r.\"end\", r.what, r.gauge, r.verdict, r.side, r.flat, "
        "r.attempt, r.proof_seq, r.value_nm, r.resolution_nm, r.lower_nm, r.upper_nm, r.guard_nm, r.uncertainty_nm, "
        "r.voided_seq, r.void_reason, v.who, v.time ";
    const auto take = [&](SQLite::Statement& row) {
        Columns c(row);
        audit::ReadingFact r;
        r.seq = c.whole();
        r.ms = c.time_ms();
        for (auto* member : {&r.person, &r.purpose, &r.serial, &r.end, &r.what, &r.gauge, &r.verdict, &r.side})
            *member = c.text();
        r.flat = c.whole();
        r.attempt = c.whole();
        r.proof_seq = c.whole();
        r.value = c.length();
        r.resolution = c.length();
        r.lower = c.maybe_length();
        r.upper = c.maybe_length();
        r.guard = c.maybe_length();
        r.uncertainty = c.maybe_length();
        r.voided_seq = c.whole();
        r.void_reason = c.text();
        r.voided_by = c.text();
        r.voided_ms = c.time_ms();
        used_gauges_.insert(r.gauge);
        out_.readings.push_back(std::move(r));
    };
    database_.each((columns + "FROM temp.audit_serials s CROSS JOIN readings r ON r.serial = s.serial "
                              "LEFT JOIN entries v ON v.seq = r.voided_seq")
                       .c_str(),
                   take);
    const auto ours = used_gauges_;
    database_.each(
        (columns + "FROM readings r LEFT JOIN entries v ON v.seq = r.voided_seq WHERE r.serial = '' AND r.seq BETWEEN "
                   "? AND ? AND r.time >= ? AND r.time < ? AND r.purpose = 'setup'")
            .c_str(),
        [&](SQLite::Statement& row) {
            if (!narrowed() || ours.contains(row.getColumn(7).getString())) take(row);
        },
        from_seq_, to_seq_, from_time_, to_time_);
    by_seq(out_.readings);
}

void AuditGather::confirmations() {
    database_.each(
        "SELECT c.seq, c.time, c.who, c.serial, c.\"end\", c.what, c.verdict, c.attempt, c.voided_seq "
        "FROM temp.audit_serials s CROSS JOIN confirmations c ON c.serial = s.serial",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::ConfirmationFact f;
            f.seq = c.whole();
            f.ms = c.time_ms();
            for (auto* member : {&f.person, &f.serial, &f.end, &f.what, &f.verdict})
                *member = c.text();
            f.attempt = c.whole();
            f.voided_seq = c.whole();
            out_.confirmations.push_back(std::move(f));
        });
    by_seq(out_.confirmations);
}

void AuditGather::holds() {
    database_.each(
        "SELECT h.seq, h.time, h.serial, h.\"end\", h.cause, h.gauge, h.reason, h.made_by, h.settled_seq, h.settled, "
        "h.settled_by, h.how, h.settle_reason, h.customer_reference "
        "FROM temp.audit_serials s CROSS JOIN holds h ON h.serial = s.serial",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::HoldFact h;
            h.seq = c.whole();
            h.ms = c.time_ms();
            for (auto* member : {&h.serial, &h.end, &h.cause, &h.gauge, &h.reason, &h.made_by})
                *member = c.text();
            h.settled_seq = c.whole();
            h.settled_ms = c.time_ms();
            for (auto* member : {&h.settled_by, &h.how, &h.settle_reason, &h.customer_reference})
                *member = c.text();
            out_.holds.push_back(std::move(h));
        });
    by_seq(out_.holds);
}

Result<audit::AuditFacts> AuditGather::all() {
    if (auto known = is_known(); !known) return refuse(known.error());
    out_.scope = scope_;
    choose_assemblies();
    choose_span();
    assemblies();
    ends();
    readings();
    confirmations();
    holds();
    streams();
    setups();
    refusals();
    proofs();
    gauges();
    shifts();
    frozen_limits();
    settings();
    happenings();
    tags();
    last_entry();
    return std::move(out_);
}

Result<audit::AuditFacts> audit_facts(const Journal& journal, const AuditAsked& asked, const TellEntry& tell) {
    return guarded([&]() -> Result<audit::AuditFacts> {
        Database& database = journal.database();
        const Snapshot snapshot(database);
        auto facts = AuditGather(database, asked, tell).all();
        if (facts) facts->journal.station = journal.station();
        return facts;
    });
}

}  // namespace crimpgate
