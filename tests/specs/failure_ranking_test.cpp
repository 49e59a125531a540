// Properties of the ranking: what is not known counts for nothing, the arithmetic is the sum of its lines, the record
// speaks against a crimping fault as readily as for it, and a better record never makes a crimping fault likelier.
#include "specs/failure_ranking.h"

#include <rapidcheck.h>

#include <set>

#include "tests/specs/failure_kit.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using samples::good_application;
using samples::good_record;
using samples::mode_of;
using samples::seen;

namespace {

// Random answers as check_answers accepts them: question by question, "not known" among them.
std::vector<Answered> any_answers() {
    std::vector<Answered> out;
    for (const auto& question : return_questions()) {
        const auto asked = questions_asked(out);
        if (std::ranges::find(asked, question.code) == asked.end()) continue;
        const auto n = *rc::gen::inRange<std::size_t>(0, question.answers.size() + 2);
        if (n == question.answers.size()) out.push_back({std::string(question.code), std::string(not_known)});
        if (n < question.answers.size()) {
            out.push_back({std::string(question.code), std::string(question.answers[n].code)});
            const auto more = *rc::gen::inRange<std::size_t>(0, question.answers.size());
            if (question.several && more != n && !question.answers[n].alone && !question.answers[more].alone)
                out.push_back({std::string(question.code), std::string(question.answers[more].code)});
        }
    }
    return out;
}

Length um(std::int64_t n) {
    return Length::from_um(n);
}

// A record with readings anywhere in and around the band; the other facts as they come.
RecordEvidence any_record() {
    auto out = good_record();
    for (auto& end : out.ends) {
        for (auto& crimp : end.crimps) {
            crimp.reading.value = um(*rc::gen::inRange<std::int64_t>(25200, 25801));
            if (*rc::gen::arbitrary<bool>())
                crimp.siblings_mean = um(*rc::gen::inRange<std::int64_t>(25300, 25701));
            else
                crimp.siblings_mean.reset();
        }
        end.depth->value = um(*rc::gen::inRange<std::int64_t>(26500, 29501));
        if (*rc::gen::arbitrary<bool>()) end.gauge.proved_after = *rc::gen::arbitrary<bool>();
        end.drift_warned = *rc::gen::arbitrary<bool>();
        end.recrimps = *rc::gen::inRange<std::int64_t>(0, 3);
    }
    return out;
}

// Half of the way to the middle of its band, or all of it.
void towards_the_middle(BandedEvidence& reading, bool whole) {
    const auto middle = (reading.lower.nm() + reading.upper.nm()) / 2;
    reading.value = Length::from_nm(whole ? middle : (reading.value.nm() + middle) / 2);
}

std::set<std::string> line_codes(const RankedMode& mode) {
    std::set<std::string> out;
    for (const auto& line : mode.lines)
        out.insert(line.what.code);
    return out;
}

}  // namespace

TEST_CASE("with nothing known every cause has no points, none is called likely, and all that is missing is named") {
    const auto ranking = rank_causes({}, {});
    CHECK(ranking.modes.size() == failure_modes().size());
    for (const auto& mode : ranking.modes) {
        CHECK(mode.points == 0);
        CHECK(mode.lines.empty());
        CHECK_FALSE(mode.likely());
    }
    CHECK(ranking.conclusion.code == "returned.conclusion.none");
    CHECK(ranking.record_says == RecordSays::no_record);
    CHECK(ranking.siblings.empty());
    CHECK(ranking.open_questions == questions_asked({}));
    CHECK(ranking.unknown.front().code == "returned.unknown.no_record");
    CHECK(ranking.unknown.size() == 11);
}

