#include "station/journal/one_assembly.h"

#include "station/journal/database.h"

namespace crimpgate {

Result<std::vector<Entry>> entries_of(const Journal& journal, const std::string& serial, std::int64_t upto_seq) {
    return guarded([&]() -> Result<std::vector<Entry>> {
        std::vector<Entry> found;
        Result<void> outcome;
        journal.database().each(
            "SELECT e.bytes FROM serial_entries s JOIN entries e ON e.seq = s.seq WHERE s.serial = ? AND s.seq <= ? "
            "ORDER BY s.seq",
            [&](SQLite::Statement& row) {
                auto entry = read_entry(row.getColumn(0).getString());
                if (entry)
                    found.push_back(std::move(*entry));
                else
                    outcome = refuse(std::move(entry.error()));
                return outcome.has_value();
            },
            serial, upto_seq);
        if (!outcome) return refuse(std::move(outcome.error()));
        return found;
    });
}

Result<std::int64_t> place_in_order(const Journal& journal, const std::string& order, std::int64_t started_seq) {
    return guarded([&] {
        return journal.database().number("SELECT count(*) FROM assemblies WHERE \"order\" = ? AND seq <= ?", order,
                                         started_seq);
    });
}

Result<std::vector<std::string>> serials_of_shift(const Journal& journal, const std::string& shift,
                                                  std::int64_t upto_seq) {
    return guarded([&] {
        std::vector<std::string> serials;
        journal.database().each(
            "SELECT serial FROM assemblies WHERE shift = ? AND seq <= ? ORDER BY seq",
            [&](SQLite::Statement& row) { serials.push_back(row.getColumn(0).getString()); }, shift, upto_seq);
        return serials;
    });
}

}  // namespace crimpgate
