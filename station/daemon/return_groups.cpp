// Who shares something with a hose that came back: each group with the reason why it is at risk, how many they are and
// how many of them are out at which customers. The same words as the recall page takes, so that the list behind a
// figure is one press away and cannot differ from it.
#include <algorithm>

#include "station/daemon/local_time.h"
#include "station/daemon/return_source.h"
#include "station/json/utc_text.h"

namespace crimpgate {

namespace {

constexpr std::int64_t minute_ms = 60'000;

class Groups {
  public:
    Groups(const Journal& journal, const ReturnSetting& setting, ReturnFound& out)
        : journal_(journal), setting_(setting), out_(out) {}

    Result<void> gather() {
        const auto& a = *out_.assembly;
        const auto& s = a.started;
        add("hose_lot", SiblingGroup::hose_lot, s.hose_lot, {{{"hose_lot", s.hose_lot}}, "", ""});
        for (const auto& lot : std::set{s.fitting_a_lot, s.fitting_b_lot})
            add("fitting_lot", SiblingGroup::fitting_lot, lot, {{{"fitting_lot", lot}}, "", ""});
        add("setup", SiblingGroup::setup, dies(a), {{{"around_serial", s.serial}}, "", ""});
        if (auto ok = gauges(); !ok) return ok;
        if (auto ok = shifts(a); !ok) return ok;
        add("application", SiblingGroup::application, s.order, {{{"order", s.order}}, "", ""});
        std::set<std::pair<std::string, std::string>> specs;
        for (const auto* row : {&s.row_a, &s.row_b})
            if (specs.insert({row->spec_id, row->revision}).second)
                add("spec_revision", std::nullopt, row->spec_id + " " + row->revision,
                    {{{"spec_row", row->spec_id}, {"spec_revision", row->revision}}, "", ""});
        for (auto& group : out_.groups)
            if (auto ok = count(group); !ok) return ok;
        std::ranges::stable_sort(out_.groups, std::ranges::greater{}, &ReturnGroup::at_risk);
        return {};
    }

  private:
    void add(const char* code, std::optional<SiblingGroup> of, const std::string& key, RecallWanted recall) {
        if (key.empty()) return;
        ReturnGroup group;
        group.code = code;
        group.group = of;
        group.key = key;
        group.recall = std::move(recall);
        if (of)
            for (const auto& risk : out_.ranking.siblings)
                if (risk.group == *of) {
                    group.at_risk = true;
                    group.because_of = risk.because_of;
                    group.why = risk.why;
                }
        out_.groups.push_back(std::move(group));
    }

    static std::string dies(const AssemblyState& a) {
        const auto& s = a.started;
        return s.row_a.die_set == s.row_b.die_set ? s.row_a.die_set : s.row_a.die_set + ", " + s.row_b.die_set;
    }

    // "2026-11-25T08:12" of the shop's clock; `after`: the next whole minute, so that nothing of it is left out.
    std::string minute(const std::string& utc, bool after) const {
        const auto ms = parse_utc_text(utc);
        if (!ms) return {};
        auto text = local_time_text(*ms + (after ? minute_ms : 0), setting_.time_zone).substr(0, 16);
        if (text.size() == 16) text[10] = 'T';
        return text;
    }

    // While its proof stood: from the last good one before the readings to the first one after them.
    Result<void> gauges() {
        std::map<std::string, std::pair<std::int64_t, std::int64_t>> used;
        for (const auto& r : out_.record) {
            if (r.gauge.empty() || r.what != Characteristic::crimp_diameter) continue;
            auto [at, added] = used.emplace(r.gauge, std::pair(r.seq, r.seq));
            at->second = {std::min(at->second.first, r.seq), std::max(at->second.second, r.seq)};
        }
        for (const auto& [gauge, seqs] : used) {
            const auto around = proofs_around(journal_, gauge, seqs.first, seqs.second);
            if (!around) return refuse(around.error());
            add("gauge_since_proof", SiblingGroup::gauge_since_proof, gauge,
                {{{"gauge", gauge}},
                 around->before ? minute(around->before->time, false) : "",
                 around->after ? minute(around->after->time, true) : ""});
        }
        return {};
    }

    Result<void> shifts(const AssemblyState& a) {
        const auto span = shift_span(journal_, a.started.shift);
        if (!span) return refuse(span.error());
        if (!*span) return {};
        const auto from = minute((*span)->from, false), to = (*span)->to.empty() ? "" : minute((*span)->to, true);
        std::set<std::string> hands;
        for (const auto& r : out_.record)
            if (r.what == Characteristic::crimp_diameter && !r.who.empty()) hands.insert(r.who);
        for (const auto& person : hands) {
            const auto name = out_.people.find(person);
            add("operator_shift", SiblingGroup::operator_shift,
                (name == out_.people.end() ? person : name->second) + ", " + a.started.shift,
                {{{"operator", person}}, from, to});
        }
        for (const auto& crimper : std::set{a.started.row_a.crimper, a.started.row_b.crimper})
            add("crimper_shift", std::nullopt, crimper + ", " + a.started.shift, {{{"crimper", crimper}}, from, to});
        return {};
    }

    Result<void> count(ReturnGroup& group) {
        auto asked = recall_asked(group.recall, setting_.time_zone);
        if (!asked) return refuse(asked.error());
        asked->upto_seq = out_.upto_seq;
        const auto& serial = out_.returned.opened.serial;
        auto all = shared_by(journal_, *asked, serial, setting_.only_customer.empty() ? setting_.most_serials : 0);
        if (!all) return refuse(all.error());
        group.shared = std::move(*all);
        if (setting_.only_customer.empty() || !group.shared.customers.contains(setting_.only_customer)) return {};
        asked->criteria.push_back({"customer", setting_.only_customer});
        auto theirs = shared_by(journal_, *asked, serial, setting_.most_serials);
        if (!theirs) return refuse(theirs.error());
        group.shared.serials = std::move(theirs->serials);
        return {};
    }

    const Journal& journal_;
    const ReturnSetting& setting_;
    ReturnFound& out_;
};

}  // namespace

Result<void> add_groups(const Journal& journal, const ReturnSetting& setting, ReturnFound& out) {
    if (!out.assembly) return {};
    return Groups(journal, setting, out).gather();
}

}  // namespace crimpgate