TEST_CASE("a cause's points are the sum of the lines that are shown, in whole numbers, and the order follows them") {
    CHECK(rc::check("sums", [] {
        ReturnEvidence evidence{any_record(), good_application(), {}};
        const auto answers = any_answers();
        RC_ASSERT(check_answers(answers).has_value());
        const auto ranking = rank_causes(answers, evidence);
        for (std::size_t i = 0; i < ranking.modes.size(); ++i) {
            const auto& mode = ranking.modes[i];
            std::int64_t sum = 0;
            for (const auto& line : mode.lines) {
                sum += line.weight;
                RC_ASSERT(!line.what.code.empty());
                RC_ASSERT(line.weight >= excludes && line.weight <= telling);
            }
            RC_ASSERT(sum == mode.points);
            RC_ASSERT(sum == mode.points_of(LineOf::symptom) + mode.points_of(LineOf::record) +
                                 mode.points_of(LineOf::application) + mode.points_of(LineOf::measured));
            if (i > 0) {
                RC_ASSERT(mode.points <= ranking.modes[i - 1].points);
                RC_ASSERT((mode.rank == ranking.modes[i - 1].rank) == (mode.points == ranking.modes[i - 1].points));
            }
        }
    }));
}

TEST_CASE("\"not known\" changes no cause's points and no line, whatever else was answered") {
    CHECK(rc::check("not known", [] {
        const auto all = any_answers();
        auto without = all, with = all;
        std::erase_if(without, [](const Answered& a) { return a.answer == not_known; });
        for (const auto code : questions_open(without))
            if (std::ranges::find(with, code, &Answered::question) == with.end())
                with.push_back({std::string(code), std::string(not_known)});
        RC_ASSERT(check_answers(with).has_value());
        const ReturnEvidence evidence{good_record(), good_application(), {}};
        const auto a = rank_causes(without, evidence), b = rank_causes(with, evidence);
        RC_ASSERT(a.open_questions == b.open_questions);
        for (std::size_t i = 0; i < a.modes.size(); ++i) {
            RC_ASSERT(a.modes[i].mode == b.modes[i].mode);
            RC_ASSERT(a.modes[i].points == b.modes[i].points);
            RC_ASSERT(a.modes[i].lines.size() == b.modes[i].lines.size());
        }
    }));
}

TEST_CASE("figures of the application that are not known change nothing either") {
    const auto answers = seen("place=body layline=spiral");
    const auto known = rank_causes(answers, {good_record(), {}, {}});
    ApplicationEvidence half = good_application();
    half.rating.reset();
    half.rated_max_c.reset();
    half.rated_min_c.reset();
    half.bend_radius_min.reset();
    half.hose_od.reset();
    half.bore.reset();
    half.free_length.reset();
    half.twist_degrees.reset();
    half.fluid_suits_tube.reset();
    const auto halves = rank_causes(answers, {good_record(), half, {}});
    for (const auto& mode : known.modes)
        CHECK(mode.points == mode_of(halves, mode.mode->id).points);
}

TEST_CASE("more margin in the record never raises a fault of the crimp") {
    CHECK(rc::check("margin", [] {
        auto answers = any_answers();
        ReturnEvidence before{any_record(), {}, {}};
        auto after = before;
        for (auto& end : after.record.ends) {
            for (auto& crimp : end.crimps)
                towards_the_middle(crimp.reading, *rc::gen::arbitrary<bool>());
            towards_the_middle(*end.depth, *rc::gen::arbitrary<bool>());
        }
        const auto a = rank_causes(answers, before), b = rank_causes(answers, after);
        for (const auto id : crimp_faults)
            RC_ASSERT(mode_of(b, id).points <= mode_of(a, id).points);
    }));
}

TEST_CASE("a wider band, and so more margin to both limits, never raises a fault of the crimp") {
    CHECK(rc::check("width", [] {
        ReturnEvidence before{any_record(), {}, {}};
        auto after = before;
        const Length more = um(*rc::gen::inRange<std::int64_t>(1, 400));
        for (auto& end : after.record.ends)
            for (auto& crimp : end.crimps) {
                crimp.siblings_mean.reset();
                crimp.reading.lower = crimp.reading.lower - more;
                crimp.reading.upper = crimp.reading.upper + more;
            }
        const auto a = rank_causes({}, before), b = rank_causes({}, after);
        for (const auto id : crimp_faults)
            RC_ASSERT(mode_of(b, id).points <= mode_of(a, id).points);
    }));
}

