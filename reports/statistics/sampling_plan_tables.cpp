#include "reports/statistics/sampling_plan_tables.h"

#include <array>

// Columns: AQL 0.010 0.015 0.025 0.040 0.065 0.10 0.15 0.25 0.40 0.65 1.0 1.5 2.5 4.0 6.5 10 15 25 40 65 100 150 250
// 400 650 1000. Rows of the reduced table: A, B and C have one sample size, so that an arrow between them and the plan
// it leads to are the same; the plan is written.
namespace crimpgate::statistics {
namespace {

using Row = SamplingTableRow;

// clang-format off
constexpr std::array<Row, 16> normal = {{
    {2, "v v v v v v v v v v v v v v 0 v v 1 2 3 5 7 10 14 21 30"},  // A
    {3, "v v v v v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 30 44"},  // B
    {5, "v v v v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 30 44 ^"},  // C
    {8, "v v v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 30 44 ^ ^"},  // D
    {13, "v v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 30 44 ^ ^ ^"},  // E
    {20, "v v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^"},  // F
    {32, "v v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^"},  // G
    {50, "v v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^"},  // H
    {80, "v v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // J
    {125, "v v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // K
    {200, "v v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // L
    {315, "v v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // M
    {500, "v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // N
    {800, "v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // P
    {1250, "0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // Q
    {2000, "^ ^ 1 2 3 5 7 10 14 21 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // R
}};

constexpr std::array<Row, 17> tightened = {{
    {2, "v v v v v v v v v v v v v v v v v v 1 2 3 5 8 12 18 27"},  // A
    {3, "v v v v v v v v v v v v v v 0 v v 1 2 3 5 8 12 18 27 41"},  // B
    {5, "v v v v v v v v v v v v v 0 v v 1 2 3 5 8 12 18 27 41 ^"},  // C
    {8, "v v v v v v v v v v v v 0 v v 1 2 3 5 8 12 18 27 41 ^ ^"},  // D
    {13, "v v v v v v v v v v v 0 v v 1 2 3 5 8 12 18 27 41 ^ ^ ^"},  // E
    {20, "v v v v v v v v v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^"},  // F
    {32, "v v v v v v v v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^"},  // G
    {50, "v v v v v v v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^"},  // H
    {80, "v v v v v v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // J
    {125, "v v v v v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // K
    {200, "v v v v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // L
    {315, "v v v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // M
    {500, "v v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // N
    {800, "v v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // P
    {1250, "v 0 v v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // Q
    {2000, "0 ^ v 1 2 3 5 8 12 18 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // R
    {3150, "^ ^ 1 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // S
}};

constexpr std::array<Row, 16> reduced = {{
    {2, "v v v v v v v v v v v v 0/1 0/1 0/1 0/2 0/2 1/2 2/3 3/4 5/6 7/8 10/11 14/15 21/22 30/31"},  // A
    {2, "v v v v v v v v v v v v 0/1 0/1 0/1 0/2 0/2 1/3 2/4 3/5 5/6 7/8 10/11 14/15 21/22 30/31"},  // B
    {2, "v v v v v v v v v v v v 0/1 0/1 v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 14/17 21/24 30/31"},  // C
    {3, "v v v v v v v v v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 14/17 21/24 ^ ^"},  // D
    {5, "v v v v v v v v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 14/17 21/24 ^ ^ ^"},  // E
    {8, "v v v v v v v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^"},  // F
    {13, "v v v v v v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^"},  // G
    {20, "v v v v v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^"},  // H
    {32, "v v v v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // J
    {50, "v v v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // K
    {80, "v v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // L
    {125, "v v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // M
    {200, "v v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // N
    {315, "v 0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // P
    {500, "0/1 ^ v 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // Q
    {800, "^ ^ 0/2 1/3 1/4 2/5 3/6 5/8 7/10 10/13 ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^ ^"},  // R
}};
// clang-format on

}  // namespace

std::span<const SamplingTableRow> table_normal() {
    return normal;
}
std::span<const SamplingTableRow> table_tightened() {
    return tightened;
}
std::span<const SamplingTableRow> table_reduced() {
    return reduced;
}

}  // namespace crimpgate::statistics
