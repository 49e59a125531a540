#include "reports/audit/work.h"

#include <algorithm>
#include <map>

namespace crimpgate::audit {

namespace {

// What joins ends to set-up pieces: spec row and revision, crimper, die set, hose lot.
std::string key_of(std::string_view spec, std::string_view revision, std::string_view crimper, std::string_view die_set,
                   std::string_view hose_lot) {
    std::string key;
    for (const auto part : {spec, revision, crimper, die_set, hose_lot}) {
        key += part;
        key += '\n';
    }
    return key;
}

std::string stream_key(const EndView& view) {
    return view.spec() + "|" + view.revision() + "|" + view.crimper() + "|" + view.die_set();
}

void mark_points(std::vector<EndView>& ends) {
    std::unordered_map<std::string, std::size_t> last;
    for (std::size_t i = 0; i < ends.size(); ++i)
        last[ends[i].end->serial + "\n" + ends[i].end->end + "\n" + count_text(ends[i].end->attempt)] = i;
    for (const auto& [key, i] : last) {
        EndView& view = ends[i];
        view.last = true;
        // A spread is known once all places are; with one place there is none.
        view.point = view.has_level() && (view.stream->places <= 1 || view.end->spread.has_value());
    }
}

void join_setups(const AuditFacts& facts, std::vector<EndView>& ends) {
    std::unordered_map<std::string, std::vector<const SetupFact*>> by_key;
    for (const SetupFact& setup : facts.setups)
        if (setup.passed)
            by_key[key_of(setup.spec, setup.revision, setup.crimper, setup.die_set, setup.hose_lot)].push_back(&setup);
    for (EndView& view : ends) {
        const auto found =
            by_key.find(key_of(view.spec(), view.revision(), view.crimper(), view.die_set(), view.assembly->hose_lot));
        if (found == by_key.end()) continue;
        const auto after = std::upper_bound(found->second.begin(), found->second.end(), view.end->seq,
                                            [](std::int64_t seq, const SetupFact* s) { return seq < s->seq; });
        if (after != found->second.begin()) view.setup = *(after - 1);
    }
}

// Crimp diameters that count for a judgement: of the same attempt, taken before it, not voided, the last of each place.
void join_readings(const AuditFacts& facts, std::vector<EndView>& ends) {
    std::unordered_map<std::string, std::vector<const ReadingFact*>> by_end;
    for (const ReadingFact& reading : facts.readings)
        if (reading.purpose == "assembly" && reading.what == "crimp_diameter" && reading.voided_seq == 0)
            by_end[reading.serial + "\n" + reading.end + "\n" + count_text(reading.attempt)].push_back(&reading);
    for (EndView& view : ends) {
        const auto found = by_end.find(view.end->serial + "\n" + view.end->end + "\n" + count_text(view.end->attempt));
        if (found == by_end.end()) continue;
        std::map<std::int64_t, const ReadingFact*> last;
        for (const ReadingFact* reading : found->second)
            if (reading->seq < view.end->seq) last[reading->flat] = reading;
        for (const auto& [flat, reading] : last) {
            view.readings.push_back(reading);
            if (std::find(view.gauges.begin(), view.gauges.end(), reading->gauge) == view.gauges.end())
                view.gauges.emplace_back(reading->gauge);
        }
    }
}

}  // namespace

Work work_of(const AuditFacts& facts, const Choices& choices) {
    Work work;
    work.facts = &facts;
    work.lengths = LengthText(facts.inches);
    for (const std::string& code : choices.rules.empty() ? facts.watch_rules : choices.rules)
        if (const auto rule = statistics::run_rule_of(code)) {
            work.rules.set(*rule);
            work.rule_codes.push_back(code);
        }
    for (const AssemblyFact& assembly : facts.assemblies)
        work.assemblies[assembly.serial] = &assembly;
    for (const HoldFact& hold : facts.holds)
        work.holds[hold.serial].push_back(&hold);
    std::unordered_map<std::string_view, const StreamFact*> streams;
    for (const StreamFact& stream : facts.streams)
        streams[stream.stream] = &stream;
    work.ends.reserve(facts.ends.size());
    for (const EndFact& end : facts.ends) {
        const auto assembly = work.assemblies.find(end.serial);
        if (assembly == work.assemblies.end()) continue;
        EndView view;
        view.end = &end;
        view.assembly = assembly->second;
        if (const auto stream = streams.find(stream_key(view)); stream != streams.end()) {
            view.stream = stream->second;
            if (end.mean)
                view.off_middle = static_cast<double>(end.mean->nm()) -
                                  static_cast<double>(view.stream->lower.nm() + view.stream->upper.nm()) / 2;
        }
        work.ends.push_back(std::move(view));
    }
    mark_points(work.ends);
    join_setups(facts, work.ends);
    join_readings(facts, work.ends);
    return work;
}

}  // namespace crimpgate::audit
