// What was made around one serial, and which entries a time range spans.
#include <algorithm>
#include <limits>

#include "station/journal/recall_parts.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

constexpr std::int64_t no_seq = std::numeric_limits<std::int64_t>::max();
// A clock is put right silently by the bench's tolerance at most, which is far less.
constexpr std::int64_t slack_ms = 3'600'000;

std::string time_of(Database& database, std::int64_t seq) {
    return database.text("SELECT time FROM entries WHERE seq = ?", seq).value_or("");
}

// In first..last, where times only grow: the first entry whose time is not before that one; last + 1 without one.
std::int64_t first_not_before(Database& database, std::int64_t first, std::int64_t last, const std::string& time) {
    while (first <= last) {
        const auto middle = first + (last - first) / 2;
        if (time_of(database, middle) < time)
            first = middle + 1;
        else
            last = middle - 1;
    }
    return first;
}

// What lies between two set-up pieces or die confirmations of a crimper is one set-up. Before and after are numbers
// that no reading has.
struct Between {
    std::int64_t before = 0, after = no_seq;
};

Between between(Database& database, const std::string& crimper, std::int64_t first, std::int64_t last) {
    Between out;
    out.before =
        std::max(database.number("SELECT max(seq) FROM mountings WHERE crimper = ? AND seq < ?", crimper, first),
                 database.number("SELECT max(seq) FROM setups WHERE crimper = ? AND seq < ?", crimper, first));
    for (const char* sql : {"SELECT min(seq) FROM mountings WHERE crimper = ? AND seq > ?",
                            "SELECT min(seq) FROM setups WHERE crimper = ? AND seq > ?"})
        if (const auto next = database.number(sql, crimper, last); next > 0) out.after = std::min(out.after, next);
    return out;
}

void same_set_up(Database& database, const std::string& serial) {
    for (const char end : {'a', 'b'}) {
        const std::string column = std::string("crimper_") + end;
        const auto crimper =
            database.text(("SELECT " + column + " FROM assemblies WHERE serial = ?").c_str(), serial).value_or("");
        const std::string name(1, end);
        const auto first = database.number(
            "SELECT min(seq) FROM readings WHERE serial = ? AND \"end\" = ? AND what = 'crimp_diameter'", serial, name);
        if (crimper.empty() || first == 0) continue;  // that end was never crimped
        const auto last = database.number(
            "SELECT max(seq) FROM readings WHERE serial = ? AND \"end\" = ? AND what = 'crimp_diameter'", serial, name);
        const auto span = between(database, crimper, first, last);
        database.run(
            "INSERT OR IGNORE INTO temp.recall_near SELECT r.serial FROM readings r CROSS JOIN assemblies a ON "
            "a.serial = r.serial WHERE r.seq > ? AND r.seq < ? AND r.what = 'crimp_diameter' AND r.purpose = "
            "'assembly' "
            "AND CASE r.\"end\" WHEN 'a' THEN a.crimper_a ELSE a.crimper_b END = ?",
            span.before, span.after, crimper);
    }
}

void neighbours(Database& database, const std::string& serial, std::int64_t count) {
    constexpr const char* before =
        "INSERT OR IGNORE INTO temp.recall_near SELECT o.serial FROM assemblies a CROSS JOIN assemblies o INDEXED BY "
        "assemblies_by_seq ON o.seq < a.seq AND (o.crimper_a IN (a.crimper_a, a.crimper_b) OR o.crimper_b IN "
        "(a.crimper_a, a.crimper_b)) WHERE a.serial = ? ORDER BY o.seq DESC LIMIT ?";
    constexpr const char* after =
        "INSERT OR IGNORE INTO temp.recall_near SELECT o.serial FROM assemblies a CROSS JOIN assemblies o INDEXED BY "
        "assemblies_by_seq ON o.seq > a.seq AND (o.crimper_a IN (a.crimper_a, a.crimper_b) OR o.crimper_b IN "
        "(a.crimper_a, a.crimper_b)) WHERE a.serial = ? ORDER BY o.seq LIMIT ?";
    database.run(before, serial, count);
    database.run(after, serial, count);
}

}  // namespace

void choose_around(Database& database, const std::string& serial, std::int64_t count) {
    database.run("INSERT OR IGNORE INTO temp.recall_near VALUES(?)", serial);
    if (count > 0)
        neighbours(database, serial, count);
    else
        same_set_up(database, serial);
}

std::pair<std::int64_t, std::int64_t> entries_between(Database& database, std::optional<std::int64_t> from_ms,
                                                      std::optional<std::int64_t> to_ms) {
    const std::int64_t end = database.number("SELECT last_seq FROM views_shown");
    const std::string from = from_ms ? utc_text(*from_ms - slack_ms) : std::string();
    const std::string to = to_ms ? utc_text(*to_ms + slack_ms) : std::string("~");
    std::int64_t first = end + 1, last = 0;
    // Stretches in which the clock ran on. From a step until a person accepted the clock nothing is sure: all of it
    // counts, and so does the entry of the step itself.
    std::int64_t begin = 1;
    bool in_doubt = false;
    const auto stretch = [&](std::int64_t to_seq) {
        if (begin > to_seq) return;
        if (in_doubt) {
            first = std::min(first, begin);
            last = std::max(last, to_seq);
            return;
        }
        const auto low = first_not_before(database, begin, to_seq, from);
        const auto high = first_not_before(database, begin, to_seq, to) - 1;
        if (low > high) return;
        first = std::min(first, low);
        last = std::max(last, high);
    };
    database.each(
        "SELECT seq, type = 'clock.stepped' FROM happenings WHERE type IN ('clock.stepped', 'clock.accepted') ORDER BY "
        "seq",
        [&](SQLite::Statement& row) {
            const auto seq = row.getColumn(0).getInt64();
            stretch(seq - 1);
            begin = seq;
            in_doubt = row.getColumn(1).getInt() != 0;
        });
    stretch(end);
    return {first, last};
}

}  // namespace crimpgate
