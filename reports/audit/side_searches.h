// The searches beside the level's: spread within ends, share that does not conform, proofs (differences.h says how).
// Internal to the differences. Each gives how many comparisons it makes, and those below `error` once every p is
// multiplied by the comparisons of the whole audit.
#pragma once

#include <vector>

#include "reports/audit/candidates.h"
#include "reports/audit/differences.h"

namespace crimpgate::audit {

class SpreadSearch {
  public:
    explicit SpreadSearch(const Compared& compared);
    std::int64_t comparisons() const { return static_cast<std::int64_t>(candidates_.size()); }
    std::vector<Difference> run(std::int64_t comparisons, double error = family_error) const;

  private:
    const Compared& compared_;
    std::vector<bool> take_;
    std::vector<Candidate> candidates_;
};

class ShareSearch {
  public:
    explicit ShareSearch(const Compared& compared);
    std::int64_t comparisons() const { return comparisons_; }
    // `explained`: ends whose level was found to differ.
    std::vector<Difference> run(std::int64_t comparisons, std::vector<bool> explained,
                                double error = family_error) const;

  private:
    const Compared& compared_;
    std::int64_t comparisons_ = 0;
};

class ProofSearch {
  public:
    explicit ProofSearch(const AuditFacts& facts);
    std::int64_t comparisons() const;
    std::vector<Difference> run(std::int64_t comparisons, double error = family_error) const;

  private:
    struct Day {
        double error = 0;  // mean of the day's proofs, nm
        std::int64_t proofs = 0, from_ms = 0, to_ms = 0;
        std::string week;
    };
    struct Gauge {
        std::string name;
        double resolution = 0;
        std::vector<Day> days;
    };
    std::vector<Gauge> gauges_;
};

}  // namespace crimpgate::audit