TEST_CASE("the record speaks against a crimping fault when every reading sat well inside and the hose burst clean") {
    const auto answers = seen("hurt=no place=body opening=clean_one wires=whole cover=unhurt pressure=relief_bad");
    ReturnEvidence evidence{good_record(), good_application(), {}};
    evidence.application.pressure_with_spikes = Pressure::from_bar(410);
    const auto ranking = rank_causes(answers, evidence);
    CHECK(ranking.modes[0].mode->id == "over_pressure");
    CHECK(ranking.record_says == RecordSays::against_a_fault);
    CHECK(ranking.record_sentence.code == "returned.verdict.against_a_fault");
    // Twice -3 for depth and mark, -3 for the proof test; -3 crimp, -1 spread, -3 proof; the same, -3 pin, -1 proof.
    CHECK(ranking.record_sentence.detail("not_home") == "-9");
    CHECK(ranking.record_sentence.detail("large") == "-7");
    CHECK(ranking.record_sentence.detail("small") == "-8");
    CHECK(ranking.conclusion.code == "returned.conclusion.ahead");
    CHECK(line_codes(ranking.modes[0]).contains("returned.application.pressure_over"));
    for (const auto id : crimp_faults)
        CHECK_FALSE(mode_of(ranking, id).likely());
    // Whoever used it alike is at risk, nobody for having been crimped alike.
    REQUIRE(ranking.siblings.size() == 1);
    CHECK(ranking.siblings[0].group == SiblingGroup::application);
}

TEST_CASE("the record speaks for a crimping fault when a reading lay at its limit and the hose came off") {
    const auto answers = seen("place=came_off end=b grip=shallow_full");
    ReturnEvidence evidence{good_record(), good_application(), {}};
    evidence.record.proof_test.reset();
    evidence.record.ends[1].crimps[0].reading.value = um(25695);
    const auto ranking = rank_causes(answers, evidence);
    CHECK(ranking.record_says == RecordSays::for_a_fault);
    CHECK(ranking.modes[0].mode->id == "crimp_too_large");
    CHECK(line_codes(ranking.modes[0]).contains("returned.record.crimp_near_upper"));
    CHECK(line_codes(ranking.modes[0]).contains("returned.record.apart_from_siblings"));
    std::set<std::string_view> groups;
    for (const auto& risk : ranking.siblings)
        groups.insert(code_of(risk.group));
    CHECK(groups.contains("setup"));
    CHECK(groups.contains("gauge_since_proof"));
    CHECK(groups.contains("hose_lot"));
    CHECK(groups.contains("fitting_lot"));
    // The other end's reading counts for nothing once it is known which end failed.
    const auto other = rank_causes(seen("place=came_off end=a grip=shallow_full"), evidence);
    CHECK(other.record_says == RecordSays::against_a_fault);
}

TEST_CASE("a record that is only just good enough speaks neither for nor against a crimping fault") {
    ReturnEvidence evidence{good_record(), {}, {}};
    evidence.record.proof_test.reset();
    for (auto& end : evidence.record.ends) {
        end.spread.reset();
        for (auto& crimp : end.crimps) {
            crimp.siblings_mean.reset();
            crimp.reading.value = um(25610);  // 0.090 of 0.400 mm inside: not near, not well inside
        }
    }
    CHECK(rank_causes({}, evidence).record_says == RecordSays::neither);
    for (auto& end : evidence.record.ends)
        for (auto& crimp : end.crimps)
            crimp.reading.value = um(25600);
    CHECK(rank_causes({}, evidence).record_says == RecordSays::against_a_fault);
    // Nothing of the crimp in the record.
    for (auto& end : evidence.record.ends) {
        end.crimps.clear();
        end.depth.reset();
        end.mark_after.reset();
        end.pin_passed.reset();
    }
    CHECK(rank_causes({}, evidence).record_says == RecordSays::nothing);
}

