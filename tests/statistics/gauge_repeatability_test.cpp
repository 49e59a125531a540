#include "reports/statistics/gauge_repeatability.h"

#include <cmath>
#include <limits>

#include "reports/statistics/anova.h"
#include "reports/statistics/moments.h"
#include "tests/statistics/data_rows.h"
#include "tests/support/catch.h"

using namespace crimpgate;
using namespace crimpgate::statistics;
using cqt::Approx;

namespace {

// piece, appraiser, and a column for each trial.
std::vector<StudyReading> read_study(const std::string& file) {
    std::vector<StudyReading> out;
    for (const auto& row : data_rows(file))
        for (std::size_t t = 2; t < row.size(); ++t)
            out.push_back({row[0], row[1], static_cast<int>(t) - 1, number(row[t])});
    return out;
}

GaugeStudy arranged(const std::string& file) {
    auto study = arrange_study(read_study(file));
    REQUIRE(study);
    return *study;
}

Approx to(double digits, double value) {
    return Approx(value).epsilon(0).margin(digits);
}

// 2 pieces x 3 appraisers x 2 trials of a 25.4 mm shell in nanometres: a large offset, little scatter.
std::vector<StudyReading> shells() {
    const double cells[2][3][2] = {{{10, 30}, {20, 20}, {40, 10}}, {{-10, 0}, {10, -20}, {0, 40}}};
    std::vector<StudyReading> out;
    for (int p = 0; p < 2; ++p)
        for (int a = 0; a < 3; ++a)
            for (int t = 0; t < 2; ++t)
                out.push_back({std::string(1, static_cast<char>('1' + p)), std::string(1, static_cast<char>('A' + a)),
                               t + 1, 25'400'000 + cells[p][a][t]});
    return out;
}

}  // namespace

TEST_CASE("average and range gives the manual's worked example with the manual's rounded factors") {
    // AIAG MSA manual, 4th ed., figure III-B 16, after public copies. It rounds what it carries on, so four digits
    // agree.
    const auto study = arranged("grr_aiag.csv");
    const auto r = average_and_range(study, {}, {{0.5908, 0.5231, 0.3146}});
    CHECK(r.appraiser_ranges[0] == to(5e-4, 0.184));
    CHECK(r.appraiser_ranges[1] == to(5e-4, 0.513));
    CHECK(r.appraiser_ranges[2] == to(5e-4, 0.328));
    CHECK(r.appraiser_means[0] == to(5e-5, 0.1903));
    CHECK(r.appraiser_means[1] == to(5e-5, 0.0683));
    CHECK(r.appraiser_means[2] == to(5e-5, -0.2543));
    CHECK(r.mean_range == to(5e-5, 0.3417));
    CHECK(r.appraiser_difference == to(1e-4, 0.4446));
    CHECK(r.piece_range == to(5e-4, 3.511));
    CHECK(r.parts.repeatability.sd == to(5e-5, 0.20188));
    CHECK(r.parts.reproducibility.sd == to(5e-5, 0.22963));
    CHECK(r.parts.gauge.sd == to(5e-5, 0.30575));
    CHECK(r.parts.piece.sd == to(5e-5, 1.10456));
    CHECK(r.parts.total.sd == to(5e-5, 1.14610));
    CHECK(100 * *r.parts.repeatability.study_variation == to(0.011, 17.62));
    CHECK(100 * *r.parts.reproducibility.study_variation == to(0.011, 20.04));
    CHECK(100 * *r.parts.gauge.study_variation == to(0.011, 26.68));
    CHECK(100 * *r.parts.piece.study_variation == to(0.011, 96.38));
    CHECK(*r.parts.categories.by_141 == to(5e-3, 5.09));
    CHECK(r.parts.categories.whole == 5);
    CHECK(guideline_of(*r.parts.gauge.study_variation) == Guideline::conditional);
}

TEST_CASE("average and range with exact factors differs from the manual in the fifth digit only") {
    // Recomputed in Python with exact d2 and d2*.
    const auto r = average_and_range(arranged("grr_aiag.csv"));
    CHECK(r.k1 == to(1e-6, 0.590818));
    CHECK(r.k2 == to(1e-6, 0.523138));
    CHECK(r.k3 == to(1e-6, 0.314560));
    CHECK(r.parts.repeatability.sd == to(1e-6, 0.201863));
    CHECK(r.parts.reproducibility.sd == to(1e-6, 0.229684));
    CHECK(r.parts.gauge.sd == to(1e-6, 0.305783));
    CHECK(r.parts.piece.sd == to(1e-6, 1.104455));
    CHECK(r.parts.total.sd == to(1e-6, 1.146003));
    CHECK(*r.parts.categories.by_141 == to(1e-4, 5.0928));
}

