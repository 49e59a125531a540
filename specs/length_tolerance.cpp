#include "specs/length_tolerance.h"

#include <array>
#include <optional>

namespace crimpgate {

namespace {

Length inches(std::int64_t eighths) {
    return Length::from_nm(eighths * Length::nm_per_inch / 8);
}

Length mm(std::int64_t value) {
    return Length::from_um(value * 1000);
}

Length sae_j517(Length overall) {
    // In eighths: 12, 18 and 36 in.
    if (overall <= inches(96)) return inches(1);
    if (overall <= inches(144)) return Length::from_nm(Length::nm_per_inch * 3 / 16);
    if (overall <= inches(288)) return inches(2);
    // The nearest n with n/8 in = 1 %: halves down.
    const std::int64_t eighths = overall.nm() / inches(1).nm();
    const std::int64_t rest = overall.nm() % inches(1).nm();
    const std::int64_t hundred_rest = eighths % 100 * inches(1).nm() + rest;  // of 100 eighths
    const std::int64_t half = 50 * inches(1).nm();
    return inches(eighths / 100 + (hundred_rest > half ? 1 : 0));
}

struct Tolerance {
    Length plus;
    Length minus;
};

std::optional<Tolerance> din_20066(Length overall, std::int64_t dash) {
    struct Row {
        std::int64_t up_to_mm;
        std::array<std::int64_t, 2> small, middle, large;  // plus, minus; {0, 0}: not known
    };
    static constexpr std::array<Row, 3> rows{{
        {630, {7, 3}, {12, 4}, {25, 6}},
        {1250, {12, 4}, {20, 6}, {0, 0}},
        {2500, {20, 6}, {25, 6}, {0, 0}},
    }};
    if (dash < 3 || dash > 64 || (dash > 32 && dash < 40)) return std::nullopt;
    for (const auto& row : rows) {
        if (overall > mm(row.up_to_mm)) continue;
        const auto& cell = dash <= 16 ? row.small : dash <= 32 ? row.middle : row.large;
        if (cell[0] == 0) return std::nullopt;
        return Tolerance{mm(cell[0]), mm(cell[1])};
    }
    const std::int64_t factor = overall <= mm(8000) ? 1 : 2;  // 1.5 / 0.5 %, over 8 m 3 / 1 %
    return Tolerance{Length::from_nm(overall.nm() / 1000 * 15 * factor + overall.nm() % 1000 * 15 * factor / 1000),
                     Length::from_nm(overall.nm() / 1000 * 5 * factor + overall.nm() % 1000 * 5 * factor / 1000)};
}

}  // namespace

Result<Toleranced> toleranced_length(Length overall, LengthRule rule, std::int64_t dash) {
    if (overall <= Length{}) return refuse(message("length_tolerance.length").with("length", overall.to_mm_text(3)));
    if (rule == LengthRule::sae_j517) {
        const auto t = sae_j517(overall);
        return Toleranced{overall, t, t};
    }
    const auto t = din_20066(overall, dash);
    if (!t)
        return refuse(message("length_tolerance.not_known")
                          .with("dash", std::to_string(dash))
                          .with("length", overall.to_mm_text(3)));
    return Toleranced{overall, t->minus, t->plus};
}

}  // namespace crimpgate
