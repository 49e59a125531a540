#include "tools/hand/story.h"

namespace crimpgate {

namespace {

constexpr std::int64_t oversize_part = 2;   // end A, first crimp
constexpr std::int64_t undersize_part = 3;  // end B
constexpr std::int64_t short_part = 4;      // end A, depth
constexpr std::int64_t close_part = 5;      // end A, between guard and limit at the first try
constexpr std::int64_t inch_part = 6;       // end B, one press in inches
constexpr std::int64_t unplugged_part = 7;  // end A, before its second flat

// No two crimps are alike; a spread of a few hundredths looks like a good one.
std::int64_t scatter_um(const Asked& asked) {
    const std::int64_t seed = asked.part * 31 + asked.flat * 17 + (asked.end == 'b' ? 11 : 0);
    return (seed % 5 - 2) * 10;
}

}  // namespace

Length true_size(const Asked& asked) {
    const bool crimp = asked.what == "crimp_diameter";
    if (crimp && asked.part == oversize_part && asked.end == 'a' && asked.attempt == 1)
        return asked.middle + Length::from_um(340 + scatter_um(asked));
    if (crimp && asked.part == undersize_part && asked.end == 'b' && asked.flat == 2)
        return asked.middle - Length::from_um(260);
    if (asked.what == "depth" && asked.part == short_part && asked.end == 'a')
        return asked.middle - Length::from_um(1400);
    // 0.20 mm to either side, and the guard takes 0.0198 mm of that: 0.19 is too close to call.
    if (crimp && asked.part == close_part && asked.end == 'a' && asked.flat == 3)
        return asked.middle + Length::from_um(asked.again ? 160 : 190);
    if (crimp && asked.part == close_part && asked.end == 'a') return asked.middle + 100_um;
    return asked.middle + Length::from_um(scatter_um(asked));
}

Mishap mishap_before(const Asked& asked) {
    if (asked.what != "crimp_diameter") return Mishap::none;
    if (asked.part == inch_part && asked.end == 'b' && asked.flat == 1) return Mishap::wrong_unit;
    if (asked.part == unplugged_part && asked.end == 'a' && asked.flat == 2) return Mishap::unplugged;
    return Mishap::none;
}

}  // namespace crimpgate
