#include "tests/year/audited_year.h"

#include <stdlib.h>

#include <cmath>
#include <stdexcept>

#include <fmt/format.h>

#include "reports/audit/figures.h"
#include "station/journal/audit_facts.h"
#include "station/journal/database.h"
#include "station/json/utc_text.h"

namespace year_test {

using namespace crimpgate;
using namespace crimpgate::audit;

Made make(const std::filesystem::path& file, const year::YearChoice& choice) {
    JournalOptions options;
    options.station = "bench-1";
    auto journal = Journal::open(file, options);
    if (!journal) throw std::runtime_error(journal.error().code);
    journal->database().exec("PRAGMA synchronous = OFF");  // as crimpgate-year does it
    auto made = year::make_year(*journal, choice);
    if (!made) throw std::runtime_error(made.error().code);
    return {std::move(*journal), std::move(*made)};
}

std::map<std::string, std::int64_t> count_by_type(const Journal& journal) {
    std::map<std::string, std::int64_t> counts;
    const auto read = journal.for_each([&](const Entry& entry) {
        ++counts[entry.type];
        return true;
    });
    if (!read) throw std::runtime_error(read.error().code);
    return counts;
}

std::string bytes_of(const Journal& journal) {
    std::string bytes;
    const auto read = journal.for_each([&](const Entry& entry) {
        bytes += entry.bytes + "\n";
        return true;
    });
    if (!read) throw std::runtime_error(read.error().code);
    return bytes;
}

std::vector<Difference> differences_in(const Journal& journal) {
    AuditAsked asked;
    asked.from_ms = 1;
    const auto told = [](const EntryBody&, const std::string&, ShownUnit) { return Message{}; };
    auto facts = audit_facts(journal, asked, told);
    if (!facts) throw std::runtime_error(facts.error().code);
    const Work work = work_of(*facts, {});
    return differences_of(work).found;
}

std::string listed(const std::vector<Difference>& found) {
    static constexpr const char* responses[] = {"level", "spread", "share", "proof"};
    static constexpr const char* patterns[] = {"differs", "differs within", "trend", "jump"};
    std::string out;
    for (const Difference& d : found)
        out += fmt::format("{} {} {} [{}] {} to {}: {:.4g}, adjusted p {:.2g}\n",
                           responses[static_cast<int>(d.response)], patterns[static_cast<int>(d.pattern)],
                           value_code(d.factor), d.level, time_text(d.from_ms), time_text(d.to_ms),
                           d.response == Response::not_conforming ? d.estimate : d.estimate / 1000, d.p_adjusted);
    return out;
}

Named compare(const year::YearMade& made, const std::vector<Difference>& found) {
    const year::Story& story = made.story;
    const std::string week = iso_week(to_text(made.days[story.caliper_from]));
    Named named;
    for (const Difference& d : found) {
        const bool level = d.response == Response::level;
        const double um = d.estimate / 1000;
        const auto close = [&](double expected, double by) { return std::abs(um - expected) < by; };
        if (level && d.pattern == Pattern::trend && d.level == story.die_set && close(year::Story::wear_um, 12))
            named.wear = true;
        // The rest of the set-up in which it happened, and whatever was set up until the shift's end.
        else if (level && d.from_ms >= story.bump_from_ms - 3'600'000 && d.to_ms <= story.bump_to_ms &&
                 (d.pattern == Pattern::jump || d.factor == Factor::setup) && close(year::Story::bump_um, 30))
            named.bump = true;
        else if (level && d.level == story.caliper + ", " + week && close(year::Story::caliper_um, 5))
            named.caliper = true;
        else if (d.response == Response::proof_error && d.level == story.caliper + ", " + week)
            continue;  // the same caliper, as its proofs show it
        else if (level && d.level == story.bad_lot && close(year::Story::lot_um, 12))
            named.lot = true;
        else if (!level && d.level == story.bad_lot)
            continue;  // its scatter and what failed of it
        else
            named.others += listed({d});
    }
    return named;
}

}  // namespace year_test
