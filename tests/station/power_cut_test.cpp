#include "station/journal/database.h"
#include "tests/station/fake_disk.h"
#include "tests/station/shop_day.h"

using namespace journal_kit;

namespace {

JournalOptions on(const std::string& vfs) {
    auto options = station();
    options.vfs = vfs;
    return options;
}

// The first part of the shop's day, two entries a transaction, as far as the disk goes. Every entry that was
// acknowledged, and how the last refusal read.
struct Outcome {
    std::vector<Entry> acknowledged;
    std::optional<Message> refused;
};

Outcome work_until_refused(Journal& journal, std::size_t transactions) {
    static const ShopDay day;
    Outcome outcome;
    for (std::size_t i = 0; i < transactions; ++i) {
        auto written = journal.append({day.drafts[2 * i], day.drafts[2 * i + 1]}, at(static_cast<std::int64_t>(i)));
        if (!written) {
            outcome.refused = written.error();
            return outcome;
        }
        for (auto& entry : *written)
            outcome.acknowledged.push_back(std::move(entry));
    }
    return outcome;
}

// Everything acknowledged is there as it was told; at most one whole transaction more; all of it sound.
void check_kept(Journal& journal, const std::vector<Entry>& acknowledged) {
    const auto kept = must(journal.entries_from(1, 1000));
    REQUIRE(kept.size() >= acknowledged.size());
    for (std::size_t i = 0; i < acknowledged.size(); ++i)
        REQUIRE(kept[i].bytes == acknowledged[i].bytes);
    CHECK((kept.size() == acknowledged.size() || kept.size() == acknowledged.size() + 2));
    const auto verification = must(journal.verify());
    INFO((verification.damage ? verification.damage->code : ""));
    CHECK(verification.sound());
}

constexpr std::size_t transactions = 7;
constexpr std::size_t few = 3;

// A disk with an empty journal on it, closed and flushed.
const FakeDisk& with_empty_journal(const std::filesystem::path& file) {
    static FakeDisk disk("fake-disk-with-journal");
    disk.take_over(FakeDisk("fake-disk-empty"));
    { Journal journal = open_journal(file, on("fake-disk-with-journal")); }
    return disk;
}

}  // namespace

TEST_CASE("R2: a power cut while the journal is made leaves nothing, or a journal that can be used") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    std::int64_t cuts = 0;
    for (std::int64_t cut = 1;; ++cut) {
        FakeDisk disk("fake-disk");
        disk.fail_at(cut, FakeDisk::Failure::power_cut);
        { const auto journal = Journal::open(file, on("fake-disk")); }
        if (!disk.has_failed()) break;
        ++cuts;
        disk.power_up(static_cast<std::uint64_t>(cut));
        INFO("power cut at operation " << cut);
        Journal journal = open_journal(file, on("fake-disk"));
        check_kept(journal, {});
        must(journal.append({ShopDay().drafts[0]}, at(99)));
    }
    CHECK(cuts > 50);
}

TEST_CASE("R2: after a power cut at any instant of the work nothing acknowledged is missing") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    const FakeDisk& prepared = with_empty_journal(file);
    std::int64_t cuts = 0;
    std::int64_t cuts_after_acknowledging = 0;
    for (std::int64_t cut = 1;; ++cut) {
        FakeDisk disk("fake-disk");
        disk.take_over(prepared);
        std::vector<Entry> acknowledged;
        {
            Journal journal = open_journal(file, on("fake-disk"));
            disk.fail_at(cut, FakeDisk::Failure::power_cut);
            acknowledged = work_until_refused(journal, transactions).acknowledged;
            if (!disk.has_failed()) break;  // the whole run fits before the cut
        }
        ++cuts;
        if (!acknowledged.empty()) ++cuts_after_acknowledging;
        disk.power_up(static_cast<std::uint64_t>(cut));
        INFO("power cut at operation " << cut << ", " << acknowledged.size() << " entries acknowledged");
        Journal journal = open_journal(file, on("fake-disk"));
        check_kept(journal, acknowledged);
        must(journal.append({ShopDay().drafts[0]}, at(99)));
    }
    CHECK(cuts > 5 * static_cast<std::int64_t>(transactions));
    CHECK(cuts_after_acknowledging > 4 * static_cast<std::int64_t>(transactions));
}

TEST_CASE("R2: the same cut leaves a sound journal whichever of the unflushed sectors arrive") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    const FakeDisk& prepared = with_empty_journal(file);
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        FakeDisk disk("fake-disk");
        disk.take_over(prepared);
        std::vector<Entry> acknowledged;
        {
            Journal journal = open_journal(file, on("fake-disk"));
            disk.fail_at(30 + static_cast<std::int64_t>(seed % 17), FakeDisk::Failure::power_cut);
            acknowledged = work_until_refused(journal, transactions).acknowledged;
        }
        REQUIRE(disk.has_failed());
        disk.power_up(seed);
        INFO("seed " << seed);
        Journal journal = open_journal(file, on("fake-disk"));
        check_kept(journal, acknowledged);
    }
}

TEST_CASE(
    "R10: a disk that fails at any write or flush gives a refusal, never a wrong journal, and the journal says stop") {
    Folder folder;
    const auto file = folder / "j.sqlite";
    const FakeDisk& prepared = with_empty_journal(file);
    for (const auto how : {FakeDisk::Failure::full, FakeDisk::Failure::write_error, FakeDisk::Failure::flush_error}) {
        std::int64_t refusals = 0;
        for (std::int64_t n = 1;; ++n) {
            FakeDisk disk("fake-disk");
            disk.take_over(prepared);
            std::vector<Entry> acknowledged;
            INFO("failure " << static_cast<int>(how) << " at operation " << n);
            {
                Journal journal = open_journal(file, on("fake-disk"));
                disk.fail_at(n, how);
                auto outcome = work_until_refused(journal, few);
                acknowledged = outcome.acknowledged;
                if (!disk.has_failed()) break;
                if (outcome.refused) {
                    ++refusals;
                    const bool full = how == FakeDisk::Failure::full;
                    CHECK(outcome.refused->code == (full ? "journal.disk_full" : "journal.io_error"));
                    const auto next = journal.append({ShopDay().drafts[0]}, at(50));
                    if (full) {  // there is room again
                        REQUIRE(next);
                        acknowledged.push_back(next->front());
                    } else {
                        REQUIRE_FALSE(next);
                        CHECK(next.error().code == "journal.broken");
                    }
                }
            }
            disk.power_up(static_cast<std::uint64_t>(n));
            Journal journal = open_journal(file, on("fake-disk"));
            check_kept(journal, acknowledged);
        }
        CHECK(refusals >= static_cast<std::int64_t>(few));
    }
}
