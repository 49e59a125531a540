#include "reports/certificate_tables.h"

#include <algorithm>
#include <map>
#include <set>

namespace crimpgate::certificate_tables {

namespace {

using Keep = PaperTable::Keep;

std::string blank_or(const std::optional<Length>& length, const Words& words) {
    return length ? words.length(*length) : std::string();
}

PaperTable::Column column(const Words& words, const Message& head, Keep keep = Keep::text) {
    return {words.say(head), keep};
}

Basis basis_of(const CertificateReading& r) {
    return {r.what, r.lower, r.upper, r.guard, r.uncertainty, r.gauge, r.gauge_seq};
}

// Where a reading stands among an end's columns.
using Place = std::pair<Characteristic, std::int64_t>;

std::string verdict_of(const CertificateEnd& end, const Words& words) {
    const CertificateReading* worst = nullptr;
    for (const auto& r : end.readings) {
        const auto badness = [](const CertificateReading& one) {
            if (one.conceded) return 3;
            return one.verdict == Verdict::fails ? 2 : one.verdict == Verdict::uncertain ? 1 : 0;
        };
        if (worst == nullptr || badness(r) > badness(*worst)) worst = &r;
    }
    return worst == nullptr ? std::string() : words.verdict(*worst);
}

}  // namespace

PaperTable summary(const CertificateData& data, const Words& words) {
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.serial"), Keep::whole),
                   column(words, message("certificate.paper.column.item"), Keep::figure),
                   column(words, message("certificate.paper.column.passed"), Keep::words),
                   column(words, message("certificate.paper.column.worst"), Keep::figure),
                   column(words, message("certificate.paper.column.worst_of")),
                   column(words, message("certificate.paper.column.verdict")),
                   column(words, message("certificate.paper.column.recrimps"), Keep::figure),
                   column(words, message("certificate.paper.column.concession")),
                   column(words, message("certificate.paper.column.proof_test")),
                   column(words, message("certificate.paper.column.passed_by")),
                   column(words, message("certificate.paper.column.log_index"), Keep::figure)};
    for (const auto& a : data.assemblies) {
        const auto worst = worst_margin(a);
        const auto* test = a.proof_tests.empty() ? nullptr : &a.proof_tests.back();
        out.rows.push_back({a.serial, std::to_string(a.item + 1), words.time(a.passed_ms),
                            worst ? words.length(*worst->reading->margin) : std::string(),
                            worst ? words.end(worst->end) + ": " + words.what(*worst->reading) : std::string(),
                            words.verdict(a), std::to_string(a.recrimps.size()), a.concession_reference,
                            test == nullptr ? std::string("\u2013")
                                            : words.say((test->passed ? message("certificate.paper.proof_good")
                                                                      : message("certificate.paper.proof_bad"))
                                                            .with("bar", words.bar(test->reached))),
                            a.passed_by, std::to_string(a.passed_seq - 1)});
    }
    return out;
}

PaperTable readings(const CertificateAssembly& a, const Words& words) {
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.end")),
                   column(words, message("certificate.paper.column.what")),
                   column(words, message("certificate.paper.column.value"), Keep::figure),
                   column(words, message("certificate.paper.column.lower"), Keep::figure),
                   column(words, message("certificate.paper.column.upper"), Keep::figure),
                   column(words, message("certificate.paper.column.guard"), Keep::figure),
                   column(words, message("certificate.paper.column.uncertainty"), Keep::figure),
                   column(words, message("certificate.paper.column.margin"), Keep::figure),
                   column(words, message("certificate.paper.column.verdict")),
                   column(words, message("certificate.paper.column.gauge"), Keep::whole),
                   column(words, message("certificate.paper.column.proof"), Keep::figure),
                   column(words, message("certificate.paper.column.by")),
                   column(words, message("certificate.paper.column.time"), Keep::words),
                   column(words, message("certificate.paper.column.entry"), Keep::figure)};
    for (std::size_t i = 0; i < 2; ++i)
        for (const auto& r : a.ends[i].readings) {
            const bool reckoned = r.seq == 0;
            out.rows.push_back({words.end(i), words.what(r), words.value(r), blank_or(r.lower, words),
                                blank_or(r.upper, words), blank_or(r.guard, words), blank_or(r.uncertainty, words),
                                blank_or(r.margin, words), words.verdict(r), r.gauge,
                                r.proof_seq > 0 ? std::to_string(r.proof_seq) : std::string(), r.person,
                                reckoned ? words.say(message("certificate.paper.reckoned")) : words.time(r.at_ms),
                                reckoned ? std::string() : std::to_string(r.seq)});
        }
    return out;
}

