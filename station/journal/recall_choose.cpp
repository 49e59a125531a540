// The criteria of a recall as one question to the view "assemblies", led by whichever of them finds the fewest.
#include <charconv>
#include <limits>

#include "specs/shown_text.h"
#include "station/journal/recall_parts.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

using entries::RecallCriterion;

constexpr std::string_view no_time = "~";  // behind every time

// A question that narrows, with what its holes are filled with.
struct Question {
    std::string sql = "1";
    std::vector<Cell> values;
    void add(std::string_view clause, std::initializer_list<std::string_view> with) {
        sql += " AND ";
        sql += clause;
        for (const auto value : with)
            values.emplace_back(std::string(value));
    }
};

// How each kind of criterion is known to the record.
const char* known_by(std::string_view what) {
    if (what == "hose_lot")
        return "SELECT EXISTS(SELECT 1 FROM assemblies WHERE hose_lot = ?1) OR "
               "EXISTS(SELECT 1 FROM order_lots WHERE part = 'hose' AND lot = ?1)";
    if (what == "fitting_lot")
        return "SELECT EXISTS(SELECT 1 FROM assemblies WHERE fitting_a_lot = ?1 OR fitting_b_lot = ?1) OR "
               "EXISTS(SELECT 1 FROM order_lots WHERE part <> 'hose' AND lot = ?1)";
    if (what == "die_set")
        return "SELECT EXISTS(SELECT 1 FROM mountings WHERE die_set = ?1) OR "
               "EXISTS(SELECT 1 FROM spec_rows WHERE json_extract(row_json, '$.die_set') = ?1) OR "
               "EXISTS(SELECT 1 FROM assemblies WHERE die_set_a = ?1 OR die_set_b = ?1)";
    if (what == "crimper")
        return "SELECT EXISTS(SELECT 1 FROM mountings WHERE crimper = ?1) OR "
               "EXISTS(SELECT 1 FROM spec_rows WHERE json_extract(row_json, '$.crimper') = ?1) OR "
               "EXISTS(SELECT 1 FROM assemblies WHERE crimper_a = ?1 OR crimper_b = ?1)";
    if (what == "spec_row") return "SELECT EXISTS(SELECT 1 FROM spec_rows WHERE spec_id = ?1)";
    if (what == "spec_revision") return "SELECT EXISTS(SELECT 1 FROM spec_rows WHERE revision = ?1)";
    if (what == "gauge") return "SELECT EXISTS(SELECT 1 FROM gauges WHERE gauge = ?1)";
    if (what == "operator") return "SELECT EXISTS(SELECT 1 FROM people WHERE person = ?1)";
    if (what == "customer") return "SELECT EXISTS(SELECT 1 FROM orders WHERE customer = ?1)";
    if (what == "order") return "SELECT EXISTS(SELECT 1 FROM orders WHERE \"order\" = ?1)";
    if (what == "around_serial") return "SELECT EXISTS(SELECT 1 FROM assemblies WHERE serial = ?1)";
    return nullptr;
}

Message bad(const RecallCriterion& criterion) {
    return message("recall.bad_criterion")
        .with("what", shown_text(criterion.what))
        .with("value", shown_text(criterion.value));
}

struct Wanted {
    std::string end;  // of one end: "spec_E = ? AND ...", E to be put in
    std::vector<std::string> end_values;
    std::vector<std::string> gauges, people;
    std::string around;
    std::int64_t around_count = 0;
    bool few = false;  // a criterion with an index of its own
    Question whole;
};

