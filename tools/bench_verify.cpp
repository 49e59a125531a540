// How fast a journal is verified, beside plain SHA-256 over the same bytes on the same machine.
//
//   bench_verify FILE [rounds]      a journal, read only; without --views the tables for search are left out
//   bench_verify FILE --views
//
// Printed: megabytes (10^6) of entries' bytes a second for plain SHA-256 over the first entries in memory (256 MB at
// most, as one text and one by one), for the leaf hashes alone read from the file, and for verify's first pass (hash,
// form, columns, tree, signatures).
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

#include <SQLiteCpp/SQLiteCpp.h>

#include "station/journal/database.h"
#include "station/journal/journal.h"
#include "station/proof/hash.h"

using namespace crimpgate;

namespace {

struct Watch {
    std::chrono::steady_clock::time_point from = std::chrono::steady_clock::now();
    std::clock_t used = std::clock();

    void print(const char* what, std::int64_t bytes) const {
        const double busy = static_cast<double>(std::clock() - used) / CLOCKS_PER_SEC;
        const double wall = std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
        std::printf("%-46s %7.1f MB/s  (%.3f s busy, %.3f s by the clock)\n", what,
                    static_cast<double>(bytes) / 1e6 / busy, busy, wall);
    }
};

}  // namespace

int main(int argc, char** argv) {
    if (argc < 2) {
        std::fprintf(stderr, "bench_verify FILE [rounds] [--views]\n");
        return 2;
    }
    bool views = false;
    int rounds = 3;
    for (int i = 2; i < argc; ++i) {
        if (std::string(argv[i]) == "--views")
            views = true;
        else
            rounds = std::atoi(argv[i]);
    }
    JournalOptions options;
    options.access = JournalAccess::read;
    const auto journal = Journal::open(argv[1], options);
    if (!journal) {
        std::fprintf(stderr, "cannot open: %s\n", journal.error().code.c_str());
        return 3;
    }
    constexpr std::int64_t in_memory = 256'000'000;
    std::vector<std::string> some;
    std::string one;
    std::int64_t bytes = 0, entries = 0;
    journal->database().each("SELECT bytes FROM entries ORDER BY seq", [&](SQLite::Statement& row) {
        const auto size = row.getColumn(0).getBytes();
        if (bytes + size <= in_memory) {
            some.push_back(row.getColumn(0).getString());
            one += some.back();
        }
        bytes += size;
        ++entries;
    });
    std::printf("%lld entries, %.1f MB of bytes, %.0f bytes an entry\n", static_cast<long long>(entries),
                static_cast<double>(bytes) / 1e6, static_cast<double>(bytes) / static_cast<double>(entries));
    const auto held = static_cast<std::int64_t>(one.size());
    for (int round = 0; round < rounds; ++round) {
        unsigned char sum = 0;
        Watch watch;
        sum ^= sha256(one)[0];
        watch.print("SHA-256, in memory as one text", held);
        watch = {};
        for (const auto& entry : some)
            sum ^= leaf_hash(entry)[0];
        watch.print("SHA-256, in memory, entry by entry", held);
        watch = {};
        journal->database().each("SELECT bytes, hash FROM entries ORDER BY seq", [&](SQLite::Statement& row) {
            const auto column = row.getColumn(0);
            sum ^=
                leaf_hash({static_cast<const char*>(column.getBlob()), static_cast<std::size_t>(column.getBytes())})[0];
        });
        watch.print("SHA-256, entry by entry, read from the file", bytes);
        VerifyOptions how;
        how.views = views;
        watch = {};
        const auto verified = journal->verify(how);
        if (!verified || !verified->sound()) {
            std::fprintf(stderr, "not sound: %s\n",
                         verified ? verified->damage->code.c_str() : verified.error().code.c_str());
            return 1;
        }
        watch.print(views ? "verify, with the views made anew" : "verify: hash, form, columns, tree, signatures",
                    bytes);
        std::printf("(%u) %lld checkpoints\n", static_cast<unsigned>(sum),
                    static_cast<long long>(verified->checkpoints));
    }
    return 0;
}
