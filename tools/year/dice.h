// Chance for the generated year, the same on every machine: mt19937_64 is fixed by the C++ standard, and the normal
// numbers are made here by Box and Muller's formula (Ann. Math. Statist. 29, 610-611, 1958; from memory).
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace crimpgate::year {

class Dice {
  public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    double uniform() { return (static_cast<double>(engine_() >> 11) + 0.5) / 9007199254740992.0; }  // 2^53
    double normal(double sd) {
        const double u = uniform();
        return sd * std::sqrt(-2 * std::log(u)) * std::cos(2 * std::numbers::pi * uniform());
    }
    bool chance(double probability) { return uniform() < probability; }
    // Whole numbers from least to most, both inclusive.
    std::int64_t between(std::int64_t least, std::int64_t most) {
        return least + static_cast<std::int64_t>(engine_() % static_cast<std::uint64_t>(most - least + 1));
    }

  private:
    std::mt19937_64 engine_;
};

}  // namespace crimpgate::year
