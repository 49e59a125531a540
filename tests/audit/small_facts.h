// Facts of an invented bench, made by hand: one spec row, one die set, two places an end, band 24.80 to 25.20 mm.
#pragma once

#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "reports/audit/audit.h"

namespace audit_test {

using namespace crimpgate;
using namespace crimpgate::audit;

inline constexpr std::int64_t eight_o_clock = 1'764'057'600'000;  // 2025-11-25T08:00:00Z
inline constexpr const char* stream_name = "S16|1|C1|D25";

class SmallFacts {
  public:
    AuditFacts facts;

    SmallFacts() {
        facts.time_zone = "Europe/Vienna";
        facts.today = "2025-11-25";
        facts.now_ms = eight_o_clock + 8 * 3'600'000;
        facts.scope.shift = "2025-11-25/1";
        facts.streams.push_back({stream_name, "S16", "1", "C1", "D25", 24'800_um, 25'200_um, 25'000_um, 2});
        facts.watch_rules = {"beyond_three_sigma", "nine_on_one_side"};
        facts.journal.station = "B1";
        facts.journal.last_seq = 900;
        facts.journal.last_hash = "ab12";
        facts.journal.verified_seq = 900;
    }

    std::int64_t next() { return ++seq_; }
    std::int64_t at(std::int64_t seq) const { return eight_o_clock + seq * 1'000; }

    AssemblyFact& assembly(const std::string& serial, const std::string& stage = "passed") {
        AssemblyFact a;
        a.serial = serial;
        a.order = "O1";
        a.customer = "Ahorn Mobile Hydraulics";
        a.shift = "2025-11-25/1";
        a.hose_lot = "H1";
        a.fitting_a_lot = "FA1";
        a.fitting_b_lot = "FB1";
        a.spec_a = a.spec_b = "S16";
        a.revision_a = a.revision_b = "1";
        a.die_set_a = a.die_set_b = "D25";
        a.crimper_a = a.crimper_b = "C1";
        a.person = "ana";
        a.stage = stage;
        a.started_seq = next();
        a.started_ms = at(a.started_seq);
        facts.assemblies.push_back(a);
        return facts.assemblies.back();
    }

    // Two readings and their judgement, so that the mean is `mean` and the spread `spread`.
    EndFact& end(const std::string& serial, const std::string& name, Length mean, Length spread = 20_um,
                 const std::string& verdict = "conforms", std::vector<FindingFact> findings = {},
                 std::int64_t attempt = 1) {
        for (int flat : {1, 2}) {
            ReadingFact r;
            r.seq = next();
            r.ms = at(r.seq);
            r.person = "ana";
            r.purpose = "assembly";
            r.serial = serial;
            r.end = name;
            r.what = "crimp_diameter";
            r.gauge = "G1";
            r.flat = flat;
            r.attempt = attempt;
            r.proof_seq = 1;
            r.verdict = verdict;
            r.side = "none";
            r.resolution = 10_um;
            r.value = Length::from_nm(mean.nm() + (flat == 1 ? -spread.nm() / 2 : spread.nm() / 2));
            facts.readings.push_back(r);
        }
        EndFact e;
        e.seq = next();
        e.ms = at(e.seq);
        e.serial = serial;
        e.end = name;
        e.verdict = verdict;
        e.person = "ana";
        e.attempt = attempt;
        e.mean = mean;
        e.spread = spread;
        e.findings = std::move(findings);
        facts.ends.push_back(e);
        return facts.ends.back();
    }

    HoldFact& hold(const std::string& serial, const std::string& cause, const std::string& how = "") {
        HoldFact h;
        h.seq = next();
        h.ms = at(h.seq);
        h.serial = serial;
        h.cause = cause;
        h.made_by = "ana";
        if (!how.empty()) {
            h.how = how;
            h.settled_seq = next();
            h.settled_ms = at(h.settled_seq);
            h.settled_by = "lea";
        }
        facts.holds.push_back(h);
        return facts.holds.back();
    }

    ShiftFact& shift(const std::string& name, std::int64_t started, std::int64_t ended = 0) {
        ShiftFact s;
        s.shift = name;
        s.date = name.substr(0, 10);
        s.started_seq = started;
        s.started_ms = at(started);
        s.ended_seq = ended;
        s.ended_ms = ended > 0 ? at(ended) : 0;
        s.started_by = "ana";
        facts.shifts.push_back(s);
        return facts.shifts.back();
    }

  private:
    std::int64_t seq_ = 0;
};

// A cell by the name of its column.
inline std::string cell(const Sheet& sheet, std::size_t row, const std::string& column) {
    for (std::size_t i = 0; i < sheet.columns.size(); ++i)
        if (sheet.columns[i].id == column) return sheet.rows.at(row).at(i);
    return "no column " + column;
}
inline const Sheet& sheet_of(const Audit& audit, const std::string& id) {
    const Sheet* sheet = find_sheet(audit, id);
    if (sheet == nullptr) throw std::logic_error("no sheet " + id);
    return *sheet;
}

}  // namespace audit_test
