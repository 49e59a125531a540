#include "specs/what_may_follow.h"

#include "tests/specs/sample_row.h"
#include "tests/support/catch.h"

using namespace crimpgate;

namespace {

Finding failing(Characteristic what, Side side, bool measured) {
    Finding f;
    f.what = what;
    f.verdict = Verdict::fails;
    f.side = side;
    if (measured)
        f.value = 25'000_um;
    else if (what == Characteristic::mark_before || what == Characteristic::mark_after)
        f.seen = MarkSeen::gap;
    return f;
}

// What can go wrong with an end, each alone. `oversize` is the one that a re-crimp can cure.
struct Kind {
    Finding finding;
    bool oversize;
    bool measured;
};

std::vector<Kind> kinds() {
    using enum Characteristic;
    return {
        {failing(skive_outer, Side::below, true), false, true},
        {failing(skive_outer, Side::above, true), false, true},
        {failing(skive_inner, Side::below, true), false, true},
        {failing(skive_inner, Side::above, true), false, true},
        {failing(depth, Side::below, true), false, true},
        {failing(depth, Side::above, true), false, true},
        {failing(lubricant, Side::none, false), false, false},
        {failing(mark_before, Side::above, true), false, true},
        {failing(mark_before, Side::none, false), false, false},
        {failing(crimp_diameter, Side::below, true), false, true},
        {failing(crimp_diameter, Side::above, true), true, true},
        {failing(spread, Side::above, true), false, true},
        {failing(mark_after, Side::above, true), false, true},
        {failing(mark_after, Side::none, false), false, false},
        {failing(bore_pin, Side::none, false), false, false},
    };
}

}  // namespace

TEST_CASE("R7: every combination of failures, tries left and tries allowed") {
    const auto all = kinds();
    std::int64_t recrimps = 0;
    std::int64_t wrong = 0;
    for (std::uint32_t subset = 1; subset < (1u << all.size()); ++subset) {
        EndJudgement j;
        j.verdict = Verdict::fails;
        bool only_oversize = true;
        bool only_measured = true;
        for (std::size_t i = 0; i < all.size(); ++i) {
            if ((subset & (1u << i)) == 0) continue;
            j.findings.push_back(all[i].finding);
            only_oversize = only_oversize && all[i].oversize;
            only_measured = only_measured && all[i].measured;
        }
        for (std::int64_t allowed = 0; allowed <= 2; ++allowed)
            for (std::int64_t done = 0; done <= 3; ++done) {
                const auto choices = what_may_follow(j, done, allowed);
                const Choices expected{only_oversize && done < allowed, only_measured, true, true};
                if (choices != expected) ++wrong;
                if (choices.recrimp) ++recrimps;
            }
    }
    CHECK(wrong == 0);
    // Only the one subset "oversize alone", with 0 of 1, 0 of 2 or 1 of 2 tries used.
    CHECK(recrimps == 3);
}

TEST_CASE("R7: several oversize readings of one end may be crimped again, one undersize among them may not") {
    EndJudgement j;
    j.verdict = Verdict::fails;
    j.findings = {failing(Characteristic::crimp_diameter, Side::above, true),
                  failing(Characteristic::crimp_diameter, Side::above, true)};
    CHECK(what_may_follow(j, 0, 1) == Choices{true, true, true, true});
    CHECK(what_may_follow(j, 1, 1) == Choices{false, true, true, true});
    j.findings.push_back(failing(Characteristic::crimp_diameter, Side::below, true));
    CHECK(what_may_follow(j, 0, 1) == Choices{false, true, true, true});
}

TEST_CASE("R7: characteristics that conform beside an oversize crimp do not stand in the way of a re-crimp") {
    EndJudgement j;
    j.verdict = Verdict::fails;
    Finding fine;
    fine.what = Characteristic::depth;
    Finding close;
    close.what = Characteristic::spread;
    close.verdict = Verdict::uncertain;
    close.side = Side::above;
    j.findings = {fine, failing(Characteristic::crimp_diameter, Side::above, true), close};
    CHECK(what_may_follow(j, 0, 1).recrimp);
}

TEST_CASE("R5: an uncertain end is measured again, scrapped or conceded, never crimped again") {
    EndJudgement j;
    j.verdict = Verdict::uncertain;
    Finding close;
    close.what = Characteristic::crimp_diameter;
    close.verdict = Verdict::uncertain;
    close.side = Side::above;
    close.value = 25'695_um;
    j.findings = {close};
    for (std::int64_t allowed = 0; allowed <= 2; ++allowed)
        CHECK(what_may_follow(j, 0, allowed) == Choices{false, true, true, true});
}

TEST_CASE("Nothing follows an end that conforms, finished or not") {
    EndJudgement j;
    j.verdict = Verdict::conforms;
    CHECK(what_may_follow(j, 0, 2) == Choices{});
    j.missing = {Characteristic::bore_pin};
    CHECK(what_may_follow(j, 0, 2) == Choices{});
}

TEST_CASE("R7: a judged end leads to the choices of the trade") {
    const auto row = test::sample_row();
    EndReadings r;
    r.depth = Measured{38'000_um, 0_nm};
    r.mark_before_seen = MarkSeen::at_edge;
    r.crimps = {{1, {25'760_um, 0_nm}}, {3, {25'750_um, 0_nm}}, {4, {25'720_um, 0_nm}}};
    r.mark_after_seen = MarkSeen::at_edge;
    CHECK(what_may_follow(judge_end(row, r), 0, row.recrimps_allowed) == Choices{true, true, true, true});
    // The mark moved: a second crimp does not cure a short insertion.
    r.mark_after_seen = MarkSeen::gap;
    CHECK(what_may_follow(judge_end(row, r), 0, row.recrimps_allowed) == Choices{false, false, true, true});
    // A short depth beside the oversize crimp is no re-crimp either.
    r.mark_after_seen = MarkSeen::at_edge;
    r.depth = Measured{36'000_um, 0_nm};
    CHECK(what_may_follow(judge_end(row, r), 0, row.recrimps_allowed) == Choices{false, true, true, true});
}
