#include "station/journal/journal.h"

#include <sqlite3.h>

#include "station/journal/database.h"
#include "station/journal/files.h"
#include "station/journal/nodes.h"
#include "station/journal/schema.h"
#include "station/journal/state.h"
#include "station/journal/views.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

Entry entry_of(SQLite::Statement& row) {
    auto entry = read_entry(row.getColumn(0).getString());
    if (!entry) throw SQLite::Exception("an entry cannot be read: " + entry.error().code, SQLITE_CORRUPT);
    return std::move(*entry);
}

// SQLite's words for the settings that durability rests on are read back, not trusted.
Result<void> make_durable(Database& database, const std::filesystem::path& file) {
    const auto mode = database.text("PRAGMA journal_mode = WAL");
    database.exec("PRAGMA synchronous = FULL");
    if (mode == "wal" && database.number("PRAGMA synchronous") == 2) return {};
    return refuse(message("journal.not_durable").with("file", file.string()).with("mode", mode.value_or("")));
}

Result<void> check_pages(Database& database) {
    const auto answer = database.text("PRAGMA quick_check(1)");
    if (answer == "ok") return {};
    return refuse(message("journal.damaged").with("why", answer.value_or("no answer")));
}

Result<void> check_station(Database& database, const std::string& station, const std::filesystem::path& file) {
    const auto owner = note(database, "station").value_or("");
    if (station.empty() || owner == station) return {};
    return refuse(
        message("journal.other_station").with("file", file.string()).with("owner", owner).with("station", station));
}

// Whether there is a tree of the first `size` entries, and `least` <= seq <= size in it.
Result<void> must_have(Database& database, std::int64_t least, std::int64_t seq, std::int64_t size) {
    const auto last = database.number("SELECT coalesce(max(seq), 0) FROM entries");
    if (least <= seq && seq <= size && size <= last) return {};
    return refuse(message("journal.no_such_tree")
                      .with("seq", std::to_string(seq))
                      .with("size", std::to_string(size))
                      .with("entries", std::to_string(last)));
}

void rebuild(Database& database) {
    drop_views(database, note(database, "view_tables").value_or(""));
    create_views(database);
    database.each("SELECT bytes FROM entries ORDER BY seq", [&](SQLite::Statement& row) {
        if (const auto shown = project(database, entry_of(row)); !shown)
            throw SQLite::Exception("an entry cannot be shown: " + shown.error().code, SQLITE_CORRUPT);
    });
    set_note(database, "views", views_version());
    set_note(database, "view_tables", view_names());
}

// Brings the file to the schema's version; a file that held something before is copied first.
Result<void> bring_up_to_date(Database& database, const Schema& schema, const std::filesystem::path& file,
                              const std::string& station) {
    const auto version = schema_version(database);
    if (version == schema.version()) return {};
    if (version > 0) {
        auto copy = file;
        copy += ".before-schema-" + std::to_string(schema.version());
        if (auto copied = copy_to(database, unused_name(copy)); !copied) return copied;
    }
    migrate(database, schema, station);
    return version > 0 ? Result<void>{} : flush(file.parent_path());  // a new file's name must last, too
}

Result<void> open_for_writing(Journal::State& state, const Schema& schema) {
    Database& database = *state.database;
    const auto found = look_at(database, schema, state.file);
    if (!found) return refuse(found.error());
    if (*found == Found::journal) {
        if (auto sound = check_pages(database); !sound) return sound;
    } else if (state.station.empty()) {
        return refuse(message("journal.not_ours").with("file", state.file.string()));
    }
    if (auto durable = make_durable(database, state.file); !durable) return durable;
    if (auto done = bring_up_to_date(database, schema, state.file, state.station); !done) return done;
    if (auto ours = check_station(database, state.station, state.file); !ours) return ours;
    if (note(database, "views") != views_version()) {
        Transaction transaction(database);
        rebuild(database);
        transaction.commit();
    }
    return {};
}

Result<void> open_for_reading(Journal::State& state, const Schema& schema) {
    Database& database = *state.database;
    const auto found = look_at(database, schema, state.file);
    if (!found) return refuse(found.error());
    if (*found == Found::nothing) return refuse(message("journal.not_ours").with("file", state.file.string()));
    if (schema_version(database) < schema.version() || note(database, "views") != views_version())
        return refuse(message("journal.older").with("file", state.file.string()));
    return check_station(database, state.station, state.file);
}

}  // namespace

Journal::Journal(std::unique_ptr<State> state) : state_(std::move(state)) {}
Journal::Journal(Journal&&) noexcept = default;
Journal& Journal::operator=(Journal&&) noexcept = default;
Journal::~Journal() = default;

const std::filesystem::path& Journal::file() const {
    return state_->file;
}

const std::string& Journal::station() const {
    return state_->station;
}

Database& Journal::database() const {
    return *state_->database;
}

Result<Journal> Journal::open(const std::filesystem::path& file, JournalOptions options) {
    std::error_code no_such;
    auto state = std::make_unique<State>();
    state->file = std::filesystem::weakly_canonical(file, no_such);
    if (no_such || !std::filesystem::is_directory(state->file.parent_path(), no_such))
        return refuse(message("journal.no_folder").with("folder", state->file.parent_path().string()));
    state->station = std::move(options.station);
    state->access = options.access;
    if (state->access == JournalAccess::write) {
        auto lock = LockFile::take(state->file.string() + ".lock");
        if (!lock) return refuse(std::move(lock.error()));
        state->lock = std::move(*lock);
    }
    const Schema& schema = options.schema != nullptr ? *options.schema : current_schema();
    const auto opened = guarded([&]() -> Result<void> {
        const bool writes = state->access == JournalAccess::write;
        state->database = std::make_unique<Database>(
            state->file, writes ? Database::Access::write : Database::Access::read, options.vfs);
        if (options.max_pages > 0)
            state->database->exec("PRAGMA max_page_count = " + std::to_string(options.max_pages));
        auto done = writes ? open_for_writing(*state, schema) : open_for_reading(*state, schema);
        if (done && state->station.empty()) state->station = note(*state->database, "station").value_or("");
        return done;
    });
    if (!opened) {
        Message why = opened.error();
        if (why.detail("file").empty()) why.with("file", state->file.string());
        return refuse(std::move(why));
    }
    return Journal(std::move(state));
}

