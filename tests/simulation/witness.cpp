#include "tests/simulation/witness.h"

#include <algorithm>

namespace crimpgate::test {

using namespace entries;

namespace {

bool behind_the_crimp(Characteristic what) {
    return what == Characteristic::crimp_diameter || what == Characteristic::mark_after ||
           what == Characteristic::bore_pin;
}

}  // namespace

std::vector<std::string> Witness::hear(const std::vector<std::pair<Facts, EntryBody>>& entries) {
    complaints_.clear();
    to_be_suspect_.clear();
    for (const auto& [facts, body] : entries)
        one(facts, body);
    for (const auto& serial : to_be_suspect_)
        say("suspect, but not held: " + serial);
    for (const auto& [order, quantity] : quantities_) {
        std::int64_t alive = 0;
        for (const auto& [serial, part] : parts_)
            alive += part.started.order == order && part.place != Place::scrapped ? 1 : 0;
        must(alive <= quantity, "more assemblies than the order asks for: " + order);
    }
    return std::move(complaints_);
}

void Witness::works_on(const std::string& serial, const std::string& what) {
    const auto part = parts_.find(serial);
    must(part != parts_.end() && part->second.place == Place::in_work, what + " on an assembly not in work: " + serial);
    must(!clock_doubted_, "R10: " + what + " while the clock is in doubt");
}

void Witness::check_end(const Part& part, End end) {
    const SpecRow& row = end == End::a ? part.started.row_a : part.started.row_b;
    const auto latest = [&](Characteristic what, std::int64_t flat) -> const Record* {
        for (auto at = part.records.rbegin(); at != part.records.rend(); ++at)
            if (at->end == end && at->what == what && at->flat == flat) return &*at;
        return nullptr;
    };
    const auto good = [&](Characteristic what, std::int64_t flat = 0) {
        const auto* r = latest(what, flat);
        must(r != nullptr, "R1: passed without " + std::string(code_of(what)));
        must(r == nullptr || r->verdict == Verdict::conforms, "R1: passed with a bad " + std::string(code_of(what)));
    };
    good(Characteristic::depth);
    if (!row.lubricant.empty()) good(Characteristic::lubricant);
    good(Characteristic::mark_before);
    good(Characteristic::mark_after);
    if (row.bore_pin) good(Characteristic::bore_pin);
    if (row.skive != Skive::none) good(Characteristic::skive_outer);
    Length least = row.crimp.nominal + row.crimp.nominal;
    Length most;
    for (const auto flat : row.flats) {
        good(Characteristic::crimp_diameter, flat);
        const auto* r = latest(Characteristic::crimp_diameter, flat);
        if (r == nullptr) continue;
        must(row.crimp.band().holds(*r->value), "R1: passed outside the band");
        least = std::min(least, *r->value);
        most = std::max(most, *r->value);
    }
    must(row.flats.size() < 2 || most - least <= row.spread_limit, "R1: passed beyond the spread limit");
}

void Witness::check_pass(const Part& part, const AssemblyPassed& p) {
    must(part.place == Place::in_work || part.place == Place::settled, "passed from where it may not: " + p.serial);
    ++passed_;
    if (part.conceded) {
        must(!p.concession_reference.empty(), "R1: a concession that the pass does not say: " + p.serial);
        return;
    }
    must(p.concession_reference.empty(), "a pass that says a concession which nobody gave: " + p.serial);
    ++passed_clean_;
    check_end(part, End::a);
    check_end(part, End::b);
}

void Witness::one(const Facts& facts, const EntryBody& body) {
    if (const auto* e = std::get_if<PersonAdded>(&body)) people_[e->person] = e->role;
    if (const auto* e = std::get_if<OrderOpened>(&body)) {
        quantities_[e->order] = e->quantity;
        must(e->application_findings.has_value(), "an order without its application check");
        for (const auto& f : e->application_findings.value_or(std::vector<ApplicationFinding>{}))
            if (f.severity == FindingSeverity::stop) stops_[e->order].insert(f.what.code);
        must(!e->application || !e->application->fluid || !stops_[e->order].empty(), "ester found to suit EN 853");
    }
    if (const auto* e = std::get_if<ApplicationOverridden>(&body)) {
        must(people_[facts.who] == Role::lead, "R9: the application check answered for by no lead");
        must(!e->reason.empty(), "R9: an override without a reason");
        for (const auto& code : e->findings)
            must(stops_[e->order].erase(code) == 1, "an override of what did not stop: " + code);
    }
    if (const auto* e = std::get_if<OrderTaken>(&body))
        must(stops_[e->order].empty(), "R13: an order taken that its application check stops");
    if (const auto* e = std::get_if<ProofTested>(&body)) {
        works_on(e->serial, "proof test");
        auto& part = parts_[e->serial];
        must(part.started.proof_test && *part.started.proof_test == e->asked, "a proof test that was not asked for");
        must(!e->passed || (e->seen == "nothing" && e->reached >= e->asked.pressure && e->held_s >= e->asked.hold_s),
             "R1: a proof test called good that was not");
        must(e->medium == "oil" || e->medium == "water" || e->medium == "emulsion", "R13: a proof test with gas");
        part.proved = e->passed;
        part.leaked = part.leaked || !e->passed;
        part.measurers.insert(facts.who);
    }
    if (const auto* e = std::get_if<ClockStepped>(&body)) clock_doubted_ = clock_doubted_ || e->stops_line;
    if (std::holds_alternative<ClockAccepted>(body)) {
        must(people_[facts.who] == Role::lead, "R10: the clock accepted by no lead");
        clock_doubted_ = false;
    }
    if (std::holds_alternative<StationStarted>(body))
        for (auto& [id, gauge] : gauges_)
            gauge.connected = false;
    if (const auto* e = std::get_if<GaugeRegistered>(&body)) gauges_[e->gauge].proved = false;
    if (const auto* e = std::get_if<GaugeLost>(&body)) gauges_[e->gauge].connected = false;
    if (const auto* e = std::get_if<GaugeBack>(&body)) {
        gauges_[e->gauge].connected = true;
        if (e->needs_proof) gauges_[e->gauge].proved = false;
    }
    const auto* proved = std::get_if<GaugeProved>(&body);
    const auto* withdrawn = std::get_if<GaugeWithdrawn>(&body);
    if (proved != nullptr && proved->passed) {
        gauges_[proved->gauge].proved = true;
        gauges_[proved->gauge].measured.clear();
    }
    if (withdrawn != nullptr || (proved != nullptr && !proved->passed)) {
        auto& gauge = gauges_[withdrawn != nullptr ? withdrawn->gauge : proved->gauge];
        gauge.proved = false;
        // Their holds come before this entry, in the same command.
        for (const auto& serial : gauge.measured) {
            const auto& part = parts_.at(serial);
            const std::string& id = withdrawn != nullptr ? withdrawn->gauge : proved->gauge;
            if (part.place != Place::scrapped && !(part.place == Place::held && part.doubted.contains(id)))
                to_be_suspect_.insert(serial);
        }
        gauge.measured.clear();
    }
    if (const auto* e = std::get_if<AssemblyStarted>(&body)) {
        must(!parts_.contains(e->serial), "a serial given twice: " + e->serial);
        parts_[e->serial].started = *e;
    }
    if (const auto* e = std::get_if<ReadingTaken>(&body); e && e->purpose == Purpose::assembly) {
        works_on(e->serial, "reading");
        must(gauges_[e->gauge].proved && gauges_[e->gauge].connected, "R1: a reading by a gauge that may not measure");
        gauges_[e->gauge].measured.insert(e->serial);
        auto& part = parts_[e->serial];
        part.measurers.insert(facts.who);
        part.records.push_back({facts.seq, *e->end, *e->what, e->flat, *e->verdict, e->value, e->gauge});
    }
    if (const auto* e = std::get_if<StepConfirmed>(&body)) {
        works_on(e->serial, "confirmation");
        auto& part = parts_[e->serial];
        part.measurers.insert(facts.who);
        part.records.push_back({facts.seq, e->end, e->what, 0, e->verdict, std::nullopt, ""});
    }
    if (const auto* e = std::get_if<ReadingVoided>(&body); e && !e->serial.empty()) {
        auto& part = parts_[e->serial];
        for (const auto& r : part.records)
            if (r.seq == e->voided_seq && r.verdict == Verdict::fails)
                must(people_[facts.who] == Role::lead, "R9: a failing reading voided by no lead");
        const auto voided = std::erase_if(part.records, [&](const Record& r) { return r.seq == e->voided_seq; });
        must(voided == 1, "R3: a void of nothing");
    }
    if (const auto* e = std::get_if<AssemblyHeld>(&body)) {
        auto& part = parts_[e->serial];
        must(part.place != Place::scrapped, "a scrapped assembly held: " + e->serial);
        part.place = Place::held;
        if (e->cause == HoldCause::suspect) {
            part.doubted.insert(e->gauge);
            ++suspects_;
        }
    }
    if (const auto* e = std::get_if<HoldSettled>(&body)) {
        auto& part = parts_[e->serial];
        must(part.place == Place::held, "settled without a hold: " + e->serial);
        must(people_[facts.who] == Role::lead, "R9: settled by no lead");
        must(!part.measurers.contains(facts.who), "R9: settled by who measured");
        must(!part.leaked || e->how == Settlement::scrap, "R7: what failed its proof test settled otherwise");
        if (e->how == Settlement::recrimp) part.proved = false;
        part.place = e->how == Settlement::scrap ? Place::scrapped : Place::settled;
        part.conceded = part.conceded || e->how == Settlement::concession;
        // What a re-crimp or a doubted gauge took away no longer counts for a pass.
        std::erase_if(part.records, [&](const Record& r) {
            return behind_the_crimp(r.what) && (e->how == Settlement::recrimp || part.doubted.contains(r.gauge));
        });
        part.doubted.clear();
    }
    if (const auto* e = std::get_if<AssemblyTakenUp>(&body)) {
        must(parts_[e->serial].place == Place::settled, "taken up without being settled: " + e->serial);
        parts_[e->serial].place = Place::in_work;
    }
    if (const auto* e = std::get_if<AssemblyPassed>(&body)) {
        const auto& part = parts_[e->serial];
        must(!part.started.proof_test || part.proved, "R1: passed without the proof test: " + e->serial);
        check_pass(parts_[e->serial], *e);
        parts_[e->serial].place = Place::passed;
    }
    if (const auto* e = std::get_if<TagPrinting>(&body))
        must(parts_[e->serial].place == Place::passed, "R1: a tag for what did not pass: " + e->serial);
}

}  // namespace crimpgate::test
