// A desk on a real journal file, its past made by the bench fixture: what the daemon has after a start.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "station/daemon/desk.h"
#include "station/daemon/tag_outbox.h"
#include "tests/station/journal_kit.h"
#include "tests/station/test_clock.h"
#include "tests/support/bench_fixture.h"

namespace crimpgate::test {

inline Journal journal_of(const Bench& bench, const std::filesystem::path& file, std::int64_t max_pages = 0) {
    auto options = journal_kit::station("bench-1");
    options.max_pages = max_pages;
    auto journal = journal_kit::must(Journal::open(file, options));
    for (const auto& logged : bench.log) {
        std::vector<Draft> drafts;
        drafts.push_back(journal_kit::draft(logged.body, logged.facts.who));
        const Stamp stamp{logged.facts.utc_ms, 1'000'000'000, "1f0c8a52-0000-4000-8000-000000000001", true};
        journal_kit::must(journal.append(std::move(drafts), stamp));
    }
    return journal;
}

class DeskKit {
  public:
    explicit DeskKit(const Bench& bench) : journal(journal_of(bench, folder / "journal.sqlite")) {
        clock.set_utc_by_ms(bench.now.utc_ms + 1000 - clock.utc_ms());
        open();
    }

    // As after a restart: the state comes from the journal alone.
    void open() { desk = journal_kit::must(Desk::open(journal, BenchRules{.station = "bench-1"}, clock, "UTC")); }

    template <class Body>
    std::vector<Body> all() const {
        std::vector<Body> found;
        journal_kit::must(journal.for_each([&](const Entry& entry) {
            if (entry.type == Body::type)
                found.push_back(std::get<Body>(journal_kit::must(entry_body(entry.type, entry.body))));
            return true;
        }));
        return found;
    }

    journal_kit::Folder folder;
    TestClock clock;
    Journal journal;
    std::unique_ptr<Desk> desk;
};

}  // namespace crimpgate::test
