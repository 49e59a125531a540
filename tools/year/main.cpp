// crimpgate-year: a year of one bench as a journal, with a story in it that an audit has to find.
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>

#include <boost/json/serialize.hpp>

#include "station/journal/database.h"
#include "station/words/catalogue.h"
#include "tools/shared/arguments.h"
#include "tools/year/year.h"

namespace {

using namespace crimpgate;
namespace fs = std::filesystem;

constexpr const char* help = R"(NAME
    crimpgate-year - makes a year of one bench as a journal, with faults planted in it

SYNOPSIS
    crimpgate-year FILE [--assemblies N] [--per-day N] [--seed N] [--until DATE] [--without-faults]

DESCRIPTION
    Works an invented bench by the station's own rules, two shifts a day, and writes every entry to a new journal. What
    is planted, and when, is printed and written to FILE.story.json. The file is not flushed to the disk entry by entry,
    as the station does it: it can be made again.

OPTIONS
    --assemblies N    how many are started (40000)
    --per-day N       how many of them a day (160): fewer a day make a longer time of the same number
    --seed N          another year (1); the same number gives the same entries
    --until DATE      the last day (2026-11-24)
    --without-faults  nothing is planted
    --help            this text
)";

int give_up(const Message& why) {
    std::fprintf(stderr, "crimpgate-year: %s\n", say(why).c_str());
    return 1;
}

Result<year::YearChoice> choice_of(const Arguments& given) {
    year::YearChoice choice;
    const auto number = [&](const char* name, std::int64_t otherwise, int least, int most) -> Result<std::int64_t> {
        if (!given.has(name)) return otherwise;
        const auto found = given.number(name, least, most);
        if (!found) return refuse(found.error());
        return *found;
    };
    const auto assemblies = number("--assemblies", choice.assemblies, 1, 1'000'000);
    if (!assemblies) return refuse(assemblies.error());
    const auto per_day = number("--per-day", choice.per_day, 2, 2'000);
    if (!per_day) return refuse(per_day.error());
    const auto seed = number("--seed", 1, 0, 2'000'000'000);
    if (!seed) return refuse(seed.error());
    choice.assemblies = *assemblies;
    choice.per_day = *per_day;
    choice.seed = static_cast<std::uint64_t>(*seed);
    choice.faults = !given.has("--without-faults");
    if (given.has("--until")) {
        const auto until = parse_date(given.value("--until"));
        if (!until) return refuse(until.error());
        choice.until = *until;
    }
    return choice;
}

Result<year::YearMade> write_year(const fs::path& file, const year::YearChoice& choice) {
    JournalOptions options;
    options.station = "bench-1";
    auto journal = Journal::open(file, options);
    if (!journal) return refuse(std::move(journal.error()));
    // Nobody measured these parts, so nothing is lost with them: no waiting for the disk.
    journal->database().exec("PRAGMA synchronous = OFF");
    auto made = year::make_year(*journal, choice, [&](std::size_t day) {
        if (day % 10 == 0) std::fprintf(stderr, "\rday %zu", day);
    });
    std::fputs("\r", stderr);
    journal->database().text("PRAGMA wal_checkpoint(TRUNCATE)");
    return made;
}

void tell(const year::YearMade& made, const fs::path& file, double seconds) {
    rusage used{};
    getrusage(RUSAGE_SELF, &used);
    std::printf("%lld assemblies in %lld shifts, %lld set-up pieces, %lld warnings of the drift watch, %lld holds\n",
                static_cast<long long>(made.assemblies), static_cast<long long>(made.shifts),
                static_cast<long long>(made.setups), static_cast<long long>(made.warnings),
                static_cast<long long>(made.holds));
    std::printf("%lld entries in %.1f s (%.0f a second), %.0f MB of memory, %.0f MB of journal\n",
                static_cast<long long>(made.entries), seconds, static_cast<double>(made.entries) / seconds,
                static_cast<double>(used.ru_maxrss) / 1024, static_cast<double>(fs::file_size(file)) / 1e6);
    std::printf("%s\n", boost::json::serialize(year::to_json(made.story, made.days)).c_str());
}

}  // namespace

int main(int argc, char** argv) {
    const bool asked =
        std::any_of(argv + 1, argv + argc, [](const char* a) { return std::string_view(a) == "--help"; });
    if (asked || argc < 2) {
        std::fputs(help, asked ? stdout : stderr);
        return asked ? 0 : 2;
    }
    const fs::path file = fs::absolute(argv[1]);
    const auto given =
        Arguments::parse(argc - 1, argv + 1, {"--assemblies", "--per-day", "--seed", "--until"}, {"--without-faults"});
    if (!given) return give_up(given.error());
    const auto choice = choice_of(*given);
    if (!choice) return give_up(choice.error());
    if (fs::exists(file)) return give_up(message("year.file_there").with("file", file.string()));

    const auto from = std::chrono::steady_clock::now();
    const auto made = write_year(file, *choice);
    if (!made) return give_up(made.error());
    tell(*made, file, std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count());
    std::ofstream story(file.string() + ".story.json");
    story << boost::json::serialize(year::to_json(made->story, made->days)) << "\n";
    return story.good() ? 0 : 1;
}