Bases::Bases(const CertificateData& data) {
    for (const auto& a : data.assemblies)
        for (const auto& end : a.ends)
            for (const auto& r : end.readings) {
                if (!r.value) continue;
                const auto basis = basis_of(r);
                if (std::find(all_.begin(), all_.end(), basis) == all_.end()) all_.push_back(basis);
            }
}

std::size_t Bases::number_of(const CertificateReading& reading) const {
    if (!reading.value) return 0;
    const auto found = std::find(all_.begin(), all_.end(), basis_of(reading));
    return static_cast<std::size_t>(found - all_.begin()) + 1;
}

PaperTable bases(const Bases& bases, const CertificateData&, const Words& words) {
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.basis"), Keep::figure),
                   column(words, message("certificate.paper.column.what")),
                   column(words, message("certificate.paper.column.lower"), Keep::figure),
                   column(words, message("certificate.paper.column.upper"), Keep::figure),
                   column(words, message("certificate.paper.column.guard"), Keep::figure),
                   column(words, message("certificate.paper.column.uncertainty"), Keep::figure),
                   column(words, message("certificate.paper.column.gauge"), Keep::whole),
                   column(words, message("certificate.paper.column.gauge_entry"), Keep::figure)};
    std::size_t n = 0;
    for (const auto& b : bases.all())
        out.rows.push_back({std::to_string(++n), words.word(code_of(b.what)), blank_or(b.lower, words),
                            blank_or(b.upper, words), blank_or(b.guard, words), blank_or(b.uncertainty, words),
                            b.gauge.empty() ? words.say(message("certificate.paper.reckoned")) : b.gauge,
                            b.gauge_seq > 0 ? std::to_string(b.gauge_seq) : std::string()});
    return out;
}

PaperTable ends(const CertificateData& data, const Bases& bases, const Words& words) {
    std::set<Place> places;
    for (const auto& a : data.assemblies)
        for (const auto& end : a.ends)
            for (const auto& r : end.readings)
                places.insert({r.what, r.flat});
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.serial"), Keep::whole),
                   column(words, message("certificate.paper.column.end"))};
    for (const auto& [what, flat] : places) {
        CertificateReading named;
        named.what = what;
        named.flat = flat;
        out.columns.push_back({words.what(named), Keep::figure});
    }
    out.columns.push_back(column(words, message("certificate.paper.column.verdict")));
    out.columns.push_back(column(words, message("certificate.paper.column.basis_of")));
    out.columns.push_back(column(words, message("certificate.paper.column.proof"), Keep::words));
    out.columns.push_back(column(words, message("certificate.paper.column.by")));
    for (const auto& a : data.assemblies)
        for (std::size_t i = 0; i < 2; ++i) {
            const auto& end = a.ends[i];
            std::map<Place, std::string> cells;
            std::map<Characteristic, std::set<std::size_t>> numbers;
            std::set<std::int64_t> proofs;
            std::vector<std::string> people;
            for (const auto& r : end.readings) {
                if (const auto n = bases.number_of(r); n > 0) numbers[r.what].insert(n);
                if (r.proof_seq > 0) proofs.insert(r.proof_seq);
                if (!r.person.empty() && std::find(people.begin(), people.end(), r.person) == people.end())
                    people.push_back(r.person);
            }
            for (const auto& r : end.readings) {
                auto text = words.value(r);
                if (numbers[r.what].size() > 1) text += " [" + std::to_string(bases.number_of(r)) + "]";
                if (r.conceded || r.verdict != Verdict::conforms) text += " !";
                cells[{r.what, r.flat}] = text;
            }
            std::vector<std::string> row = {a.serial, words.end(i)};
            for (const auto& place : places)
                row.push_back(cells[place]);
            std::string basis, proof, by;
            for (const auto& [what, some] : numbers)
                for (const auto n : some)
                    basis += (basis.empty() ? "" : ", ") + std::to_string(n);
            for (const auto n : proofs)
                proof += (proof.empty() ? "" : ", ") + std::to_string(n);
            for (const auto& person : people)
                by += (by.empty() ? "" : ", ") + person;
            row.insert(row.end(), {verdict_of(end, words), basis, proof, by});
            out.rows.push_back(std::move(row));
        }
    return out;
}

