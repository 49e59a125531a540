#include "reports/recall_csv.h"

#include <fmt/format.h>

#include <chrono>
#include <vector>

#include "reports/audit/audit_csv.h"
#include "specs/csv_write.h"
#include "specs/dates.h"

namespace crimpgate {
namespace {

std::string iso(std::int64_t ms) {
    if (ms == 0) return {};
    const std::chrono::sys_time<std::chrono::milliseconds> at{std::chrono::milliseconds(ms)};
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const auto left = (at - day).count();
    return fmt::format("{}T{:02}:{:02}:{:02}.{:03}Z", to_text(std::chrono::year_month_day(day)), left / 3'600'000,
                       left / 60'000 % 60, left / 1000 % 60, left % 1000);
}

// Whole nanometres as millimetres with six places at most: exact, and no floating point on the way.
std::string millimetres(const std::optional<std::int64_t>& nm) {
    if (!nm) return {};
    const std::uint64_t size = *nm < 0 ? 0 - static_cast<std::uint64_t>(*nm) : static_cast<std::uint64_t>(*nm);
    auto out = fmt::format("{}{}.{:06}", *nm < 0 ? "-" : "", size / 1'000'000, size % 1'000'000);
    while (out.ends_with('0') && out[out.size() - 3] != '.')
        out.pop_back();
    return out;
}

}  // namespace

std::string recall_csv_head() {
    return "\xEF\xBB\xBF" + csv_row({"serial",
                                     "order",
                                     "customer",
                                     "customer_part",
                                     "delivery",
                                     "delivered",
                                     "note_number",
                                     "to",
                                     "stage",
                                     "verdict",
                                     "worst_margin_mm",
                                     "worst_margin_end",
                                     "worst_margin_what",
                                     "worst_margin_place",
                                     "spread_mm",
                                     "recrimps",
                                     "concession_reference",
                                     "hold_cause",
                                     "hold_reason",
                                     "hose_lot",
                                     "fitting_a_lot",
                                     "fitting_b_lot",
                                     "spec_a",
                                     "revision_a",
                                     "spec_b",
                                     "revision_b",
                                     "started_utc",
                                     "started_by",
                                     "passed_utc",
                                     "passed_by"});
}

std::string recall_csv_row(const RecallRow& r) {
    std::vector<std::string> cells = {r.serial,
                                      r.order,
                                      r.customer,
                                      r.customer_part,
                                      r.delivery,
                                      r.delivered,
                                      r.note_number,
                                      r.to,
                                      r.stage,
                                      r.verdict,
                                      millimetres(r.margin_nm),
                                      r.margin_end,
                                      r.margin_what,
                                      r.margin_place == 0 ? std::string() : std::to_string(r.margin_place),
                                      millimetres(r.spread_nm),
                                      std::to_string(r.recrimps),
                                      r.concession_reference,
                                      r.hold_cause,
                                      r.hold_reason,
                                      r.hose_lot,
                                      r.fitting_a_lot,
                                      r.fitting_b_lot,
                                      r.spec_a,
                                      r.revision_a,
                                      r.spec_b,
                                      r.revision_b,
                                      iso(r.started_ms),
                                      r.started_by,
                                      iso(r.passed_ms),
                                      r.passed_by};
    for (auto& cell : cells)
        cell = audit::spreadsheet_safe(cell);
    return csv_row(cells);
}

}  // namespace crimpgate
