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

// Outcome of verify(): how far the journal is sound, and the first thing that is not.
struct Verification {
    std::int64_t entries = 0;       // checked and found sound, before the damage if there is any
    std::optional<Message> damage;  // "verify.*"
    std::int64_t damaged_seq = 0;   // of the entry concerned, 0 when it is a view's row
    bool sound() const { return !damage; }
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

    // Reads everything again: numbers without a gap, bytes canonical and as hashed, columns as in the bytes, views
    // equal to a rebuild. A refusal means that it could not be read at all.
    Result<Verification> verify() const;

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