TEST_CASE("where it is not known which end failed, the end that says more counts, and that is said") {
    ReturnEvidence evidence{good_record(), {}, {}};
    evidence.record.ends[1].crimps[1].reading.value = um(25720);
    const auto ranking = rank_causes(seen("place=came_off"), evidence);
    CHECK(ranking.record_says == RecordSays::for_a_fault);
    CHECK(line_codes(mode_of(ranking, "crimp_too_large")).contains("returned.record.crimp_over"));
    CHECK(std::ranges::count(ranking.unknown, "returned.unknown.which_end", &Message::code) == 1);
}

TEST_CASE(
    "R4: a reading on its limit is inside it, and margins are weighed exactly at a tenth and a quarter of the band") {
    const auto weight_at = [](std::int64_t value_nm) {
        ReturnEvidence evidence{good_record(), {}, {}};
        for (auto& end : evidence.record.ends)
            for (auto& crimp : end.crimps) {
                crimp.reading.value = Length::from_nm(value_nm);
                crimp.siblings_mean.reset();
            }
        return mode_of(rank_causes({}, evidence), "crimp_too_large").lines.front().weight;
    };
    // Upper limit 25.700 mm, width 0.400 mm: a tenth is 0.040 mm, a quarter 0.100 mm.
    CHECK(weight_at(25'700'001) == telling);
    CHECK(weight_at(25'700'000) == supporting);
    CHECK(weight_at(25'660'001) == supporting);
    CHECK(weight_at(25'660'000) == 0);
    CHECK(weight_at(25'600'001) == 0);
    CHECK(weight_at(25'600'000) == against);
}

TEST_CASE("readings of a gauge that failed its next proof speak against nothing") {
    ReturnEvidence evidence{good_record(), good_application(), {}};
    evidence.record.proof_test.reset();
    for (auto& end : evidence.record.ends)
        end.gauge.proved_after = false;
    const auto ranking = rank_causes(seen("place=came_off"), evidence);
    CHECK(ranking.record_says == RecordSays::not_to_be_trusted);
    for (const auto id : {"crimp_too_large", "crimp_too_small"})
        for (const auto& line : mode_of(ranking, id).lines)
            if (line.what.code.starts_with("returned.record.crimp_well") ||
                line.what.code == "returned.record.spread_small")
                CHECK(line.weight == 0);
    CHECK(line_codes(mode_of(ranking, "crimp_too_large")).contains("returned.record.gauge_failed_after"));
    // Out of date only: no verdict rests on it.
    for (auto& end : evidence.record.ends)
        end.gauge = {"CAL-1", false, true, true};
    CHECK(rank_causes({}, evidence).record_says == RecordSays::not_to_be_trusted);
    // Not proved since: that much is not known yet.
    for (auto& end : evidence.record.ends)
        end.gauge = {"CAL-1", true, true, std::nullopt};
    const auto waiting = rank_causes({}, evidence);
    CHECK(std::ranges::count(waiting.unknown, "returned.unknown.proof_after", &Message::code) == 2);
}

TEST_CASE(
    "an unknown hose has symptoms and no record; its part may still speak, and nothing of a record is looked at") {
    ReturnEvidence evidence{good_record(), {}, {}};
    evidence.record.known = false;
    evidence.record.ends[0].gauge.proved_after = false;
    const auto answers = seen("place=came_off grip=none mark=gap");
    const auto ranking = rank_causes(answers, evidence);
    CHECK(ranking.record_says == RecordSays::no_record);
    CHECK(ranking.modes[0].mode->id == "not_pushed_home");
    CHECK(ranking.modes[0].points_of(LineOf::record) == 0);
    evidence.measured = {{"a", {{1, {25780_um, 25300_um, 25700_um}, {}}}, {}, {}}};
    const auto measured = rank_causes(answers, evidence);
    CHECK(measured.record_says == RecordSays::for_a_fault);
    CHECK(mode_of(measured, "crimp_too_large").points_of(LineOf::measured) == telling);
}