Result<Wanted> wanted_of(Database& database, const RecallAsked& asked) {
    if (asked.criteria.empty() && !asked.from_ms && !asked.to_ms) return refuse(message("recall.nothing_asked"));
    Wanted out;
    for (const auto& c : asked.criteria) {
        if (c.what == "around_count") {
            const auto end = c.value.data() + c.value.size();
            const auto read = std::from_chars(c.value.data(), end, out.around_count);
            if (read.ec != std::errc() || read.ptr != end || out.around_count < 1 || out.around_count > 10'000)
                return refuse(bad(c));
            continue;
        }
        const char* known = known_by(c.what);
        if (known == nullptr) return refuse(bad(c));
        if (database.number(known, c.value) == 0)
            return refuse(message("recall.not_known").with("what", c.what).with("value", shown_text(c.value)));
        const auto of_end = [&](const char* clause) {
            out.end += (out.end.empty() ? "" : " AND ") + std::string(clause);
            out.end_values.push_back(c.value);
        };
        if (c.what == "hose_lot") {
            out.whole.add("a.hose_lot = ?", {c.value});
            out.few = true;
        } else if (c.what == "fitting_lot") {
            out.whole.add("(a.fitting_a_lot = ? OR a.fitting_b_lot = ?)", {c.value, c.value});
            out.few = true;
        } else if (c.what == "order") {
            out.whole.add("a.\"order\" = ?", {c.value});
            out.few = true;
        } else if (c.what == "customer") {
            out.whole.add("a.customer = ?", {c.value});
        } else if (c.what == "die_set") {
            of_end("a.die_set_E = ?");
        } else if (c.what == "crimper") {
            of_end("a.crimper_E = ?");
        } else if (c.what == "spec_row") {
            of_end("a.spec_E = ?");
        } else if (c.what == "spec_revision") {
            of_end("a.revision_E = ?");
        } else if (c.what == "gauge") {
            out.gauges.push_back(c.value);
        } else if (c.what == "operator") {
            out.people.push_back(c.value);
        } else {
            if (!out.around.empty() && out.around != c.value) return refuse(bad(c));
            out.around = c.value;
        }
    }
    if (out.around_count > 0 && out.around.empty())
        return refuse(bad({"around_count", std::to_string(out.around_count)}));
    return out;
}

// Of the same end: a die set on A and a crimper on B have nothing to do with each other.
void add_ends(Question& question, const Wanted& wanted) {
    if (wanted.end.empty()) return;
    std::string both;
    for (const char end : {'a', 'b'}) {
        std::string one = wanted.end;
        for (auto at = one.find("_E"); at != std::string::npos; at = one.find("_E", at))
            one[at + 1] = end;
        both += (both.empty() ? "((" : ") OR (") + one;
    }
    question.sql += " AND " + both + "))";
    for (int i = 0; i < 2; ++i)
        for (const auto& value : wanted.end_values)
            question.values.emplace_back(value);
}

struct Span {
    std::string from, to;  // of times
    std::int64_t first = 1, last = 0;
    bool given = false;
};

Span span_of(Database& database, const RecallAsked& asked) {
    Span out;
    out.given = asked.from_ms || asked.to_ms;
    out.from = asked.from_ms ? utc_text(*asked.from_ms) : std::string();
    out.to = asked.to_ms ? utc_text(*asked.to_ms) : std::string(no_time);
    if (out.given) std::tie(out.first, out.last) = entries_between(database, asked.from_ms, asked.to_ms);
    return out;
}

void near_by(Database& database, const char* sql, const std::vector<Cell>& cells) {
    database.run_cells(sql, cells);
}

// The serials that the gauge or the person had to do with, where nothing else finds fewer.
bool lead_by_hand(Database& database, const Wanted& wanted, const Span& span) {
    const bool gauge = !wanted.gauges.empty();
    if (!gauge && wanted.people.empty()) return false;
    const std::string& value = gauge ? wanted.gauges.front() : wanted.people.front();
    if (!span.given) {
        near_by(database,
                gauge ? "INSERT INTO temp.recall_near SELECT serial FROM touched WHERE what = 'gauge' AND value = ?"
                      : "INSERT INTO temp.recall_near SELECT serial FROM touched WHERE what = 'person' AND value = ?",
                {Cell{value}});
    } else if (gauge) {
        near_by(database,
                "INSERT OR IGNORE INTO temp.recall_near SELECT serial FROM readings INDEXED BY readings_by_gauge "
                "WHERE gauge = ? AND seq BETWEEN ? AND ? AND serial <> ''",
                {Cell{value}, Cell{span.first}, Cell{span.last}});
    } else {
        for (const char* sql :
             {"INSERT OR IGNORE INTO temp.recall_near SELECT serial FROM readings WHERE who = ? AND seq BETWEEN ? AND "
              "? AND serial <> ''",
              "INSERT OR IGNORE INTO temp.recall_near SELECT serial FROM confirmations WHERE who = ? AND seq BETWEEN ? "
              "AND ?",
              "INSERT OR IGNORE INTO temp.recall_near SELECT serial FROM assemblies WHERE who = ? AND seq BETWEEN ? "
              "AND ?"})
            near_by(database, sql, {Cell{value}, Cell{span.first}, Cell{span.last}});
    }
    return true;
}

void add_hands(Question& question, const Wanted& wanted, const Span& span) {
    // By serial, said outright: left to itself SQLite reads all of a gauge's readings for each assembly.
    // A voided reading stands behind nothing; whoever took it had the part in hand all the same.
    for (const auto& gauge : wanted.gauges)
        question.add(
            "EXISTS(SELECT 1 FROM readings r INDEXED BY readings_by_serial WHERE r.serial = a.serial AND r.gauge = ? "
            "AND r.purpose = 'assembly' "
            "AND r.voided_seq IS NULL AND r.time >= ? AND r.time < ?)",
            {gauge, span.from, span.to});
    for (const auto& person : wanted.people)
        question.add(
            "((a.who = ? AND a.time >= ? AND a.time < ?) OR "
            "EXISTS(SELECT 1 FROM readings r INDEXED BY readings_by_serial WHERE r.serial = a.serial AND r.who = ? AND "
            "r.time >= ? AND r.time < ?) "
            "OR EXISTS(SELECT 1 FROM confirmations c WHERE c.serial = a.serial AND c.who = ? AND c.time >= ? AND "
            "c.time < ?))",
            {person, span.from, span.to, person, span.from, span.to, person, span.from, span.to});
    if (!span.given || !wanted.gauges.empty() || !wanted.people.empty()) return;
    question.add("a.time < ?", {span.to});
    question.add(
        "coalesce(a.passed, (SELECT max(r.time) FROM readings r INDEXED BY readings_by_serial WHERE r.serial = "
        "a.serial), a.time) >= ?",
        {span.from});
}

}  // namespace

