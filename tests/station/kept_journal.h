// Every entry of a test's bench in a journal of its own, at the bench's own times.
#pragma once

#include "tests/station/journal_kit.h"
#include "tests/support/bench_fixture.h"

namespace journal_kit {

struct KeptJournal {
    explicit KeptJournal(const crimpgate::test::Bench& b) : journal(open_journal(folder / "j.sqlite")) {
        for (const auto& logged : b.log) {
            Stamp stamp;
            stamp.utc_ms = logged.facts.utc_ms;
            stamp.mono_ns = logged.facts.seq * 1'000'000;
            stamp.boot_id = "boot";
            stamp.clock_synced = true;
            must(journal.append({draft(logged.body, logged.facts.who)}, stamp));
        }
    }
    Folder folder;
    Journal journal;
};

}  // namespace journal_kit
