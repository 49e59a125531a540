// The stepwise search among the levels of ends (differences.h says how and why). Internal to the differences.
#pragma once

#include <vector>

#include "reports/audit/candidates.h"
#include "reports/audit/differences.h"

namespace crimpgate::audit {

class LevelSearch {
  public:
    explicit LevelSearch(const Compared& compared);
    std::int64_t comparisons() const;
    // `comparisons`: of the whole audit, by which every p is multiplied; `error`: what it must then stay below.
    std::vector<Difference> run(std::int64_t comparisons, double error = family_error);
    // Ends that a found difference holds.
    const std::vector<bool>& explained() const { return explained_; }

  private:
    struct Within {
        Factor factor = Factor::gauge;
        int level = 0;
        std::vector<std::size_t> setups;  // that hold other ends too
    };
    struct Trend {
        int level = 0;  // of the die set
        std::vector<std::size_t> units;
        double since = 0;  // days since the first end of all: level until then, a straight line from there
    };

    void find_within();
    void find_trends();
    double sigma_within(const std::vector<std::size_t>& setups) const;
    void reckon_sigmas();
    std::vector<double> unit_means() const;
    std::vector<double> weights(const std::vector<double>& means, double sigma) const;
    Sparse slope_of(const Trend& trend) const;
    Difference next(std::int64_t comparisons) const;
    void consider_between(Difference& best) const;
    void consider_within(std::int64_t comparisons, Difference& best) const;
    void consider_jumps(Difference& best) const;
    void take_off(const Difference& found);

    const Compared& compared_;
    std::vector<double> values_;  // corrected
    std::vector<bool> known_;     // which ends have a level
    double error_ = family_error;
    std::vector<bool> explained_;
    std::vector<Candidate> between_;
    std::vector<Within> within_;
    std::vector<Trend> trends_;
    std::vector<Sparse> effects_;                   // that were found
    std::vector<std::vector<std::size_t>> differ_;  // set-ups that hold each level that was found
    std::vector<double> sigmas_;                    // of each set-up's ends
    double sigma_ = 0, freedom_ = 0;
};

// How many ends on either side of a jump.
inline constexpr std::size_t least_beside_jump = 3;

}  // namespace crimpgate::audit