TEST_CASE("K factors come from d2* for every number of appraisers and pieces") {
    // d2*(m, 1) = sqrt(d2^2 + d3^2): factors recomputed to six digits from the definitions of d2 and d3; the AIAG table
    // prints four of them (.7071 .5231 .4467 .4030 .3742 .3534 .3375 .3249 .3146).
    const double k2[] = {0.707107, 0.523138, 0.446655, 0.403023, 0.374177, 0.353382, 0.337509, 0.324894, 0.314560};
    const double k1[] = {0.886227, 0.590818, 0.485731, 0.429936, 0.394569, 0.369774, 0.351222, 0.336697, 0.324938};
    for (int m = 2; m <= 10; ++m) {
        std::vector<StudyReading> readings;
        for (int p = 0; p < 10; ++p)
            for (int a = 0; a < m; ++a)
                for (int t = 1; t <= m; ++t)
                    readings.push_back(
                        {std::to_string(p), std::to_string(a), t, p + 0.1 * a + 0.01 * ((p * t + a) % 3)});
        const auto study = arrange_study(readings);
        REQUIRE(study);
        const auto r = average_and_range(*study);
        CHECK(r.k1 == to(1e-6, k1[m - 2]));
        CHECK(r.k2 == to(1e-6, k2[m - 2]));
        CHECK(r.k3 == to(1e-6, 0.314560));
    }
}

TEST_CASE("a study of few cells takes d2* for its repeatability too") {
    // d2*(2, 6) = 1.18083 (Duncan's table).
    const auto study = arrange_study(shells());
    REQUIRE(study);
    CHECK(1 / average_and_range(*study).k1 == to(1e-5, 1.18083));
}

TEST_CASE("the cell that one appraiser could not repeat is named") {
    // AIAG: limit of the ranges 0.880 with the rounded factor 2.574, 0.87965 exactly; appraiser B on piece 4 (1.02).
    const auto study = arranged("grr_aiag.csv");
    const auto r = average_and_range(study);
    CHECK(r.range_limit == to(5e-4, 0.87965));
    REQUIRE(r.beyond.size() == 1);
    CHECK(study.pieces[r.beyond[0].piece] == "4");
    CHECK(study.appraisers[r.beyond[0].appraiser] == "B");
    CHECK(r.beyond[0].range == to(1e-12, 1.02));
}

TEST_CASE("analysis of variance pools the interaction of the manual's example and gives its figures") {
    // AIAG MSA manual, 4th ed., figures III-B 17 and 18 (public copies); further digits recomputed in exact fractions.
    const auto a = anova_study(arranged("grr_aiag.csv"));
    CHECK(a.kept.piece.ss == Approx(88.3619344444444).epsilon(1e-13));
    CHECK(a.kept.appraiser.ss == Approx(3.16726222222222).epsilon(1e-13));
    CHECK(a.interaction.ss == Approx(0.358982222222222).epsilon(1e-13));
    CHECK(a.kept.error.ss == Approx(2.75893333333333).epsilon(1e-13));
    CHECK(a.total.ss == to(5e-5, 94.6471));
    CHECK(a.kept.piece.df == 9);
    CHECK(a.kept.appraiser.df == 2);
    CHECK(a.interaction.df == 18);
    CHECK(a.kept.error.df == 60);
    CHECK(a.total.df == 89);
    CHECK(a.kept.piece.ms == to(5e-6, 9.81799));
    CHECK(a.kept.appraiser.ms == to(5e-6, 1.58363));
    CHECK(a.interaction.ms == to(5e-6, 0.01994));
    CHECK(a.kept.error.ms == to(5e-6, 0.04598));
    CHECK(*a.interaction.f == to(5e-4, 0.434));
    CHECK(*a.interaction.p == to(5e-4, 0.974));
    CHECK(*a.interaction.p == Approx(0.974106404329046).epsilon(1e-10));

    CHECK(a.pools);
    const auto& m = a.chosen();
    CHECK(m.error.df == 78);
    CHECK(m.error.ms == to(5e-5, 0.0400));
    CHECK(m.error.ms == Approx(0.0399732763532764).epsilon(1e-13));
    CHECK(*m.piece.f == Approx(245.613910386).epsilon(1e-11));
    CHECK(*m.appraiser.f == Approx(39.6172457097).epsilon(1e-11));
    CHECK(*m.appraiser.p == Approx(1.33759462384e-12).epsilon(1e-9));
    CHECK(m.parts.repeatability.sd == to(1e-6, 0.199933));
    CHECK(m.parts.reproducibility.sd == to(1e-6, 0.226838));
    CHECK(m.parts.gauge.sd == to(2e-6, 0.302373));  // printed from rounded parts; 0.3023715 exactly
    CHECK(m.parts.gauge.sd == Approx(0.302371522322905).epsilon(1e-12));
    CHECK(m.parts.piece.sd == to(1e-6, 1.042327));
    CHECK(m.parts.total.sd == to(5e-4, 1.085));
    CHECK(100 * *m.parts.repeatability.contribution == to(0.05, 3.4));
    CHECK(100 * *m.parts.reproducibility.contribution == to(0.05, 4.4));
    CHECK(100 * *m.parts.gauge.contribution == to(0.05, 7.8));
    CHECK(100 * *m.parts.piece.contribution == to(0.05, 92.2));
    CHECK(100 * *m.parts.repeatability.study_variation == to(0.05, 18.4));
    CHECK(100 * *m.parts.reproducibility.study_variation == to(0.05, 20.9));
    CHECK(100 * *m.parts.gauge.study_variation == to(0.05, 27.9));
    CHECK(100 * *m.parts.piece.study_variation == to(0.05, 96.0));
    CHECK(*m.parts.categories.by_141 == to(1e-4, 4.8605));
    CHECK(*m.parts.categories.by_root2 == to(1e-4, 4.8750));
    CHECK(m.parts.categories.whole == 4);  // by average and range it is 5: two estimates of the same pieces
    CHECK(m.interaction.sd == 0);
    CHECK_FALSE(m.interaction.clamped);
}

