// The shifts: closed? signed off? and what came after the signature.
#include <map>
#include <string_view>
#include <unordered_map>

#include "reports/audit/late.h"
#include "reports/audit/sheets.h"
#include "reports/audit/table.h"

namespace crimpgate::audit {

std::vector<LateEntry> late_entries(const Work& work) {
    const AuditFacts& facts = *work.facts;
    // One pass over the entries, whatever the number of shifts: a year has five hundred.
    std::unordered_map<std::string_view, const ShiftFact*> signed_off;
    for (const ShiftFact& shift : facts.shifts)
        if (shift.signed_off_seq != 0) signed_off.try_emplace(shift.shift, &shift);
    std::unordered_map<const ShiftFact*, std::map<std::int64_t, LateEntry>> late;
    // `told` makes the message, for the few that are late.
    const auto add = [&](std::int64_t seq, std::int64_t ms, const std::string& person, const std::string& serial,
                         const auto& told) {
        const auto assembly = work.assemblies.find(serial);
        if (assembly == work.assemblies.end()) return;
        const auto shift = signed_off.find(assembly->second->shift);
        if (shift == signed_off.end() || seq <= shift->second->upto_seq) return;
        late[shift->second].try_emplace(seq, LateEntry{shift->second, seq, ms, person, serial, told()});
    };
    // What the journal tells of it in its own words comes first.
    for (const HappeningFact& h : facts.happenings)
        add(h.seq, h.ms, h.person, h.serial, [&] { return h.told; });
    for (const ReadingFact& r : facts.readings)
        add(r.seq, r.ms, r.person, r.serial, [&] { return message("audit.late.reading").with("serial", r.serial); });
    for (const EndFact& e : facts.ends)
        add(e.seq, e.ms, e.person, e.serial, [&] { return message("audit.late.judged").with("serial", e.serial); });
    for (const HoldFact& h : facts.holds) {
        add(h.seq, h.ms, {}, h.serial, [&] { return message("audit.late.held").with("serial", h.serial); });
        add(h.settled_seq, h.settled_ms, h.settled_by, h.serial,
            [&] { return message("audit.late.settled").with("serial", h.serial); });
    }
    for (const AssemblyFact& a : facts.assemblies)
        add(a.passed_seq, a.passed_ms, {}, a.serial,
            [&] { return message("audit.late.passed").with("serial", a.serial); });
    std::vector<LateEntry> out;
    for (const ShiftFact& shift : facts.shifts)
        if (const auto of_shift = late.find(&shift); of_shift != late.end())
            for (auto& [seq, entry] : of_shift->second)
                out.push_back(std::move(entry));
    return out;
}

Sheet late_sheet(const Work& work, const std::vector<LateEntry>& late) {
    Table table("audit.sheet.late", work.inches());
    table.column("audit.column.shift", Cell::shift)
        .column("audit.column.seq", Cell::seq)
        .column("audit.column.at", Cell::time)
        .column("audit.column.person", Cell::text)
        .column("audit.column.serial", Cell::serial)
        .column("audit.column.what", Cell::message);
    for (const LateEntry& entry : late)
        table.row({entry.shift->shift, count_text(entry.seq), time_text(entry.ms), entry.person, entry.serial,
                   message_text(entry.what)});
    return table.done();
}

Sheet shifts_sheet(const Work& work, const std::vector<LateEntry>& late) {
    Table table("audit.sheet.shifts", work.inches());
    table.column("audit.column.shift", Cell::shift)
        .column("audit.column.state", Cell::code)
        .column("audit.column.started_at", Cell::time)
        .column("audit.column.started_by", Cell::text)
        .column("audit.column.ended_at", Cell::time)
        .column("audit.column.ended_by", Cell::text)
        .column("audit.column.assemblies", Cell::count)
        .column("audit.column.signed_off_at", Cell::time)
        .column("audit.column.signed_off_by", Cell::text)
        .column("audit.column.upto_seq", Cell::seq)
        .column("audit.column.remark", Cell::text)
        .column("audit.column.late_entries", Cell::count);
    std::unordered_map<std::string_view, std::int64_t> made;
    for (const AssemblyFact& a : work.facts->assemblies)
        ++made[a.shift];
    for (const ShiftFact& s : work.facts->shifts) {
        const auto of_shift = made.find(s.shift);
        const std::int64_t assemblies = of_shift == made.end() ? 0 : of_shift->second;
        std::int64_t after = 0;
        for (const LateEntry& entry : late)
            after += entry.shift == &s;
        const bool signed_off = s.signed_off_seq > 0;
        table.row({s.shift,
                   short_id(s.ended_seq > 0 ? "audit.value.closed"
                            : s.running     ? "audit.value.running"
                                            : "audit.value.never_closed"),
                   time_text(s.started_ms), s.started_by, time_text(s.ended_ms), s.ended_by, count_text(assemblies),
                   time_text(s.signed_off_ms), s.signed_off_by, signed_off ? count_text(s.upto_seq) : std::string(),
                   s.remark, count_text(after)});
    }
    return table.done();
}

}  // namespace crimpgate::audit
