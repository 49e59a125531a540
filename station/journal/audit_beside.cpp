// What happened beside the assemblies of an audit: set-ups, proofs, refusals, limits, settings, shifts, happenings.
#include <algorithm>
#include <map>
#include <stdexcept>

#include <sqlite3.h>
#include <boost/json.hpp>

#include "station/entries/entry_json.h"
#include "station/journal/audit_gather.h"
#include "station/json/canonical.h"
#include "station/json/utc_text.h"

namespace crimpgate {
namespace {

namespace json = boost::json;

// An entry as the views do not have it: the whole of its body.
struct Whole {
    std::string type, who;
    std::int64_t ms = 0;
    json::object body;
};

Whole whole_entry(Database& database, std::int64_t seq) {
    const auto bytes = database.text("SELECT bytes FROM entries WHERE seq = ?", seq);
    if (!bytes) throw SQLite::Exception("an entry is not there", SQLITE_CORRUPT);
    auto object = parse_strict_object(*bytes);
    if (!object) throw SQLite::Exception("an entry cannot be read: " + object.error().code, SQLITE_CORRUPT);
    Whole out;
    out.type = std::string(object->at("type").as_string());
    out.who = std::string(object->at("who").as_string());
    out.ms = parse_utc_text(std::string_view(object->at("time").as_string())).value_or(0);
    out.body = std::move(object->at("body").as_object());
    return out;
}

EntryBody body_of(const Whole& entry) {
    auto body = entry_body(entry.type, entry.body);
    if (!body) throw SQLite::Exception("an entry cannot be read: " + body.error().code, SQLITE_CORRUPT);
    return std::move(*body);
}

std::vector<std::int64_t> seqs_of(Database& database, std::string_view type) {
    std::vector<std::int64_t> out;
    database.each(
        "SELECT seq FROM happenings WHERE type = ? ORDER BY seq",
        [&](SQLite::Statement& row) { out.push_back(row.getColumn(0).getInt64()); }, type);
    return out;
}

// As stream_of in station/bench/state.h.
std::string stream_text(const std::string& spec, const std::string& revision, const std::string& crimper,
                        const std::string& die_set) {
    return spec + '|' + revision + '|' + crimper + '|' + die_set;
}

std::string member(const json::object& body, const char* name) {
    const auto* found = body.if_contains(name);
    return found != nullptr && found->is_string() ? std::string(found->get_string()) : std::string();
}

}  // namespace

void AuditGather::add_stream(const std::string& spec, const std::string& revision, const std::string& crimper,
                             const std::string& die_set, std::int64_t seq, bool end_a) {
    if (streams_.insert(stream_text(spec, revision, crimper, die_set)).second) stream_starts_.emplace_back(seq, end_a);
}

// The spec rows as the assemblies carry them (R6), not as they are now.
void AuditGather::streams() {
    for (const auto& [seq, end_a] : stream_starts_) {
        const auto body = body_of(whole_entry(database_, seq));
        const auto& started = std::get<entries::AssemblyStarted>(body);
        const SpecRow& row = end_a ? started.row_a : started.row_b;
        audit::StreamFact stream;
        stream.stream = stream_text(row.spec_id, row.revision, row.crimper, row.die_set);
        stream.spec = row.spec_id;
        stream.revision = row.revision;
        stream.crimper = row.crimper;
        stream.die_set = row.die_set;
        stream.lower = row.crimp.band().lower;
        stream.upper = row.crimp.band().upper;
        stream.nominal = row.crimp.nominal;
        stream.places = static_cast<std::int64_t>(row.flats.size());
        out_.streams.push_back(std::move(stream));
    }
    std::sort(out_.streams.begin(), out_.streams.end(),
              [](const auto& a, const auto& b) { return a.stream < b.stream; });
}

void AuditGather::setups() {
    database_.each(
        "SELECT seq, time, who, \"key\", spec_id, revision, crimper, die_set, hose_lot, mean_nm, correction_nm, "
        "passed_yn, mounting_seq FROM setups WHERE seq BETWEEN ? AND ? AND time >= ? AND time < ? ORDER BY seq",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::SetupFact s;
            s.seq = c.whole();
            s.ms = c.time_ms();
            for (auto* text : {&s.person, &s.key, &s.spec, &s.revision, &s.crimper, &s.die_set, &s.hose_lot})
                *text = c.text();
            s.mean = c.length();
            s.correction = c.length();
            s.passed = c.yes();
            s.mounting_seq = c.whole();
            if (!narrowed() || streams_.contains(stream_text(s.spec, s.revision, s.crimper, s.die_set)))
                out_.setups.push_back(std::move(s));
        },
        from_seq_, to_seq_, from_time_, to_time_);
}

