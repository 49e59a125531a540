#include "reports/statistics/anova.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include "reports/statistics/compensated.h"
#include "reports/statistics/distributions.h"

namespace crimpgate::statistics {
namespace {

using Shifted = std::vector<long double>;

long double square(long double x) {
    return x * x;
}

// Equal values have themselves as their mean, without a rounding that would look like a spread.
long double mean_of_shifted(const Shifted& values) {
    if (std::all_of(values.begin(), values.end(), [&](long double x) { return x == values.front(); }))
        return values.front();
    CompensatedSum sum;
    for (const auto x : values)
        sum.add(x);
    return sum.value() / static_cast<long double>(values.size());
}

void add_squares(CompensatedSum& sum, const Shifted& values, long double centre) {
    for (const auto x : values)
        sum.add(square(x - centre));
}

// The grand mean of the original values, and those values shifted by it. The shifted values' mean is not quite 0 (the
// mean itself is rounded), so whatever is computed from them subtracts it again.
class Shift {
  public:
    explicit Shift(std::span<const double> all) : by_(mean_of(all)) {
        long double largest = 0;
        for (const double x : all)
            largest = std::max(largest, std::abs(x - by_));
        const auto rounding = 16 * std::numeric_limits<long double>::epsilon() * largest;
        noise_ = square(rounding) * static_cast<long double>(all.size());
    }
    Shifted operator()(const std::vector<double>& values) const {
        Shifted out;
        out.reserve(values.size());
        for (const double x : values)
            out.push_back(x - by_);
        return out;
    }
    double back(long double shifted) const { return static_cast<double>(shifted + by_); }
    // A sum of squares no larger than what rounding alone makes is none: appraisers who read alike would otherwise
    // differ significantly from a rounding.
    Source source(const CompensatedSum& squares, long double times, std::size_t df) const {
        const auto ss = squares.value() * times;
        return {ss > noise_ ? static_cast<double>(ss) : 0.0, static_cast<int>(df)};
    }

