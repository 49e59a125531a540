#include "station/journal/checkpoints.h"

#include "station/journal/database.h"

namespace crimpgate {
namespace {

std::vector<KeptCheckpoint> read(Database& database, const std::string& where, std::int64_t value, std::int64_t limit) {
    std::vector<KeptCheckpoint> out;
    const std::string sql = "SELECT seq, time, who, size, root, note, cause FROM checkpoints " + where + " LIMIT ?2";
    database.each(
        sql.c_str(),
        [&](SQLite::Statement& row) {
            KeptCheckpoint one;
            one.seq = row.getColumn(0).getInt64();
            one.time = row.getColumn(1).getString();
            one.who = row.getColumn(2).getString();
            one.size = row.getColumn(3).getInt64();
            one.root = row.getColumn(4).getString();
            one.note = row.getColumn(5).getString();
            one.cause = row.getColumn(6).getString();
            out.push_back(std::move(one));
        },
        value, limit);
    for (auto& one : out)
        database.each(
            "SELECT seq, key, line, signed_utc_s FROM countersignatures WHERE size = ? ORDER BY seq",
            [&](SQLite::Statement& row) {
                one.countersignatures.push_back({row.getColumn(0).getInt64(), row.getColumn(1).getString(),
                                                 row.getColumn(2).getString(), row.getColumn(3).getInt64()});
            },
            one.size);
    return out;
}

Result<std::optional<KeptCheckpoint>> first(const Journal& journal, const std::string& where, std::int64_t value) {
    return guarded([&] {
        const Snapshot snapshot(journal.database());
        auto found = read(journal.database(), where, value, 1);
        return found.empty() ? std::optional<KeptCheckpoint>() : std::move(found.front());
    });
}

}  // namespace

std::string KeptCheckpoint::whole_note() const {
    std::string whole = note;
    for (const auto& one : countersignatures)
        whole += one.line + "\n";
    return whole;
}

Result<std::optional<KeptCheckpoint>> last_checkpoint(const Journal& journal) {
    return first(journal, "WHERE ?1 = 0 ORDER BY seq DESC", 0);
}

Result<std::optional<KeptCheckpoint>> checkpoint_covering(const Journal& journal, std::int64_t size) {
    return first(journal, "WHERE size >= ?1 ORDER BY size, seq", size);
}

Result<std::optional<KeptCheckpoint>> checkpoint_of_size(const Journal& journal, std::int64_t size) {
    return first(journal, "WHERE size = ?1 ORDER BY seq DESC", size);
}

Result<std::vector<KeptCheckpoint>> checkpoints(const Journal& journal, std::int64_t limit) {
    return guarded([&] {
        const Snapshot snapshot(journal.database());
        return read(journal.database(), "WHERE ?1 = 0 ORDER BY seq DESC", 0, limit);
    });
}

Result<std::vector<StationKey>> station_keys(const Journal& journal) {
    return guarded([&] {
        std::vector<StationKey> out;
        journal.database().each(
            "SELECT seq, name, key, tag_key, coalesce(statement, '') FROM station_keys ORDER BY seq",
            [&](SQLite::Statement& row) {
                out.push_back({row.getColumn(0).getInt64(), row.getColumn(1).getString(), row.getColumn(2).getString(),
                               row.getColumn(3).getString(), row.getColumn(4).getString()});
            });
        return out;
    });
}

Result<std::vector<KnownWitness>> witnesses(const Journal& journal) {
    return guarded([&] {
        std::vector<KnownWitness> out;
        journal.database().each("SELECT key, holder FROM witnesses WHERE forgotten_seq IS NULL ORDER BY seq",
                                [&](SQLite::Statement& row) {
                                    out.push_back({row.getColumn(0).getString(), row.getColumn(1).getString()});
                                });
        return out;
    });
}

Result<std::int64_t> last_seq_to_sign(const Journal& journal) {
    return guarded([&] {
        // From the end: at most a few entries are passed over.
        return journal.database().number(
            "SELECT seq FROM entries WHERE type NOT IN ('checkpoint.signed', 'checkpoint.countersigned') "
            "ORDER BY seq DESC LIMIT 1");
    });
}

}  // namespace crimpgate