void AuditGather::refusals() {
    database_.each(
        "SELECT seq, time, who, gauge, serial, why_json FROM refusals WHERE seq BETWEEN ? AND ? AND time >= ? AND "
        "time < ? ORDER BY seq",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::RefusalFact r;
            r.seq = c.whole();
            r.ms = c.time_ms();
            for (auto* text : {&r.person, &r.gauge, &r.serial})
                *text = c.text();
            const bool ours = r.serial.empty() ? used_gauges_.contains(r.gauge) : serials_.contains(r.serial);
            if (narrowed() && !ours) return;
            r.why = message_in(c.text());
            out_.refusals.push_back(std::move(r));
        },
        from_seq_, to_seq_, from_time_, to_time_);
}

// Of each gauge concerned those of the span, those that the readings stand on, the last good one before and the first
// after: an audit asks what the gauge was found to be afterwards.
void AuditGather::proofs() {
    std::unordered_set<std::int64_t> stood_on;
    for (const auto& reading : out_.readings)
        stood_on.insert(reading.proof_seq);
    std::map<std::string, audit::ProofFact> before;
    std::set<std::string> has_after;
    std::vector<audit::ProofFact> kept;
    database_.each(
        "SELECT seq, time, who, gauge, reference, size_nm, value_nm, error_nm, limit_nm, passed_yn FROM proofs ORDER "
        "BY seq",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::ProofFact p;
            p.seq = c.whole();
            const std::string time = row.getColumn(1).getString();
            p.ms = c.time_ms();
            for (auto* text : {&p.person, &p.gauge, &p.reference})
                *text = c.text();
            for (auto* length : {&p.size, &p.value, &p.error, &p.limit})
                *length = c.length();
            p.passed = c.yes();
            const bool used = used_gauges_.contains(p.gauge);
            if (in_span(p.seq, time)) {
                if (used || !narrowed()) kept.push_back(std::move(p));
            } else if (stood_on.contains(p.seq)) {
                kept.push_back(std::move(p));
            } else if (used && (p.seq < from_seq_ || time < from_time_)) {
                if (p.passed) before[p.gauge] = std::move(p);
            } else if (used && has_after.insert(p.gauge).second) {
                kept.push_back(std::move(p));
            }
        });
    for (auto& [gauge, proof] : before)
        kept.push_back(std::move(proof));
    std::sort(kept.begin(), kept.end(), [](const auto& a, const auto& b) { return a.seq < b.seq; });
    out_.proofs = std::move(kept);
}

void AuditGather::gauges() {
    auto wanted = used_gauges_;
    for (const auto& proof : out_.proofs)
        wanted.insert(proof.gauge);
    for (const auto& refusal : out_.refusals)
        wanted.insert(refusal.gauge);
    database_.each(
        "SELECT gauge, calibrated, calibration_due, certificate, resolution_nm, uncertainty_nm, proof_limit_nm, "
        "withdrawn_yn FROM gauges ORDER BY gauge",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::GaugeFact g;
            for (auto* text : {&g.gauge, &g.calibrated, &g.calibration_due, &g.certificate})
                *text = c.text();
            for (auto* length : {&g.resolution, &g.uncertainty, &g.proof_limit})
                *length = c.length();
            g.withdrawn = c.yes();
            if (wanted.contains(g.gauge)) out_.gauges.push_back(std::move(g));
        });
}

