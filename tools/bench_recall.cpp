// What a recall costs on a given journal: each kind of criterion, with the values that the journal has most of, or with
// one that is given. Prints milliseconds: choosing and counting, hashing and reading every row with its margin.
//
//     bench_recall JOURNAL [WHAT VALUE [FROM_MS TO_MS]]      bench_recall JOURNAL --plan
#include <charconv>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <string>

#include "station/journal/database.h"
#include "station/journal/journal.h"
#include "station/journal/recall.h"

namespace {

using namespace crimpgate;
using Clock = std::chrono::steady_clock;

struct Kind {
    const char* what;
    const char* most;  // the value that has the most assemblies
};

constexpr Kind kinds[] = {
    {"hose_lot", "SELECT hose_lot FROM assemblies GROUP BY hose_lot ORDER BY count(*) DESC LIMIT 1"},
    {"fitting_lot", "SELECT fitting_a_lot FROM assemblies GROUP BY fitting_a_lot ORDER BY count(*) DESC LIMIT 1"},
    {"die_set", "SELECT die_set_a FROM assemblies GROUP BY die_set_a ORDER BY count(*) DESC LIMIT 1"},
    {"crimper", "SELECT crimper_a FROM assemblies GROUP BY crimper_a ORDER BY count(*) DESC LIMIT 1"},
    {"spec_row", "SELECT spec_a FROM assemblies GROUP BY spec_a ORDER BY count(*) DESC LIMIT 1"},
    {"gauge", "SELECT value FROM touched WHERE what = 'gauge' GROUP BY value ORDER BY count(*) DESC LIMIT 1"},
    {"operator", "SELECT value FROM touched WHERE what = 'person' GROUP BY value ORDER BY count(*) DESC LIMIT 1"},
    {"customer", "SELECT customer FROM assemblies GROUP BY customer ORDER BY count(*) DESC LIMIT 1"},
    {"around_serial", "SELECT serial FROM assemblies ORDER BY seq DESC LIMIT 1 OFFSET 5000"},
};

bool time_one(const Journal& journal, const RecallAsked& asked, const std::string& named) {
    const auto from = Clock::now();
    const auto found = recall(journal, asked, [](const RecallRow&) {});
    const double ms = std::chrono::duration<double, std::milli>(Clock::now() - from).count();
    if (!found) {
        std::printf("%-44s refused: %s\n", named.c_str(), found.error().code.c_str());
        return false;
    }
    std::printf("%-44s %9lld assemblies  %9.1f ms\n", named.c_str(), static_cast<long long>(found->assemblies), ms);
    return true;
}

// A tenth of a day in the middle of the record.
void narrow(const Journal& journal, RecallAsked& asked) {
    const auto last = journal.last_seq();
    if (!last) return;
    const auto middle = journal.entry(*last / 2);
    if (!middle || !*middle) return;
    asked.from_ms = (*middle)->stamp.utc_ms;
    asked.to_ms = *asked.from_ms + 8'640'000;
}

void plans(const Journal& journal) {
    const char* const questions[] = {
        "SELECT a.serial FROM assemblies a WHERE 1 AND a.hose_lot = 'x' ORDER BY a.seq",
        "SELECT a.serial FROM assemblies a WHERE 1 AND (a.fitting_a_lot = 'x' OR a.fitting_b_lot = 'x') ORDER BY a.seq",
        "SELECT a.serial FROM temp.recall_near n CROSS JOIN assemblies a ON a.serial = n.serial WHERE 1 ORDER BY a.seq",
        "SELECT a.serial FROM assemblies a WHERE 1 AND ((a.die_set_a = 'x') OR (a.die_set_b = 'x')) ORDER BY a.seq",
        "SELECT serial FROM readings INDEXED BY readings_by_gauge WHERE gauge = 'x' AND seq BETWEEN 1 AND 9",
        "SELECT serial, \"order\" FROM assemblies a WHERE a.customer = 'x' AND a.stage = 'passed' AND a.delivery IS "
        "NULL ORDER BY a.seq",
        "SELECT customer, count(*) FROM assemblies WHERE stage = 'passed' AND delivery IS NULL GROUP BY customer",
    };
    journal.database().exec("CREATE TEMP TABLE recall_near(serial TEXT PRIMARY KEY) WITHOUT ROWID");
    for (const char* question : questions) {
        std::printf("%s\n", question);
        journal.database().each((std::string("EXPLAIN QUERY PLAN ") + question).c_str(),
                                [](SQLite::Statement& row) { std::printf("    %s\n", row.getColumn(3).getText()); });
    }
}

}  // namespace

int main(int argc, char* argv[]) {
    if (argc != 2 && argc != 3 && argc != 4 && argc != 6) {
        std::fputs("bench_recall JOURNAL [--plan | WHAT VALUE [FROM_MS TO_MS]]\n", stderr);
        return 2;
    }
    JournalOptions options;
    options.access = JournalAccess::read;
    const auto journal = Journal::open(argv[1], options);
    if (!journal) {
        std::fprintf(stderr, "bench_recall: %s\n", journal.error().code.c_str());
        return 1;
    }
    if (argc == 3) {
        plans(*journal);
        return 0;
    }
    if (argc > 3) {
        RecallAsked asked;
        asked.criteria = {{argv[2], argv[3]}};
        if (argc == 6) {
            std::int64_t from = 0, to = 0;
            std::from_chars(argv[4], argv[4] + std::strlen(argv[4]), from);
            std::from_chars(argv[5], argv[5] + std::strlen(argv[5]), to);
            asked.from_ms = from;
            asked.to_ms = to;
        }
        return time_one(*journal, asked, std::string(argv[2]) + " " + argv[3]) ? 0 : 1;
    }
    bool all = true;
    for (const auto& kind : kinds) {
        const auto value = journal->database().text(kind.most);
        if (!value) continue;
        RecallAsked asked;
        asked.criteria = {{kind.what, *value}};
        all = time_one(*journal, asked, std::string(kind.what) + " " + *value) && all;
        if (std::string_view(kind.what) != "gauge" && std::string_view(kind.what) != "operator") continue;
        narrow(*journal, asked);
        all = time_one(*journal, asked, std::string(kind.what) + " " + *value + ", 2.4 hours") && all;
    }
    RecallAsked hours;
    narrow(*journal, hours);
    all = time_one(*journal, hours, "2.4 hours") && all;
    return all ? 0 : 1;
}