TEST_CASE("a part that measures otherwise than its record is told, not smoothed over") {
    ReturnEvidence evidence{good_record(), {}, {}};
    evidence.measured = {{"a", {{1, {25760_um, 25300_um, 25700_um}, {}}}, {}, {}}};
    const auto ranking = rank_causes(seen("place=came_off end=a"), evidence);
    CHECK(std::ranges::count(ranking.unknown, "returned.unknown.disagree", &Message::code) == 1);
    const auto codes = line_codes(mode_of(ranking, "crimp_too_large"));
    CHECK(codes.contains("returned.measured.crimp_over"));
    CHECK(codes.contains("returned.record.crimp_well_below_upper"));
    evidence.measured[0].crimps[0].reading.value = um(25500);
    CHECK(std::ranges::count(rank_causes({}, evidence).unknown, "returned.unknown.disagree", &Message::code) == 0);
}

TEST_CASE("the straight lead must be the larger of 1.5 x hose outside and 2 x bore, to the nanometre") {
    // Trade reference, section 8: 1/2 in 2SN, outside 23.0 mm, bore 12.7 mm: 34.5 mm against 25.4 mm.
    const auto weight_at = [](std::int64_t lead_nm, Length od, Length bore) {
        ReturnEvidence evidence;
        evidence.application.straight_lead = Length::from_nm(lead_nm);
        evidence.application.hose_od = od;
        evidence.application.bore = bore;
        return mode_of(rank_causes({}, evidence), "bent_at_fitting").points;
    };
    CHECK(weight_at(34'500'000, 23000_um, 12700_um) == against);
    CHECK(weight_at(34'499'999, 23000_um, 12700_um) == telling);
    // A thin wall: the bore's rule is the larger.
    CHECK(weight_at(40'000'000, 24000_um, 20000_um) == against);
    CHECK(weight_at(39'999'999, 24000_um, 20000_um) == telling);
}

TEST_CASE(
    "the application's figures are held against their limits exactly: pressure, heat, cold, bend, slack, twist, "
    "vacuum") {
    const auto points = [](std::string_view id, auto change) {
        ReturnEvidence evidence{{}, good_application(), {}};
        change(evidence.application);
        return mode_of(rank_causes({}, evidence), id).points;
    };
    using A = ApplicationEvidence;
    CHECK(points("over_pressure", [](A& a) { a.pressure_with_spikes = Pressure::from_kpa(27500); }) == against);
    CHECK(points("over_pressure", [](A& a) { a.pressure_with_spikes = Pressure::from_kpa(27501); }) == telling);
    CHECK(points("heat", [](A& a) { a.temperature_max_c = 100; }) == against);
    CHECK(points("heat", [](A& a) { a.temperature_max_c = 101; }) == telling);
    CHECK(points("heat", [](A& a) { a.temperature_max_c = 109; }) == telling);
    CHECK(points("heat", [](A& a) { a.temperature_max_c = 110; }) == telling + supporting);  // ten over: half the life
    CHECK(points("bent_cold", [](A& a) { a.temperature_min_c = -40; }) == against);
    CHECK(points("bent_cold", [](A& a) { a.temperature_min_c = -41; }) == telling);
    CHECK(points("bend_too_tight", [](A& a) { a.bend_radius = 180000_um; }) == against);
    CHECK(points("bend_too_tight", [](A& a) { a.bend_radius = 179999_um; }) == telling);
    CHECK(points("too_short", [](A& a) { a.slack = Length::from_nm(39'999'999); }) == telling);  // 4 % of 1000 mm
    CHECK(points("too_short", [](A& a) { a.slack = 40000_um; }) == hint);
    CHECK(points("too_short", [](A& a) { a.slack = Length::from_nm(49'999'999); }) == hint);
    CHECK(points("too_short", [](A& a) { a.slack = 50000_um; }) == against);
    CHECK(points("too_short", [](A& a) { a.slack = Length::from_nm(-1); }) == telling);
    CHECK(points("twisted", [](A& a) { a.twist_degrees = 7; }) == telling);
    CHECK(points("twisted", [](A& a) { a.twist_degrees = -7; }) == telling);
    CHECK(points("twisted", [](A& a) { a.twist_degrees = 6; }) == hint);
    CHECK(points("twisted", [](A& a) { a.twist_degrees = 0; }) == against);
    const auto vacuum = [](std::int64_t kpa) {
        return [kpa](A& a) {
            a.vacuum = Pressure::from_kpa(kpa);
            a.vacuum_rating = Pressure::from_kpa(60);
        };
    };
    CHECK(points("vacuum", vacuum(60)) == against);
    CHECK(points("vacuum", vacuum(61)) == telling);
    CHECK(points("fluid_not_suited", [](A& a) { a.fluid_suits_tube = false; }) == telling);
}