// Those that the assemblies belong to, and of days without more those that began in them.
void AuditGather::shifts() {
    const bool of_time = !narrowed() && scope_.shift.empty();
    database_.each(
        "SELECT shift, date, seq, time, ended_seq, ended, who, ended_by, signed_off_by, remark, signed_off_seq, "
        "signed_off, upto_seq, seq = (SELECT max(seq) FROM shifts) FROM shifts ORDER BY seq",
        [&](SQLite::Statement& row) {
            Columns c(row);
            audit::ShiftFact s;
            s.shift = c.text();
            s.date = c.text();
            s.started_seq = c.whole();
            const std::string time = row.getColumn(3).getString();
            s.started_ms = c.time_ms();
            s.ended_seq = c.whole();
            s.ended_ms = c.time_ms();
            for (auto* text : {&s.started_by, &s.ended_by, &s.signed_off_by, &s.remark})
                *text = c.text();
            s.signed_off_seq = c.whole();
            s.signed_off_ms = c.time_ms();
            s.upto_seq = c.whole();
            s.running = c.yes() && s.ended_seq == 0;
            if (!shifts_.contains(s.shift) && !(of_time && in_span(s.started_seq, time))) return;
            shifts_.insert(s.shift);
            out_.shifts.push_back(std::move(s));
        });
}

void AuditGather::frozen_limits() {
    std::map<std::pair<std::string, bool>, audit::FrozenFact> in_force;
    std::vector<std::int64_t> seqs = seqs_of(database_, entries::LimitsFrozen::type);
    const auto released = seqs_of(database_, entries::LimitsReleased::type);
    seqs.insert(seqs.end(), released.begin(), released.end());
    std::sort(seqs.begin(), seqs.end());
    for (const auto seq : seqs) {
        const auto entry = whole_entry(database_, seq);
        const auto body = body_of(entry);
        if (const auto* gone = std::get_if<entries::LimitsReleased>(&body)) {
            in_force.erase({gone->stream, gone->chart == ChartOf::spreads});
            continue;
        }
        const auto& frozen = std::get<entries::LimitsFrozen>(body);
        if (!streams_.contains(frozen.stream)) continue;
        audit::FrozenFact fact;
        fact.stream = frozen.stream;
        fact.spreads = frozen.chart == ChartOf::spreads;
        fact.centre = frozen.centre;
        fact.lower = frozen.lower;
        fact.upper = frozen.upper;
        fact.sigma = frozen.sigma;
        fact.seq = seq;
        fact.ms = entry.ms;
        fact.from_seq = frozen.from_seq;
        fact.to_seq = frozen.to_seq;
        fact.points = frozen.points;
        fact.person = entry.who;
        fact.reason = frozen.reason;
        fact.left_out = frozen.left_out;
        in_force[{fact.stream, fact.spreads}] = std::move(fact);
    }
    for (auto& [key, fact] : in_force)
        out_.frozen.push_back(std::move(fact));
}

template <class Body>
std::optional<Body> AuditGather::last_of() {
    const auto seq = database_.number("SELECT max(seq) FROM happenings WHERE type = ?", std::string_view(Body::type));
    if (seq == 0) return std::nullopt;
    return std::get<Body>(body_of(whole_entry(database_, seq)));
}

void AuditGather::settings() {
    out_.watch_rules = last_of<entries::WatchSet>().value_or(entries::WatchSet{}).rules;
    const auto limits = last_of<entries::LimitsSet>();
    out_.inches = (limits ? limits->shown_unit : asked_.unit) == ShownUnit::inch;
}

// Of the first thing that it names, from the assembly down to the stream; what names none of them is the shop's.
bool AuditGather::speaks_of_ours(const json::object& body) const {
    if (const auto serial = member(body, "serial"); !serial.empty()) return serials_.contains(serial);
    if (const auto gauge = member(body, "gauge"); !gauge.empty()) return used_gauges_.contains(gauge);
    if (const auto order = member(body, "order"); !order.empty()) return orders_.contains(order);
    if (const auto stream = member(body, "stream"); !stream.empty()) return streams_.contains(stream);
    if (const auto die_set = member(body, "die_set"); !die_set.empty()) {
        const auto spec = member(body, "spec_id");
        if (!spec.empty())
            return streams_.contains(stream_text(spec, member(body, "revision"), member(body, "crimper"), die_set));
        return std::any_of(out_.streams.begin(), out_.streams.end(), [&](const audit::StreamFact& stream) {
            return stream.die_set == die_set && stream.crimper == member(body, "crimper");
        });
    }
    if (const auto shift = member(body, "shift"); !shift.empty()) return shifts_.contains(shift);
    return false;
}

