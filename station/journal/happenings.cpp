#include "station/journal/happenings.h"

#include <algorithm>

#include <sqlite3.h>

#include "station/journal/database.h"

namespace crimpgate {

Result<std::vector<Entry>> happenings_of(const Journal& journal, std::initializer_list<std::string_view> types,
                                         std::int64_t upto_seq) {
    return guarded([&] {
        std::vector<Entry> out;
        for (const auto type : types)
            journal.database().each(
                "SELECT e.bytes FROM happenings h JOIN entries e ON e.seq = h.seq WHERE h.type = ? AND h.seq <= ? "
                "ORDER BY h.seq",
                [&](SQLite::Statement& row) {
                    auto entry = read_entry(row.getColumn(0).getString());
                    if (!entry)
                        throw SQLite::Exception("an entry cannot be read: " + entry.error().code, SQLITE_CORRUPT);
                    out.push_back(std::move(*entry));
                },
                type, upto_seq);
        std::sort(out.begin(), out.end(), [](const Entry& a, const Entry& b) { return a.seq < b.seq; });
        return out;
    });
}

}  // namespace crimpgate