TEST_CASE("the way not taken is shown too, and a negative variance is marked, not hidden") {
    // Recomputed in exact fractions: interaction (0.01994 - 0.04598) / 3 < 0.
    const auto a = anova_study(arranged("grr_aiag.csv"));
    const auto& m = a.kept;
    CHECK(m.interaction.sd == 0);
    CHECK(m.interaction.clamped);
    CHECK(m.parts.reproducibility.clamped);
    CHECK_FALSE(m.appraiser_alone.clamped);
    CHECK(m.parts.repeatability.sd == to(1e-6, 0.214435));
    CHECK(m.appraiser_alone.sd == to(1e-6, 0.228304));
    CHECK(m.parts.gauge.sd == Approx(0.313217406976244).epsilon(1e-12));
    CHECK(m.parts.piece.sd == to(1e-6, 1.043395));
    CHECK(*m.parts.categories.by_141 == Approx(4.69701316383).epsilon(1e-10));
    CHECK(*m.piece.f == Approx(492.291422664).epsilon(1e-11));
}

TEST_CASE("analysis of variance keeps an interaction that is there") {
    // Montgomery, table 8.7 and its analysis (published figures from memory, recomputed in exact fractions).
    const auto a = anova_study(arranged("grr_thermal_impedance.csv"));
    CHECK_FALSE(a.pools);
    const auto& m = a.chosen();
    CHECK(m.piece.ss == to(5e-3, 3935.96));
    CHECK(m.appraiser.ss == to(5e-3, 39.27));
    CHECK(a.interaction.ss == to(5e-3, 48.51));
    CHECK(m.error.ss == to(5e-3, 30.67));
    CHECK(a.total.ss == to(5e-3, 4054.40));
    CHECK(*m.piece.f == Approx(162.27027027).epsilon(1e-10));
    CHECK(*m.appraiser.f == Approx(7.28492899679).epsilon(1e-10));
    CHECK(*m.appraiser.p == Approx(0.00480960887997).epsilon(1e-10));
    CHECK(*a.interaction.f == Approx(5.27294685990338).epsilon(1e-12));
    CHECK(*a.interaction.p == Approx(5.06009005892414e-7).epsilon(1e-9));
    const auto variance = [](const VariationPart& p) { return p.sd * p.sd; };
    CHECK(variance(m.parts.piece) == Approx(48.2925925925926).epsilon(1e-12));
    CHECK(variance(m.appraiser_alone) == Approx(0.564609053497942).epsilon(1e-12));
    CHECK(variance(m.interaction) == Approx(0.72798353909465).epsilon(1e-12));
    CHECK(variance(m.parts.repeatability) == Approx(0.511111111111111).epsilon(1e-12));
    CHECK(variance(m.parts.gauge) == to(1e-6, 1.803704));
    CHECK(*m.parts.categories.by_141 == Approx(7.29586475376).epsilon(1e-10));
    CHECK(m.parts.categories.whole == 7);
    // The other way stands beside it, and would have made the gauge look better than it is.
    CHECK(variance(a.pooled.parts.repeatability) == Approx(1.01509971509972).epsilon(1e-12));
    CHECK(a.pooled.parts.gauge.sd == Approx(1.27894781065303).epsilon(1e-12));
    CHECK(a.pooled.parts.gauge.sd < m.parts.gauge.sd);
}