  private:
    long double by_, noise_ = 0;
};

std::vector<double> joined(std::span<const std::vector<double>> groups) {
    std::vector<double> all;
    for (const auto& g : groups)
        all.insert(all.end(), g.begin(), g.end());
    return all;
}

Message cell_incomplete(std::size_t a, std::size_t b, std::size_t found, std::size_t expected) {
    return message("statistics.cell_incomplete")
        .with("a", std::to_string(a + 1))
        .with("b", std::to_string(b + 1))
        .with("found", std::to_string(found))
        .with("expected", std::to_string(expected));
}

// Every cell as full as the fullest: whoever compares with the first might blame the wrong one.
std::optional<Message> what_is_missing(const std::vector<std::vector<std::vector<double>>>& cells) {
    std::size_t levels_b = 0, replicates = 0;
    for (const auto& row : cells) {
        levels_b = std::max(levels_b, row.size());
        for (const auto& cell : row)
            replicates = std::max(replicates, cell.size());
    }
    if (cells.size() < 2 || levels_b < 2)
        return message("statistics.too_few_levels")
            .with("a", std::to_string(cells.size()))
            .with("b", std::to_string(levels_b));
    for (std::size_t a = 0; a < cells.size(); ++a)
        for (std::size_t b = 0; b < levels_b; ++b) {
            const auto found = b < cells[a].size() ? cells[a][b].size() : 0;
            if (found != replicates || found == 0)
                return cell_incomplete(a, b, found, std::max<std::size_t>(1, replicates));
        }
    if (replicates < 2) return message("statistics.no_replicates");
    return std::nullopt;
}

}  // namespace

std::optional<FTest> f_test(const Source& source, const Source& error) {
    if (source.df < 1 || error.df < 1 || !(error.ss > 0)) return std::nullopt;
    const double f = source.ms() / error.ms();
    return FTest{f, fisher_upper(f, source.df, error.df)};
}

Result<OneWay> one_way(std::span<const std::vector<double>> groups) {
    if (groups.size() < 2)
        return refuse(message("statistics.too_few_groups").with("found", std::to_string(groups.size())));
    for (std::size_t i = 0; i < groups.size(); ++i)
        if (groups[i].empty()) return refuse(message("statistics.empty_group").with("group", std::to_string(i + 1)));
    const auto all = joined(groups);
    if (all.size() == groups.size()) return refuse(message("statistics.no_repeats"));

    const Shift shift(all);
    const auto grand = mean_of_shifted(shift(all));
    CompensatedSum between, within;
    for (const auto& group : groups) {
        const auto shifted = shift(group);
        const auto mean = mean_of_shifted(shifted);
        between.add(static_cast<long double>(group.size()) * square(mean - grand));
        add_squares(within, shifted, mean);
    }

    OneWay out;
    out.groups = groups.size();
    out.values = all.size();
    out.grand_mean = shift.back(grand);
    out.between = shift.source(between, 1, groups.size() - 1);
    out.within = shift.source(within, 1, all.size() - groups.size());
    out.test = f_test(out.between, out.within);
    const double total = out.between.ss + out.within.ss;
    if (total > 0) out.r_squared = out.between.ss / total;
    out.residual_sd = std::sqrt(out.within.ms());
    return out;
}

Result<TwoWay> two_way(const std::vector<std::vector<std::vector<double>>>& cells) {
    if (auto missing = what_is_missing(cells)) return refuse(std::move(*missing));
    TwoWay out;
    out.levels_a = cells.size();
    out.levels_b = cells.front().size();
    out.replicates = cells.front().front().size();

    std::vector<double> all;
    for (const auto& row : cells) {
        const auto part = joined(row);
        all.insert(all.end(), part.begin(), part.end());
    }
    const Shift shift(all);
    const auto grand = mean_of_shifted(shift(all));
    out.grand_mean = shift.back(grand);

    // Cell means, and from them (every cell is as full as any other) those of the levels.
    std::vector<Shifted> mean_ab(out.levels_a, Shifted(out.levels_b));
    CompensatedSum error, total;
    for (std::size_t i = 0; i < out.levels_a; ++i)
        for (std::size_t j = 0; j < out.levels_b; ++j) {
            const auto shifted = shift(cells[i][j]);
            mean_ab[i][j] = mean_of_shifted(shifted);
            add_squares(error, shifted, mean_ab[i][j]);
            add_squares(total, shifted, grand);
        }
    Shifted mean_a, mean_b;
    for (const auto& row : mean_ab)
        mean_a.push_back(mean_of_shifted(row));
    for (std::size_t j = 0; j < out.levels_b; ++j) {
        Shifted column;
        for (const auto& row : mean_ab)
            column.push_back(row[j]);
        mean_b.push_back(mean_of_shifted(column));
    }

    CompensatedSum a, b, interaction;
    add_squares(a, mean_a, grand);
    add_squares(b, mean_b, grand);
    for (std::size_t i = 0; i < out.levels_a; ++i)
        for (std::size_t j = 0; j < out.levels_b; ++j)
            interaction.add(square(mean_ab[i][j] - mean_a[i] - mean_b[j] + grand));

    const auto n = out.replicates, p = out.levels_a, q = out.levels_b;
    out.a = shift.source(a, static_cast<long double>(q * n), p - 1);
    out.b = shift.source(b, static_cast<long double>(p * n), q - 1);
    out.interaction = shift.source(interaction, static_cast<long double>(n), (p - 1) * (q - 1));
    out.error = shift.source(error, 1, p * q * (n - 1));
    out.total = shift.source(total, 1, p * q * n - 1);
    for (const auto m : mean_a)
        out.means_a.push_back(shift.back(m));
    for (const auto m : mean_b)
        out.means_b.push_back(shift.back(m));
    return out;
}

}  // namespace crimpgate::statistics
