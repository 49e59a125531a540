// Is a running set-up drifting? Asked after every end, before parts fail.
//
// Looks at the means of the ends since the set-up piece, and at the spread within each. It warns; it decides no pass.
//
// - Run rules (run_rules.h) on the end means, as individuals: against frozen limits, or else, from the 21st end on,
//   against the mean of the first twenty and their mean moving range / d2(2).
// - Six steadily rising or falling needs no limits and is asked from the sixth end on. What it costs in false alarms,
//   for independent means without ties: of the 720 orders of six values 2 are steady, so it is 1 in 360 at each end
//   from the sixth on. Neighbouring sixes share five values, so that alarms come in clumps and the first is later than
//   that says: from an even chance of all orders of n values, counted one value after the other by its rank among
//   those before, a set-up of 20 ends has a false alarm with a chance of 3.6 %, of 30 with 5.9 %, of 50 with 10.3 %;
//   on average the first comes at the 422nd end. Equal neighbours break a steady move, so a caliper's steps, which
//   make ties, make false alarms fewer, never more.
// - The share of single readings to be expected outside the acceptance zone, from a normal distribution around the
//   exponentially weighted mean (ewma.h) whose variance is that of end means and that within ends together. Within an
//   end sigma is the mean spread of its places / d2(places).
// - Sigma of the means is taken as no less than the gauge's resolution / sqrt 12: a caliper's steps hide what is
//   smaller, and limits narrower than that would fire at the steps themselves.
// The correction is the way from the weighted mean back to the middle of the band.
//
// Lengths are whole nanometres as doubles. Precondition (std::domain_error): as many spreads as means, places >= 1,
// upper > lower, weight in (0, 1].
#pragma once

#include <optional>
#include <vector>

#include "reports/statistics/control_chart.h"
#include "reports/statistics/run_rules.h"

namespace crimpgate::statistics {

struct Running {
    std::vector<double> means;  // of ends, since the set-up piece
    std::vector<double> spreads;
    int places = 1;
    double accept_lower = 0, accept_upper = 0;  // where a reading conforms: the band less its guards
    double middle = 0;                          // of the band
    double resolution = 0;                      // of the gauge
    std::optional<Limits> frozen;
};

struct DriftChoice {
    RunRules rules{RunRule::beyond_three_sigma, RunRule::nine_on_one_side, RunRule::six_steadily_moving};
    double weight = 0.2;        // of the newest mean
    double share_limit = 0.01;  // of readings outside the acceptance zone
    std::size_t base = 20;      // ends that limits are reckoned from when none are frozen
    std::size_t least = 8;      // ends before an expected share means anything
};

struct DriftState {
    std::optional<Limits> limits;  // nothing until there are enough ends
    std::vector<Signal> signals;   // that end at the last end
    double level = 0;              // weighted mean
    double sigma = 0;              // of end means
    double share = 0;              // 0 to 1; 0 until there are enough ends
    bool warns = false;
    double correction = 0;  // of the diameter: negative closes
};

// Nothing without a mean.
std::optional<DriftState> drift_state(const Running& running, const DriftChoice& choice = {});

}  // namespace crimpgate::statistics