TEST_CASE("whether the interaction is pooled hangs on the level that the lead chose") {
    const auto study = arranged("grr_aiag.csv");  // p 0.974
    CHECK(anova_study(study, {{}, 6, 0.05}).pools);
    CHECK(anova_study(study, {{}, 6, 0.25}).pools);
    CHECK_FALSE(anova_study(study, {{}, 6, 0.98}).pools);
}

TEST_CASE("a study in nanometres on a large offset loses nothing") {
    // Recomputed in exact fractions and, for F's tail, with mpmath.
    const auto study = arrange_study(shells());
    REQUIRE(study);
    const auto a = anova_study(*study);
    CHECK(a.kept.piece.ss == Approx(1008.33333333333).epsilon(1e-12));
    CHECK(a.kept.appraiser.ss == Approx(600).epsilon(1e-12));
    CHECK(a.interaction.ss == Approx(266.666666666667).epsilon(1e-12));
    CHECK(a.kept.error.ss == Approx(1950).epsilon(1e-12));
    CHECK(*a.interaction.p == Approx(0.680773531998349).epsilon(1e-10));
    CHECK(a.kept.interaction.clamped);
    CHECK(a.kept.parts.gauge.sd == Approx(19.1485421551268).epsilon(1e-11));
    CHECK(a.pooled.parts.gauge.sd == Approx(16.8170300588421).epsilon(1e-11));
    CHECK(*a.pooled.appraiser.p == Approx(0.383583347966).epsilon(1e-10));
    CHECK(a.pooled.parts.categories.whole == 1);  // 0.93 cut off would be none
    REQUIRE(study->warnings.size() == 1);
    CHECK(study->warnings[0].code == "gauge_study.small");
}

TEST_CASE("shares of the tolerance are six sigmas over its width, or as many as were chosen") {
    const auto study = arranged("grr_aiag.csv");
    const auto six = anova_study(study, {8.0, 6, 0.25}).chosen().parts;
    CHECK(*six.gauge.tolerance == Approx(6 * six.gauge.sd / 8));
    const auto older = average_and_range(study, {8.0, 5.15, 0.25}).parts;
    CHECK(*older.gauge.tolerance == Approx(5.15 * older.gauge.sd / 8));
    CHECK_FALSE(anova_study(study).chosen().parts.gauge.tolerance);
}

TEST_CASE("a gauge that shows no scatter at all gets no categories and no shares of nothing") {
    std::vector<StudyReading> same;
    for (const char* piece : {"1", "2"})
        for (const char* person : {"A", "B"})
            for (int t = 1; t <= 2; ++t)
                same.push_back({piece, person, t, 25'400'000});
    const auto study = arrange_study(same);
    REQUIRE(study);
    for (const auto& parts : {average_and_range(*study).parts, anova_study(*study).chosen().parts}) {
        CHECK(parts.total.sd == 0);
        CHECK_FALSE(parts.gauge.study_variation);
        CHECK_FALSE(parts.categories.whole);
    }
    // People who differ on one piece only, each without any scatter: that is an interaction, and not to be pooled.
    same[0].value = same[1].value = 25'400'010;
    const auto crossed = arrange_study(same);
    REQUIRE(crossed);
    CHECK_FALSE(anova_study(*crossed).pools);
}

TEST_CASE("a missing cell is refused by its name, wherever it is") {
    auto readings = read_study("grr_aiag.csv");
    const auto gone = readings[4];
    readings.erase(readings.begin() + 4);
    const auto study = arrange_study(readings);
    REQUIRE_FALSE(study);
    CHECK(study.error().code == "gauge_study.missing_cell");
    CHECK(study.error().detail("piece") == gone.piece);
    CHECK(study.error().detail("appraiser") == gone.appraiser);
    CHECK(study.error().detail("trial") == std::to_string(gone.trial));
    // A piece that one person never had, though the count of readings would divide evenly.
    std::vector<StudyReading> hole = shells();
    std::erase_if(hole, [](const StudyReading& r) { return r.piece == "2" && r.appraiser == "C"; });
    REQUIRE_FALSE(arrange_study(hole));
    CHECK(arrange_study(hole).error().detail("appraiser") == "C");
}