Result<void> choose_recalled(Database& database, const RecallAsked& asked) {
    database.exec(
        "DROP TABLE IF EXISTS temp.recall_list; DROP TABLE IF EXISTS temp.recall_near;"
        "CREATE TEMP TABLE recall_list(n INTEGER PRIMARY KEY, serial TEXT NOT NULL);"
        "CREATE TEMP TABLE recall_near(serial TEXT PRIMARY KEY) WITHOUT ROWID");
    auto wanted = wanted_of(database, asked);
    if (!wanted) return refuse(wanted.error());
    const Span span = span_of(database, asked);
    bool near = !wanted->around.empty();
    if (near)
        choose_around(database, wanted->around, wanted->around_count);
    else if (!wanted->few)
        near = lead_by_hand(database, *wanted, span);
    Question& question = wanted->whole;
    add_ends(question, *wanted);
    add_hands(question, *wanted, span);
    if (asked.upto_seq > 0) {
        question.sql += " AND a.seq <= ?";
        question.values.emplace_back(asked.upto_seq);
    }
    const std::string from =
        near ? "temp.recall_near n CROSS JOIN assemblies a ON a.serial = n.serial" : "assemblies a";
    database.run_cells(("INSERT INTO temp.recall_list(serial) SELECT a.serial FROM " + from + " WHERE " + question.sql +
                        " ORDER BY a.seq")
                           .c_str(),
                       question.values);
    database.exec("DROP TABLE temp.recall_near");
    return {};
}

}  // namespace crimpgate
