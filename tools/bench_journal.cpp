// What recording a reading costs: Journal::append beside a bare durable commit of the same bytes in SQLite on the same
// disk, taken turn by turn so that both meet the same disk. Prints microseconds.
//
//     bench_journal FOLDER [COUNT]
#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include <boost/json.hpp>

#include "station/entries/entry_json.h"
#include "station/journal/database.h"
#include "station/journal/journal.h"

namespace {

using namespace crimpgate;
using Clock = std::chrono::steady_clock;

Draft a_reading() {
    entries::ReadingTaken reading;
    reading.serial = "K1000042";
    reading.end = End::a;
    reading.what = Characteristic::crimp_diameter;
    reading.flat = 3;
    reading.gauge = "G1";
    reading.proof_seq = 17;
    reading.value = 31020_um;
    reading.resolution = 10_um;
    reading.raw_hex = "2b33312e30320d0a";
    reading.arrived_utc_ms = 1'741'064'767'000;
    reading.lower = 30850_um;
    reading.upper = 31150_um;
    reading.guard = 20_um;
    reading.uncertainty = 12_um;
    reading.verdict = Verdict::conforms;
    reading.side = Side::none;
    return {std::string(entries::ReadingTaken::type), to_json(EntryBody(reading)), "OP-7"};
}

template <class F>
double microseconds(F&& f) {
    const auto from = Clock::now();
    f();
    return std::chrono::duration<double, std::micro>(Clock::now() - from).count();
}

void report(const char* what, std::vector<double> taken) {
    std::sort(taken.begin(), taken.end());
    std::printf("%-28s median %7.0f us   99th percentile %7.0f us   worst %7.0f us\n", what, taken[taken.size() / 2],
                taken[taken.size() * 99 / 100], taken.back());
}

}  // namespace

int main(int argc, char** argv) {
    std::size_t count = 3000;
    if (argc > 2) {
        const std::string_view text = argv[2];
        std::from_chars(text.data(), text.data() + text.size(), count);
    }
    if (argc < 2 || count == 0) {
        std::fputs("usage: bench_journal FOLDER [COUNT]\n", stderr);
        return 2;
    }
    const std::filesystem::path folder = argv[1];
    std::filesystem::create_directories(folder);
    for (const char* file : {"bench.sqlite", "bare.sqlite"})
        for (const char* part : {"", "-wal", "-shm"})
            std::filesystem::remove(folder / (std::string(file) + part));

    JournalOptions options;
    options.station = "bench-1";
    auto journal = Journal::open(folder / "bench.sqlite", options);
    if (!journal) {
        std::fprintf(stderr, "bench_journal: %s\n", journal.error().code.c_str());
        return 1;
    }
    Database bare(folder / "bare.sqlite", Database::Access::write, "");
    bare.text("PRAGMA journal_mode = WAL");
    bare.exec("PRAGMA synchronous = FULL; CREATE TABLE entries(seq INTEGER PRIMARY KEY, bytes TEXT NOT NULL) STRICT");

    const Draft draft = a_reading();
    std::vector<double> with_journal;
    std::vector<double> with_bare;
    std::string bytes;
    for (std::size_t i = 0; i < count; ++i) {
        const Stamp stamp{1'741'064'767'089 + static_cast<std::int64_t>(i), static_cast<std::int64_t>(i) * 1'000'000,
                          "1f0c8a52-0000-4000-8000-000000000001", true};
        bool written = false;
        with_journal.push_back(microseconds([&] {
            auto entries = journal->append({draft}, stamp);
            written = entries.has_value();
            if (written) bytes = std::move(entries->front().bytes);
        }));
        if (!written) return 1;
        with_bare.push_back(microseconds([&] {
            Transaction transaction(bare);
            bare.run("INSERT INTO entries(bytes) VALUES(?)", bytes);
            transaction.commit();
        }));
    }
    std::printf("%zu entries of %zu bytes, one transaction each\n", count, bytes.size());
    report("bare durable commit", with_bare);
    report("journal entry with its views", with_journal);
    const auto verified_us = microseconds([&] {
        const auto verification = journal->verify();
        if (!verification || !verification->sound()) std::puts("NOT SOUND");
    });
    std::printf("verify: %.1f us an entry\n", verified_us / static_cast<double>(count));
    return 0;
}