Result<std::vector<Entry>> Journal::append(std::vector<Draft> drafts, const Stamp& stamp) {
    if (state_->access != JournalAccess::write)
        return refuse(message("journal.read_only").with("why", "opened for reading").with("file", file().string()));
    if (state_->broken) return refuse(*state_->broken);
    if (stamp.utc_ms < utc_ms_min || stamp.utc_ms > utc_ms_max || stamp.mono_ns < 0)
        return refuse(message("journal.clock_unusable").with("utc_ms", std::to_string(stamp.utc_ms)));
    Database& db = database();
    auto written = guarded([&]() -> Result<std::vector<Entry>> {
        std::vector<Entry> entries;
        if (drafts.empty()) return entries;
        Transaction transaction(db);
        auto seq = db.number("SELECT coalesce(max(seq), 0) FROM entries");
        Frontier frontier =
            state_->frontier && state_->frontier->size() == seq ? *state_->frontier : Frontier(stored_nodes(db), seq);
        for (auto& draft : drafts) {
            entries.push_back(make_entry(++seq, station(), std::move(draft), stamp));
            const Entry& entry = entries.back();
            db.run("INSERT INTO entries(seq, time, type, who, bytes, hash) VALUES(?, ?, ?, ?, ?, ?)", entry.seq,
                   entry.time, entry.type, entry.who, entry.bytes, entry.hash);
            for (const TreeNode& node : frontier.append(entry.hash))
                insert_node(db, node);
            if (auto shown = project(db, entry); !shown) return refuse(std::move(shown.error()));
        }
        transaction.commit();
        state_->frontier = std::move(frontier);
        return entries;
    });
    if (!written) {
        if (written.error().detail("file").empty()) written.error().with("file", file().string());
        // After a write that failed nobody knows what the disk holds: a later flush may report success for bytes that
        // never arrived. Opening again reads what is really there.
        const bool disk_failed =
            written.error().code == "journal.io_error" || written.error().code == "journal.damaged";
        if (disk_failed || db.in_transaction())
            state_->broken = message("journal.broken")
                                 .with("file", file().string())
                                 .with("why", written.error().code + ": " + std::string(written.error().detail("why")));
    }
    return written;
}

Result<std::int64_t> Journal::last_seq() const {
    return guarded([&] { return database().number("SELECT coalesce(max(seq), 0) FROM entries"); });
}

Result<std::optional<Entry>> Journal::entry(std::int64_t seq) const {
    return guarded([&] {
        std::optional<Entry> found;
        database().each(
            "SELECT bytes FROM entries WHERE seq = ?", [&](SQLite::Statement& row) { found = entry_of(row); }, seq);
        return found;
    });
}

Result<std::vector<Entry>> Journal::entries_from(std::int64_t seq, std::int64_t limit) const {
    return guarded([&] {
        std::vector<Entry> found;
        database().each(
            "SELECT bytes FROM entries WHERE seq >= ? ORDER BY seq LIMIT ?",
            [&](SQLite::Statement& row) { found.push_back(entry_of(row)); }, seq, limit);
        return found;
    });
}

Result<void> Journal::for_each(const std::function<bool(const Entry&)>& each) const {
    return guarded([&] {
        database().each("SELECT bytes FROM entries ORDER BY seq",
                        [&](SQLite::Statement& row) { return each(entry_of(row)); });
    });
}

Result<Hash> Journal::root(std::int64_t size) const {
    return guarded([&]() -> Result<Hash> {
        const Snapshot snapshot(database());
        if (auto there = must_have(database(), 0, 0, size); !there) return refuse(std::move(there.error()));
        return tree_root(stored_nodes(database()), size);
    });
}

Result<std::vector<Hash>> Journal::inclusion(std::int64_t seq, std::int64_t size) const {
    return guarded([&]() -> Result<std::vector<Hash>> {
        const Snapshot snapshot(database());
        if (auto there = must_have(database(), 1, seq, size); !there) return refuse(std::move(there.error()));
        return inclusion_proof(stored_nodes(database()), seq - 1, size);
    });
}

Result<std::vector<Hash>> Journal::consistency(std::int64_t from, std::int64_t to) const {
    return guarded([&]() -> Result<std::vector<Hash>> {
        const Snapshot snapshot(database());
        if (auto there = must_have(database(), 1, from, to); !there) return refuse(std::move(there.error()));
        return consistency_proof(stored_nodes(database()), from, to);
    });
}

Result<void> Journal::rebuild_views() {
    return guarded([&] {
        Transaction transaction(database());
        rebuild(database());
        transaction.commit();
    });
}

Result<void> Journal::back_up(const std::filesystem::path& to) const {
    return guarded([&] { return copy_to(database(), to); });
}

Result<void> Journal::check_room(std::int64_t bytes) const {
    const auto free = free_bytes(file().parent_path());
    if (!free) return refuse(free.error());
    if (*free >= bytes) return {};
    return refuse(message("journal.little_room")
                      .with("folder", file().parent_path().string())
                      .with("free_mb", std::to_string(*free / 1'000'000))
                      .with("wanted_mb", std::to_string(bytes / 1'000'000)));
}

}  // namespace crimpgate