void AuditGather::happenings() {
    std::set<std::int64_t> seqs;
    const auto take = [&](SQLite::Statement& row) { seqs.insert(row.getColumn(0).getInt64()); };
    database_.each(
        "SELECT seq FROM happenings WHERE seq BETWEEN ? AND ? AND time >= ? AND time < ? AND type <> "
        "'reading.refused'",
        take, from_seq_, to_seq_, from_time_, to_time_);
    database_.each(
        "SELECT h.seq FROM temp.audit_serials s CROSS JOIN serial_entries e ON e.serial = s.serial "
        "CROSS JOIN happenings h ON h.seq = e.seq WHERE h.type <> 'reading.refused'",
        take);
    // A signature and a sample come after the shift that they speak of.
    std::set<std::int64_t> of_shifts;
    for (const auto type : {entries::ShiftEnded::type, entries::ShiftSignedOff::type, entries::SampleDrawn::type})
        for (const auto seq : seqs_of(database_, type))
            if (seqs.insert(seq).second) of_shifts.insert(seq);
    const ShownUnit unit = out_.inches ? ShownUnit::inch : ShownUnit::mm;
    for (const auto seq : seqs) {
        const auto entry = whole_entry(database_, seq);
        if (of_shifts.contains(seq) && !shifts_.contains(member(entry.body, "shift"))) continue;
        if (narrowed() && !speaks_of_ours(entry.body)) continue;
        audit::HappeningFact fact;
        fact.seq = seq;
        fact.ms = entry.ms;
        fact.type = entry.type;
        fact.person = entry.who;
        fact.serial = member(entry.body, "serial");
        fact.told = tell_(body_of(entry), entry.who, unit);
        out_.happenings.push_back(std::move(fact));
    }
}

// Of the audit's assemblies, and of others whose tag failed or came in doubt meanwhile: how it stands with them now.
void AuditGather::tags() {
    const auto take = [&](SQLite::Statement& row) {
        Columns c(row);
        audit::TagFact t;
        t.seq = c.whole();
        t.ms = c.time_ms();
        for (auto* member : {&t.serial, &t.person, &t.reason})
            *member = c.text();
        t.copy = c.whole();
        t.state = c.text();
        t.state_seq = c.whole();
        t.state_ms = c.time_ms();
        out_.tags.push_back(std::move(t));
    };
    const std::string columns =
        "SELECT t.seq, t.time, t.serial, t.who, t.reason, t.copy, t.state, t.state_seq, e.time ";
    database_.each((columns + "FROM temp.audit_serials s CROSS JOIN tags t ON t.serial = s.serial "
                              "LEFT JOIN entries e ON e.seq = t.state_seq")
                       .c_str(),
                   take);
    std::set<std::string> others;
    for (const audit::HappeningFact& h : out_.happenings)
        if ((h.type == entries::TagFailed::type || h.type == entries::TagInDoubt::type ||
             h.type == entries::TagDoubtSettled::type) &&
            !serials_.contains(h.serial))
            others.insert(h.serial);
    for (const std::string& serial : others)
        database_.each((columns + "FROM tags t LEFT JOIN entries e ON e.seq = t.state_seq WHERE t.serial = ?").c_str(),
                       take, serial);
    std::sort(out_.tags.begin(), out_.tags.end(),
              [](const auto& a, const auto& b) { return a.state_seq < b.state_seq; });
}

void AuditGather::last_entry() {
    database_.each("SELECT seq, lower(hex(hash)) FROM entries ORDER BY seq DESC LIMIT 1", [&](SQLite::Statement& row) {
        Columns c(row);
        out_.journal.last_seq = c.whole();
        out_.journal.last_hash = c.text();
    });
}

Result<std::string> last_time_zone(const Journal& journal) {
    return guarded([&]() -> Result<std::string> {
        const auto seqs = seqs_of(journal.database(), entries::StationStarted::type);
        if (seqs.empty()) return std::string();
        return member(whole_entry(journal.database(), seqs.back()).body, "time_zone");
    });
}

}  // namespace crimpgate
