// A random choice that any stranger can work out again from its recorded seed, in thirty years and in any language.
//
// The whole algorithm, in 64-bit unsigned arithmetic that wraps around:
//
//   draw:      state += 0x9E3779B97F4A7C15
//              z = state
//              z = (z xor (z >> 30)) * 0xBF58476D1CE4E5B9
//              z = (z xor (z >> 27)) * 0x94D049BB133111EB
//              the draw is z xor (z >> 31); the state starts as the seed
//              (SplitMix64: Steele, Lea, Flood, OOPSLA 2014; constants as published by S. Vigna, public domain)
//   below(m):  r = 2^64 mod m; draw until the draw is less than 2^64 - r; that draw mod m. Each of 0 .. m - 1 is
//   equally
//              likely. below(1) draws too.
//   shuffled:  a = 0, 1, .. n - 1; for i = 0, 1, .. n - 2: exchange a[i] and a[i + below(n - i)]
//   pick k:    the serials sorted by their bytes, without repetition; the first k places of the shuffled order of all
//   of
//              them. So a pick of k is the beginning of a pick of k + 1 from the same serials and seed.
//
// The standard library's distributions are not used: they give other numbers in other libraries.
// The seed must be recorded before anyone could know what it picks.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "specs/message.h"

namespace crimpgate::statistics {

class SplitMix64 {
  public:
    explicit SplitMix64(std::uint64_t seed) : state_(seed) {}
    std::uint64_t draw();
    // m > 0, else std::domain_error.
    std::uint64_t below(std::uint64_t m);

  private:
    std::uint64_t state_;
};

// The numbers 0 .. n - 1 in random order.
std::vector<std::size_t> shuffled_order(std::size_t n, std::uint64_t seed);

// k of the serials, in the order drawn. Refused: "pick.too_few_serials" when there are fewer than k, "pick.twice_named"
// when a serial stands in the list twice.
Result<std::vector<std::string>> pick_serials(std::span<const std::string> serials, std::size_t k, std::uint64_t seed);

// The seed of part number i of a larger plan (an operator, a round): draw number i + 1 from SplitMix64(seed).
std::uint64_t part_seed(std::uint64_t seed, std::uint64_t i);

// A seed as it is recorded: sixteen small hexadecimal digits, since a JSON number does not hold 64 bits. Refused:
// "pick.seed_not_hex".
std::string to_seed_text(std::uint64_t seed);
Result<std::uint64_t> parse_seed(std::string_view text);

}  // namespace crimpgate::statistics
