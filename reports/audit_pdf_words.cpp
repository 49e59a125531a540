#include "reports/audit_pdf_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "specs/dates.h"

namespace crimpgate::audit_words {

namespace {

using audit::said;

std::string utc_time(std::int64_t ms) {
    const std::chrono::sys_time<std::chrono::milliseconds> at{std::chrono::milliseconds(ms)};
    const auto day = std::chrono::floor<std::chrono::days>(at);
    const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(at - day).count();
    return fmt::format("{} {:02}:{:02}:{:02} UTC", to_text(std::chrono::year_month_day(day)), seconds / 3600,
                       seconds / 60 % 60, seconds % 60);
}

std::string zone(const audit::Audit& audit, const audit::Reader& reader) {
    return reader.local_time && !audit.time_zone.empty() ? " (" + audit.time_zone + ")" : "";
}

// The cell of a row in the column of that id, shown; empty if there is no such column.
std::string cell(const audit::Sheet& sheet, std::size_t row, std::string_view id, const audit::Reader& reader) {
    for (std::size_t i = 0; i < sheet.columns.size(); ++i)
        if (sheet.columns[i].id == id) return audit::shown_cell(sheet.columns[i], sheet.rows[row][i], reader);
    return {};
}

}  // namespace

std::string time_of(std::int64_t ms, const audit::Reader& reader) {
    return reader.local_time ? reader.local_time(ms) : utc_time(ms);
}

std::string title(const audit::Audit& audit, const audit::Reader& reader) {
    const auto& s = audit.scope;
    if (!audit.study.empty()) return said(message("audit.paper.of_study").with("study", audit.study), reader);
    if (!audit.sample.empty()) return said(message("audit.paper.of_sample").with("sample", audit.sample), reader);
    if (!s.shift.empty()) return said(message("audit.paper.of_shift").with("shift", s.shift), reader);
    if (!s.order.empty()) return said(message("audit.paper.of_order").with("order", s.order), reader);
    return said(message("audit.paper.of").with("what", audit.title), reader);
}

std::vector<Labelled> head(const audit::Audit& audit, const AuditPaper& paper) {
    const auto& reader = paper.reader;
    const auto& s = audit.scope;
    std::vector<Labelled> out;
    const auto add = [&](Message label, const std::string& value) {
        if (!value.empty()) out.push_back({said(label, reader), value});
    };
    add(message("audit.paper.shop"), paper.shop);
    add(message("audit.paper.station"), audit.journal.station);
    add(message("audit.paper.shift"), s.shift);
    add(message("audit.paper.period"),
        s.from_day.empty() && s.to_day.empty() ? "" : s.from_day + " \u2013 " + s.to_day);
    add(message("audit.paper.order"), s.order);
    add(message("audit.paper.customer"), s.customer);
    add(message("audit.paper.spec"), s.spec);
    add(message("audit.paper.die_set"), s.die_set);
    add(message("audit.paper.hose_lot"), s.hose_lot);
    add(message("audit.paper.gauge"), s.gauge);
    add(message("audit.paper.person"), named(s.person, reader));
    add(message("audit.paper.made_at"), time_of(audit.made_ms, reader) + zone(audit, reader));
    add(message("audit.paper.made_by"), paper.made_by);
    add(message("audit.paper.lengths"), audit.unit);
    add(message("audit.paper.record"), std::to_string(audit.journal.last_seq));
    add(message("audit.paper.hash"), audit.journal.last_hash);
    std::string verified = said(message("audit.paper.not_verified"), reader);
    const auto verified_to = std::to_string(audit.journal.verified_seq);
    if (audit.verified_ms > 0)
        verified = said(message("audit.paper.verified_at")
                            .with("seq", verified_to)
                            .with("time", time_of(audit.verified_ms, reader)),
                        reader);
    else if (audit.journal.verified_seq > 0)
        verified = said(message("audit.paper.verified").with("seq", verified_to), reader);
    if (audit.journal.damage)
        verified = said(message("audit.paper.damaged"), reader) + " " + said(*audit.journal.damage, reader);
    add(message("audit.paper.sound"), verified);
    return out;
}

std::string foot(const audit::Audit& audit, const audit::Reader& reader) {
    return said(message("audit.paper.foot")
                    .with("station", audit.journal.station)
                    .with("seq", std::to_string(audit.journal.last_seq))
                    .with("hash", audit.journal.last_hash.substr(0, 16)),
                reader);
}

std::string page_of(std::size_t page, std::size_t pages, const audit::Reader& reader) {
    return said(message("audit.paper.page_of").with("page", std::to_string(page)).with("pages", std::to_string(pages)),
                reader);
}

std::string caution(const audit::Reader& reader) {
    return said(message("audit.paper.caution"), reader);
}

std::vector<std::string> signatures(const audit::Audit& audit, const audit::Reader& reader) {
    std::vector<std::string> out;
    // What is approved of a study stands in its sheets; nothing is signed off at the station but shifts.
    if (!audit.study.empty() || !audit.sample.empty()) return out;
    if (const auto* shifts = audit::find_sheet(audit, "shifts")) {
        for (std::size_t row = 0; row < shifts->rows.size(); ++row) {
            const auto who = cell(*shifts, row, "signed_off_by", reader);
            if (who.empty()) continue;
            auto when = cell(*shifts, row, "signed_off", reader);
            if (when.empty()) when = cell(*shifts, row, "signed_off_at", reader);
            const auto remark = cell(*shifts, row, "remark", reader);
            out.push_back(said(message("audit.paper.signed")
                                   .with("shift", cell(*shifts, row, "shift", reader))
                                   .with("person", who)
                                   .with("time", when)
                                   .with("seq", cell(*shifts, row, "upto_seq", reader)),
                               reader) +
                          (remark.empty() ? "" : " \u201C" + remark + "\u201D"));
        }
    }
    if (out.empty()) out.push_back(said(message("audit.paper.not_signed"), reader));
    return out;
}

std::string rule_name(const std::string& code, const audit::Reader& reader) {
    return audit::word_for("audit.value." + code, code, reader);
}

}  // namespace crimpgate::audit_words