TEST_CASE("R8: a reading twice, a trial 0, or what is no number is refused") {
    auto readings = shells();
    readings.push_back(readings[3]);
    CHECK(arrange_study(readings).error().code == "gauge_study.measured_twice");
    readings = shells();
    readings[0].trial = 0;
    CHECK(arrange_study(readings).error().code == "gauge_study.trial");
    readings = shells();
    readings[5].value = std::numeric_limits<double>::quiet_NaN();
    CHECK(arrange_study(readings).error().code == "gauge_study.value_missing");
    readings = shells();
    std::erase_if(readings, [](const StudyReading& r) { return r.trial == 2; });
    CHECK(arrange_study(readings).error().code == "gauge_study.too_small");
    CHECK(arrange_study({}).error().code == "gauge_study.too_small");
}

TEST_CASE("the order in which the pieces came to the bench changes nothing") {
    auto readings = read_study("grr_thermal_impedance.csv");
    const auto before = anova_study(*arrange_study(readings)).chosen().parts;
    for (std::size_t i = 0, j = 17; i < readings.size(); ++i, j = (j * 31 + 7) % readings.size())
        std::swap(readings[i], readings[j]);
    const auto after = anova_study(*arrange_study(readings)).chosen().parts;
    CHECK(after.gauge.sd == Approx(before.gauge.sd).epsilon(1e-13));
    CHECK(after.piece.sd == Approx(before.piece.sd).epsilon(1e-13));
}

TEST_CASE("pooled standard deviations of a check standard agree with the handbook") {
    // NIST/SEMATECH e-Handbook 2.4.4 (mpc441, mpc442, mpc444): check standard 140, probe 2362, six days in each of two
    // runs, six repetitions a day.
    const std::vector<double> run1{96.0771, 95.9976, 96.0148, 96.0397, 96.0407, 96.0445};
    const std::vector<double> run2{96.0793, 96.1115, 96.0803, 96.0411, 96.0988, 96.0482};
    const double one = *moments_of(run1).sd(), two = *moments_of(run2).sd();
    CHECK(one == to(1e-6, 0.027280));
    CHECK(two == to(5e-6, 0.027560));
    const auto level2 = pooled_sd({{one, 5}, {two, 5}});
    CHECK(level2.df == 10);
    CHECK(level2.sd == to(5e-6, 0.02742));
    const std::vector<double> groups[] = {run1, run2};
    CHECK(one_way(groups)->residual_sd == Approx(level2.sd).epsilon(1e-10));
    // Level 1, recomputed from the handbook's daily standard deviations: 0.077433, 0.079975, both 0.078714 (60 df).
    std::vector<SdWithDf> days1, days2;
    for (const double sd : {0.1024, 0.0943, 0.0622, 0.0702, 0.0627, 0.0622})
        days1.push_back({sd, 5});
    for (const double sd : {0.0996, 0.0533, 0.0364, 0.0768, 0.1042, 0.0868})
        days2.push_back({sd, 5});
    const auto first = pooled_sd(days1), second = pooled_sd(days2), both = pooled_sd({first, second});
    CHECK(first.sd == to(5e-7, 0.077433));
    CHECK(second.sd == to(5e-7, 0.079975));
    CHECK(both.sd == to(5e-7, 0.078714));
    CHECK(both.df == 60);
    // Level 3 over five wafers (mpc443), from the printed standard deviations, one degree of freedom each: 0.0197.
    CHECK(pooled_sd({{0.0223, 1}, {0.0027, 1}, {0.0289, 1}, {0.0133, 1}, {0.0205, 1}}).sd == to(5e-5, 0.0197));
    // mpc444: sums of squares of five wafers, 300 degrees of freedom in all: 0.10290.
    std::vector<SdWithDf> wafers;
    for (const double ss : {0.48115, 0.69209, 0.48483, 1.21752, 0.30076})
        wafers.push_back({std::sqrt(ss / 60), 60});
    CHECK(pooled_sd(wafers).sd == to(5e-6, 0.10290));
    CHECK(pooled_sd({}).df == 0);
}

TEST_CASE("the guideline's limits are 10 and 30 percent") {
    CHECK(guideline_of(0.099) == Guideline::good);
    CHECK(guideline_of(0.1) == Guideline::conditional);
    CHECK(guideline_of(0.3) == Guideline::conditional);
    CHECK(guideline_of(0.301) == Guideline::not_acceptable);
}