TEST_CASE("age: four years at assembly, six in all, two years young, by days with their leap days") {
    const auto points = [](std::int64_t hose, std::int64_t life) {
        ReturnEvidence evidence;
        evidence.record.known = true;
        evidence.record.hose_age_at_assembly_days = hose;
        evidence.record.age_at_failure_days = life;
        return mode_of(rank_causes({}, evidence), "old_age").points;
    };
    // ISO 8331:1991 and DIN 20066:2002 as summarised: 4 years at assembly, 6 years in all.
    CHECK(points(1461, 1000) == -hint);
    CHECK(points(1462, 1000) == supporting);
    CHECK(points(1462, 2191) == supporting);
    CHECK(points(1462, 2192) == supporting + supporting);
    CHECK(points(1461, 730) == -hint + against);
    CHECK(points(1461, 731) == -hint);
}

TEST_CASE("answers that contradict each other are named, and neither is silently dropped") {
    const auto answers = seen("place=body opening=clean_one wires=broken_random rubber=soft cover=hard");
    REQUIRE(check_answers(answers).has_value());
    const auto ranking = rank_causes(answers, {});
    CHECK(ranking.contradicting.size() == 2);
    const auto& pressure = mode_of(ranking, "over_pressure");
    CHECK(line_codes(pressure).contains("returned.seen.opening_clean_one"));
    CHECK(line_codes(pressure).contains("returned.seen.wires_broken_random"));
    CHECK(pressure.points == telling + excludes + hint);  // and +1 for the body
    // Fatigue and over-pressure pull at each other; nobody is far ahead.
    CHECK(ranking.modes[0].points < 2 * telling);
    CHECK(rank_causes(seen("place=body opening=clean_one wires=whole"), {}).contradicting.empty());
}

TEST_CASE(
    "everything answered at once, nonsense included, is still a plain sum with no cause above what its lines give") {
    std::vector<Answered> all;
    for (const auto& question : return_questions()) {
        const auto asked = questions_asked(all);
        if (std::ranges::find(asked, question.code) == asked.end()) continue;
        bool first = true;
        for (const auto& answer : question.answers) {
            if (answer.alone || (!first && !question.several)) continue;
            all.push_back({std::string(question.code), std::string(answer.code)});
            first = false;
        }
    }
    REQUIRE(check_answers(all).has_value());
    const auto ranking = rank_causes(all, {});
    for (const auto& mode : ranking.modes) {
        std::int64_t highest = 0;
        for (const auto& symptom : mode.mode->symptoms)
            highest += std::max<std::int64_t>(symptom.weight, 0);
        CHECK(mode.points <= highest);
    }
}

TEST_CASE("R13: the cautions are always there, and a hose that hurt somebody is evidence") {
    const auto codes = [](std::string_view text) {
        std::vector<std::string> out;
        for (const auto& m : rank_causes(seen(text), {}).cautions)
            out.push_back(m.code);
        return out;
    };
    for (const auto* text : {"hurt=yes", "hurt=no", "hurt=not_known", ""}) {
        const auto said = codes(text);
        for (const auto* code : {"injection", "whip", "burns", "pinch", "makers_first"})
            CHECK(std::ranges::count(said, "returned.caution." + std::string(code)) == 1);
    }
    CHECK(codes("hurt=yes").front() == "returned.caution.evidence");
    CHECK(codes("").front() == "returned.caution.evidence_maybe");
    CHECK(codes("hurt=not_known").front() == "returned.caution.evidence_maybe");
    CHECK(codes("hurt=no").front() == "returned.caution.injection");
}
