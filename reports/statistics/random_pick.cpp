#include "reports/statistics/random_pick.h"

#include <algorithm>
#include <numeric>
#include <stdexcept>
#include <utility>

namespace crimpgate::statistics {
namespace {

// The first k places of the shuffled order of n; it takes only as many draws as those places need.
std::vector<std::size_t> first_of_shuffled(std::size_t n, std::size_t k, std::uint64_t seed) {
    std::vector<std::size_t> order(n);
    std::iota(order.begin(), order.end(), std::size_t{0});
    SplitMix64 random(seed);
    for (std::size_t i = 0; i < k && i + 1 < n; ++i)
        std::swap(order[i], order[i + random.below(n - i)]);
    order.resize(k);
    return order;
}

}  // namespace

std::uint64_t SplitMix64::draw() {
    state_ += 0x9E3779B97F4A7C15;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
    return z ^ (z >> 31);
}

std::uint64_t SplitMix64::below(std::uint64_t m) {
    if (m == 0) throw std::domain_error("SplitMix64::below: nothing is below 0");
    const std::uint64_t surplus = (0 - m) % m;  // 2^64 mod m
    for (;;) {
        const auto drawn = draw();
        if (drawn <= UINT64_MAX - surplus) return drawn % m;
    }
}

std::vector<std::size_t> shuffled_order(std::size_t n, std::uint64_t seed) {
    return first_of_shuffled(n, n, seed);
}

Result<std::vector<std::string>> pick_serials(std::span<const std::string> serials, std::size_t k, std::uint64_t seed) {
    if (serials.size() < k)
        return refuse(message("pick.too_few_serials")
                          .with("wanted", std::to_string(k))
                          .with("there", std::to_string(serials.size())));
    std::vector<std::string> sorted(serials.begin(), serials.end());
    std::sort(sorted.begin(), sorted.end());
    if (const auto twice = std::adjacent_find(sorted.begin(), sorted.end()); twice != sorted.end())
        return refuse(message("pick.twice_named").with("serial", *twice));
    std::vector<std::string> picked;
    for (const auto place : first_of_shuffled(sorted.size(), k, seed))
        picked.push_back(sorted[place]);
    return picked;
}

std::uint64_t part_seed(std::uint64_t seed, std::uint64_t i) {
    return SplitMix64(seed + i * 0x9E3779B97F4A7C15).draw();
}

std::string to_seed_text(std::uint64_t seed) {
    std::string text;
    for (int shift = 60; shift >= 0; shift -= 4)
        text += "0123456789abcdef"[(seed >> shift) & 15];
    return text;
}

Result<std::uint64_t> parse_seed(std::string_view text) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::uint64_t seed = 0;
    bool sound = text.size() == 16;
    for (const char c : text) {
        const auto digit = digits.find(c);
        sound = sound && digit != std::string_view::npos;
        seed = seed << 4 | (digit & 15);
    }
    if (!sound) return refuse(message("pick.seed_not_hex").with("found", text));
    return seed;
}

}  // namespace crimpgate::statistics
