// How long a start takes on a journal: the state from its first entry, the state kept and read again, one assembly
// recalled.
//
//   bench_start FILE      writes FILE.state beside it
#include <sys/resource.h>

#include <chrono>
#include <cstdio>
#include <ctime>
#include <filesystem>

#include "station/daemon/kept_state.h"
#include "station/journal/queries.h"

using namespace crimpgate;

namespace {

template <class Work>
auto timed(const char* what, const Work& work) {
    const auto from = std::chrono::steady_clock::now();
    const auto used = std::clock();
    auto result = work();
    const double busy = static_cast<double>(std::clock() - used) / CLOCKS_PER_SEC;
    const double wall = std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
    std::printf("%-44s %9.4f s busy, %9.4f s by the clock\n", what, busy, wall);
    return result;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "bench_start FILE\n");
        return 2;
    }
    JournalOptions options;
    options.access = JournalAccess::read;
    const auto journal = Journal::open(argv[1], options);
    if (!journal) {
        std::fprintf(stderr, "cannot open: %s\n", journal.error().code.c_str());
        return 3;
    }
    auto state = timed("state from the first entry", [&] { return folded(*journal, false); });
    if (!state) return 4;
    std::printf("  %lld entries, %zu assemblies in memory, %zu orders\n", static_cast<long long>(state->last_seq),
                state->assemblies.size(), state->orders.size());
    if (const auto kept = timed("state written", [&] { return keep_state(*journal, *state); }); !kept) return 5;
    std::printf("  %.1f MB\n", static_cast<double>(std::filesystem::file_size(kept_state_file(*journal))) / 1e6);
    const auto again = timed("start from the kept state", [&] { return folded(*journal); });
    if (!again) return 6;
    const auto serials = assemblies_of(*journal, state->orders.begin()->first);
    if (!serials || serials->empty()) return 7;
    const std::string serial(serials->front().at("serial").as_string());
    forget_quiet(*state);
    timed("one forgotten assembly recalled", [&] { return state->assemblies.find(serial)->second.number; });
    timed("trace of one serial", [&] { return trace(*journal, serial); });
    timed("one inclusion proof", [&] { return journal->inclusion(state->last_seq / 3, state->last_seq); });
    rusage memory{};
    getrusage(RUSAGE_SELF, &memory);
    std::printf("%.0f MB of memory at most\n", static_cast<double>(memory.ru_maxrss) / 1024);
    return 0;
}
