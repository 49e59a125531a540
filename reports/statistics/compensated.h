// A sum whose error does not grow with the number of its terms.
//
// Source: A. Neumaier, Zeitschrift für Angewandte Mathematik und Mechanik 54 (1974) 39-51. In long double, which on a
// PC carries 11 bits more than double; where it carries none more, the compensation alone still holds. Unit: that of
// the terms.
#pragma once

#include <cmath>
#include <cstddef>
#include <span>

namespace crimpgate::statistics {

class CompensatedSum {
  public:
    void add(long double term) {
        const long double next = sum_ + term;
        lost_ += std::abs(sum_) >= std::abs(term) ? (sum_ - next) + term : (term - next) + sum_;
        sum_ = next;
    }
    long double value() const { return sum_ + lost_; }

  private:
    long double sum_ = 0, lost_ = 0;
};

// Not rounded to double: what is subtracted from it next would show the rounding. 0 without values.
inline long double mean_of(std::span<const double> values) {
    CompensatedSum sum;
    for (const double x : values)
        sum.add(x);
    return values.empty() ? 0 : sum.value() / static_cast<long double>(values.size());
}

// Sum of (x - centre)^2 around the values' own mean; `centre` is that mean but for rounding, and the second term takes
// out what the rounding put in.
inline long double squared_deviations_of(std::span<const double> values, long double centre) {
    CompensatedSum squares, remainder;
    for (const double x : values) {
        const long double d = x - centre;
        squares.add(d * d);
        remainder.add(d);
    }
    if (values.empty()) return 0;
    const long double r = remainder.value();
    return squares.value() - r * r / static_cast<long double>(values.size());
}

}  // namespace crimpgate::statistics
