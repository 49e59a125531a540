// How far the record goes, and how far and when it was last read through: what ties the paper to the record.
#include "reports/audit/sheets.h"
#include "reports/audit/table.h"

namespace crimpgate::audit {

Sheet journal_sheet(const Work& work, std::int64_t verified_ms) {
    Table table("audit.sheet.journal", work.inches());
    table.column("audit.column.station", Cell::text)
        .column("audit.column.last_seq", Cell::seq)
        .column("audit.column.last_hash", Cell::text)
        .column("audit.column.verified_seq", Cell::seq)
        .column("audit.column.verified_at", Cell::time)
        .column("audit.column.damage", Cell::message);
    const JournalFact& journal = work.facts->journal;
    table.row({journal.station, count_text(journal.last_seq), journal.last_hash,
               journal.verified_seq > 0 ? count_text(journal.verified_seq) : std::string(), time_text(verified_ms),
               journal.damage ? message_text(*journal.damage) : std::string()});
    return table.done();
}

}  // namespace crimpgate::audit