PaperTable recrimps(const CertificateData& data, const Words& words) {
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.serial"), Keep::whole),
                   column(words, message("certificate.paper.column.time"), Keep::words),
                   column(words, message("certificate.paper.column.decided_by")),
                   column(words, message("certificate.paper.column.reason"))};
    for (const auto& a : data.assemblies)
        for (const auto& one : a.recrimps)
            out.rows.push_back({a.serial, words.time(one.at_ms), one.by, one.reason});
    return out;
}

PaperTable proof_tests(const CertificateData& data, const Words& words) {
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.serial"), Keep::whole),
                   column(words, message("certificate.paper.column.asked_bar"), Keep::figure),
                   column(words, message("certificate.paper.column.asked_s"), Keep::figure),
                   column(words, message("certificate.paper.column.reached_bar"), Keep::figure),
                   column(words, message("certificate.paper.column.held_s"), Keep::figure),
                   column(words, message("certificate.paper.column.medium")),
                   column(words, message("certificate.paper.column.seen")),
                   column(words, message("certificate.paper.column.manometer")),
                   column(words, message("certificate.paper.column.result")),
                   column(words, message("certificate.paper.column.by")),
                   column(words, message("certificate.paper.column.time"), Keep::words)};
    const auto seen = [&](const std::string& code) {
        if (code == "nothing") return words.say(message("certificate.paper.seen_nothing"));
        if (code == "leak") return words.say(message("certificate.paper.seen_leak"));
        if (code == "moved") return words.say(message("certificate.paper.seen_moved"));
        if (code == "burst") return words.say(message("certificate.paper.seen_burst"));
        return code;
    };
    for (const auto& a : data.assemblies)
        for (const auto& t : a.proof_tests)
            out.rows.push_back({a.serial, words.bar(t.asked), std::to_string(t.asked_s), words.bar(t.reached),
                                std::to_string(t.held_s), t.medium, seen(t.seen), t.manometer,
                                words.say(t.passed ? message("certificate.paper.proof_passed")
                                                   : message("certificate.paper.proof_failed")),
                                t.by, words.time(t.at_ms)});
    return out;
}

PaperTable gauges(const CertificateData& data, const Words& words) {
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.gauge"), Keep::whole),
                   column(words, message("certificate.paper.column.resolution"), Keep::figure),
                   column(words, message("certificate.paper.column.calibrated"), Keep::words),
                   column(words, message("certificate.paper.column.calibration")),
                   column(words, message("certificate.paper.column.due"), Keep::words),
                   column(words, message("certificate.paper.column.entry"), Keep::figure)};
    for (const auto& g : data.gauges)
        out.rows.push_back(
            {g.gauge, words.length(g.resolution), g.calibrated, g.certificate, g.due, std::to_string(g.seq)});
    return out;
}

PaperTable proofs(const CertificateData& data, const Words& words) {
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.entry"), Keep::figure),
                   column(words, message("certificate.paper.column.gauge"), Keep::whole),
                   column(words, message("certificate.paper.column.time"), Keep::words),
                   column(words, message("certificate.paper.column.reference")),
                   column(words, message("certificate.paper.column.calibration")),
                   column(words, message("certificate.paper.column.due"), Keep::words),
                   column(words, message("certificate.paper.column.size"), Keep::figure),
                   column(words, message("certificate.paper.column.found"), Keep::figure),
                   column(words, message("certificate.paper.column.error"), Keep::figure),
                   column(words, message("certificate.paper.column.limit"), Keep::figure)};
    for (const auto& p : data.proofs)
        out.rows.push_back({std::to_string(p.seq), p.gauge, words.time(p.at_ms), p.reference, p.reference_certificate,
                            p.reference_due, words.length(p.size), words.length(p.value), words.length(p.error),
                            words.length(p.limit)});
    return out;
}

PaperTable application(const CertificateApplication& application, const Words& words) {
    PaperTable out;
    out.columns = {column(words, message("certificate.paper.column.severity")),
                   column(words, message("certificate.paper.column.finding")),
                   column(words, message("certificate.paper.column.source"))};
    const auto severity = [&](const std::string& code) {
        if (code == "stop") return words.say(message("certificate.paper.severity_stop"));
        if (code == "warn") return words.say(message("certificate.paper.severity_warn"));
        if (code == "holds") return words.say(message("certificate.paper.severity_holds"));
        if (code == "note") return words.say(message("certificate.paper.severity_note"));
        return code;
    };
    for (const auto& f : application.findings)
        out.rows.push_back({severity(f.severity), words.say(f.what), f.source});
    return out;
}

}  // namespace crimpgate::certificate_tables
