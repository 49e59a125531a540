#include "station/daemon/return_source.h"

#include <algorithm>

#include <boost/json.hpp>

#include "station/daemon/local_time.h"
#include "station/journal/queries.h"
#include "station/json/utc_text.h"
#include "station/proof/hash.h"

namespace crimpgate {

using namespace entries;

namespace {

Length margin_in(Length value, Length lower, Length upper) {
    return std::min(value - lower, upper - value);
}

// What was measured on the part: shown in full, counted where its gauge can be relied on.
Result<void> add_measured(const Journal& journal, ReturnFound& out) {
    const auto& returned = out.returned;
    const auto at = return_readings(journal, returned.opened.return_);
    if (!at) return refuse(at.error());
    const auto* assembly = out.assembly ? &*out.assembly : nullptr;
    for (std::size_t i = 0; i < returned.measured.size() && i < at->size(); ++i) {
        const auto& m = returned.measured[i];
        ReturnReading reading;
        reading.end = m.end;
        reading.what = m.what;
        reading.flat = m.flat;
        reading.value = m.value;
        if (const auto band = band_of_return(assembly, {m.end, m.what, m.flat})) {
            if (m.what == Characteristic::crimp_diameter) reading.lower = band->lower;
            reading.upper = band->upper;
            reading.margin = m.what == Characteristic::crimp_diameter ? margin_in(m.value, band->lower, band->upper)
                                                                      : band->upper - m.value;
        }
        reading.uncertainty = m.uncertainty;
        reading.resolution = m.resolution;
        reading.unit = m.unit;
        reading.gauge = m.gauge;
        reading.who = (*at)[i].who;
        reading.seq = (*at)[i].seq;
        reading.at_ms = m.arrived_utc_ms;
        reading.counts = still_counts(returned, i);
        const auto proofs = proofs_around(journal, m.gauge, reading.seq, reading.seq);
        if (!proofs) return refuse(proofs.error());
        reading.doubted = (proofs->after && !proofs->after->passed) || proofs->withdrawn.has_value();
        out.measured.push_back(std::move(reading));
    }
    for (const End end : {End::a, End::b}) {
        ReturnedEnd evidence;
        evidence.end = end == End::a ? "a" : "b";
        for (const auto& r : out.measured) {
            if (r.end != end || !r.counts || r.doubted || !r.upper) continue;
            if (r.what == Characteristic::crimp_diameter) {
                evidence.crimps.push_back({r.flat, {*r.value, *r.lower, *r.upper}, std::nullopt});
            } else {
                evidence.mark_from_edge = r.value;
                evidence.mark_edge_limit = r.upper;
            }
        }
        if (!evidence.crimps.empty() || evidence.mark_from_edge) out.evidence.measured.push_back(std::move(evidence));
    }
    return {};
}

// What has to be read before any ranking: a part that should not be where it came from.
void add_notices(ReturnFound& out) {
    if (!out.went) return;
    const auto& went = *out.went;
    const auto& from = out.returned.opened.customer;
    const auto& serial = out.returned.opened.serial;
    const auto said = [&](Message m) { out.notices.push_back(std::move(m).with("serial", serial)); };
    if (went.stage == "scrapped")
        said(message("returned.note.scrapped"));
    else if (went.stage == "on_hold")
        said(message("returned.note.on_hold"));
    else if (went.stage != "passed")
        said(message("returned.note.not_passed"));
    else if (went.delivery.empty())
        said(message("returned.note.never_sent"));
    if (!from.empty() && from != went.customer)
        said(message("returned.note.other_customer").with("made_for", went.customer).with("sent_by", from));
    if (from.empty()) said(message("returned.note.sender_unknown").with("made_for", went.customer));
}

Result<void> add_application(const ReturnSetting& setting, ReturnFound& out) {
    Application ordered;
    if (setting.order) {
        ordered = setting.order->application.value_or(Application{});
        if (setting.order->needed_pressure) ordered.highest_pressure = setting.order->needed_pressure;
    }
    const auto stated = stated_facts(out.returned);
    out.used = stated_over(ordered, stated);
    if (!out.assembly) {
        out.evidence.application = application_evidence(out.used, nullptr, stated);
        return {};
    }
    const auto& a = out.assembly->started;
    AssemblyFacts made;
    made.row_a = a.row_a;
    made.row_b = a.row_b;
    made.rating = working_pressure(a.row_a, a.row_b);
    made.overall = made.shortest = a.overall_length;
    made.cut = a.cut_length;
    made.orientation_deg = a.orientation_deg;
    out.evidence.application = application_evidence(out.used, &made, stated);
    return {};
}

}  // namespace

Result<ReturnFound> find_return(const Journal& journal, const ReturnState& returned, const ReturnSetting& setting) {
    ReturnFound out;
    out.returned = returned;
    out.station = journal.station();
    const auto last = journal.last_seq();
    if (!last) return refuse(last.error());
    out.upto_seq = *last;
    if (*last > 0) {
        const auto entry = journal.entry(*last);
        if (!entry) return refuse(entry.error());
        if (*entry) out.last_hash = to_hex((*entry)->hash);
    }
    const auto known = people(journal);
    if (!known) return refuse(known.error());
    for (const auto& person : *known)
        out.people[std::string(person.at("person").as_string())] = std::string(person.at("name").as_string());
    if (returned.concluded) {
        const auto when = concluded_at(journal, returned.opened.return_);
        if (!when) return refuse(when.error());
        if (const auto ms = parse_utc_text(when->time)) out.concluded_ms = *ms;
        out.concluded_by = when->who;
    }
    out.answers = answers_that_count(returned);
    if (!returned.opened.serial.empty())
        if (auto ok = add_record(journal, setting, out); !ok) return refuse(std::move(ok.error()));
    if (auto ok = add_application(setting, out); !ok) return refuse(std::move(ok.error()));
    if (auto ok = add_measured(journal, out); !ok) return refuse(std::move(ok.error()));
    add_notices(out);
    out.ranking = rank_causes(out.answers, out.evidence);
    if (auto ok = add_groups(journal, setting, out); !ok) return refuse(std::move(ok.error()));
    return out;
}

}  // namespace crimpgate
