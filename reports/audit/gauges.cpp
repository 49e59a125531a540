// The gauges: could what they said be trusted?
#include "reports/audit/gauge_records.h"
#include "reports/audit/sheets.h"
#include "reports/audit/table.h"

namespace crimpgate::audit {

Sheet gauges_sheet(const Work& work, const std::vector<GaugeRecord>& records) {
    Table table("audit.sheet.gauges", work.inches());
    table.column("audit.column.gauge", Cell::gauge)
        .column("audit.column.readings", Cell::count)
        .column("audit.column.proofs", Cell::count)
        .column("audit.column.failed_proofs", Cell::count)
        .column("audit.column.proved_before", Cell::time)
        .column("audit.column.proved_after", Cell::time)
        .column("audit.column.passed_after", Cell::code)
        .length("audit.column.worst_error_mm", "audit.column.worst_error_in")
        .column("audit.column.of_limit_pct", Cell::percent)
        .length("audit.column.resolution_mm", "audit.column.resolution_in")
        .length("audit.column.uncertainty_mm", "audit.column.uncertainty_in")
        .length("audit.column.proof_limit_mm", "audit.column.proof_limit_in")
        .column("audit.column.calibrated", Cell::text)
        .column("audit.column.calibration_due", Cell::text)
        .column("audit.column.days_left", Cell::count)
        .column("audit.column.certificate", Cell::text)
        .column("audit.column.withdrawn", Cell::code)
        .column("audit.column.too_good", Cell::code);
    const auto yes = [](bool is) { return short_id(is ? "audit.value.yes" : "audit.value.no"); };
    for (const GaugeRecord& r : records) {
        const GaugeFact& g = *r.gauge;
        table.row({g.gauge, count_text(r.readings), count_text(r.proofs), count_text(r.failed),
                   r.before != nullptr ? time_text(r.before->ms) : std::string(),
                   r.after != nullptr ? time_text(r.after->ms) : std::string(),
                   r.after != nullptr ? yes(r.after->passed) : std::string(),
                   r.worst != nullptr ? work.lengths.exact(r.worst->error) : std::string(),
                   r.worst != nullptr ? percent_text(r.worst->error.abs().nm(), r.worst->limit.nm()) : std::string(),
                   work.lengths.exact(g.resolution), work.lengths.exact(g.uncertainty),
                   work.lengths.exact(g.proof_limit), g.calibrated, g.calibration_due,
                   r.days_left ? count_text(*r.days_left) : std::string(), g.certificate, yes(g.withdrawn),
                   yes(r.too_good)});
    }
    return table.done();
}

}  // namespace crimpgate::audit
