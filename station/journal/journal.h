// The journal: every fact that the station knows, appended in order, never changed (R3).
//
// A SQLite file with one row an entry (entry.h) and, beside them, views: tables for search that are filled in the same
// transaction and can be dropped and built again from the entries to the same content (views.h).
//
// R2: append() returns only after the commit is on disk (WAL, synchronous=FULL). Whatever is refused leaves the journal
// as it was. R10: every refusal says why ("journal.*") and the line stops until it is settled; after a failed write to
// the disk the journal takes nothing more until it is opened again, since what the disk holds is no longer known.
//
// One writer a file, by a lock on "<file>.lock"; any number of readers. Not for use from two threads at once: give each
// thread a journal of its own, opened for reading. Exceptions are for bugs only; SQLite's own end in this folder.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "station/journal/entry.h"

namespace crimpgate {

class Database;  // database.h, for this folder's own use
struct Schema;   // schema.h

enum class JournalAccess { write, read };

struct JournalOptions {
    std::string station;  // id of the station, as written into every entry; a file of another station is refused
    JournalAccess access = JournalAccess::write;
    std::int64_t max_pages = 0;      // the file grows to no more than that many pages; 0: SQLite's own limit
    std::string vfs;                 // name of a registered SQLite file system; empty: the default one
    const Schema* schema = nullptr;  // numbered schema steps; null: the program's own (current_schema())
};

struct VerifyOptions {
    bool views = true;                     // compare the views, too: most of the time goes there
    std::string trusted_key;               // verifier key, got from elsewhere; empty: the journal's own word
    std::vector<std::string> checkpoints;  // signed notes from outside: the journal must extend each of them
};

// Outcome of verify(): how far the journal is sound, and the first thing that is not.
struct Verification {
    std::int64_t entries = 0;       // checked and found sound, before the damage if there is any
    std::optional<Message> damage;  // "verify.*"
    std::int64_t damaged_seq = 0;   // of the entry concerned, 0 when it is a view's row, or none in particular
    bool sound() const { return !damage; }

    std::int64_t bytes = 0;                   // of those entries
    std::int64_t entries_us = 0;              // microseconds that entries, tree and signatures took
    Hash root{};                              // of the tree of those entries, as reckoned
    std::vector<std::string> keys;            // verifier keys of the station, oldest first
    std::int64_t keys_without_hand_over = 0;  // made anew because the one before was lost
    std::int64_t checkpoints = 0;             // signed and found good
    std::int64_t countersignatures = 0;       // found good
    std::int64_t signed_size = 0;             // so many entries are under a good signature
    std::int64_t outside = 0;                 // checkpoints from outside that the journal extends
};

class Journal {
  public:
    // Opens or, for writing, creates. Refused: a file in use by another writer, of a newer program, of another station,
    // of another kind, damaged (quick_check), or in a place that cannot be written. An older file is copied
    // ("<file>.before-schema-N") and then brought up to date.
    static Result<Journal> open(const std::filesystem::path& file, JournalOptions options);
    Journal(Journal&&) noexcept;
    Journal& operator=(Journal&&) noexcept;
    ~Journal();

    // All of the drafts in one transaction, entries and views, or none of them.
    Result<std::vector<Entry>> append(std::vector<Draft> drafts, const Stamp& stamp);

    // Number of the last entry, which is also how many there are; 0 in an empty journal.
    Result<std::int64_t> last_seq() const;
    Result<std::optional<Entry>> entry(std::int64_t seq) const;
    // In order, from seq (inclusive) on.
    Result<std::vector<Entry>> entries_from(std::int64_t seq, std::int64_t limit) const;
    // Every entry in order, one at a time; stops early when `each` returns false.
    Result<void> for_each(const std::function<bool(const Entry&)>& each) const;

    // The tree over the entries (station/proof/merkle.h), from stored nodes in a logarithmic number of reads. Refused
    // with "journal.no_such_tree" when there are not that many entries, or entry seq is not among the first `size`.
    Result<Hash> root(std::int64_t size) const;
    // That entry seq is among the first `size`.
    Result<std::vector<Hash>> inclusion(std::int64_t seq, std::int64_t size) const;
    // That the first `to` entries begin with the first `from` (at least one).
    Result<std::vector<Hash>> consistency(std::int64_t from, std::int64_t to) const;

    // Reads everything again: numbers without a gap, bytes canonical and as hashed, columns as in the bytes, nodes as
    // reckoned, checkpoints and countersignatures good, views equal to a rebuild. A refusal means that it could not be
    // read at all.
    Result<Verification> verify(const VerifyOptions& options = {}) const;

    // Drops the views and builds them again from the entries.
    Result<void> rebuild_views();

    // A whole, checked copy in one file, while the station goes on working (VACUUM INTO a temporary name beside `to`,
    // integrity_check, fsync, rename). Never overwrites.
    Result<void> back_up(const std::filesystem::path& to) const;

    // Refused ("journal.little_room") when the disk under the file has less than that many bytes free (R10).
    Result<void> check_room(std::int64_t bytes) const;

    const std::filesystem::path& file() const;
    const std::string& station() const;
    Database& database() const;  // for queries.h and this folder's tests

    struct State;  // state.h, for this folder's own use

  private:
    explicit Journal(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

}  // namespace crimpgate
