#include "reports/audit/compared.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <unordered_map>

#include <fmt/format.h>

#include "reports/statistics/chart_constants.h"
#include "reports/statistics/distributions.h"
#include "reports/statistics/moments.h"
#include "specs/dates.h"

namespace crimpgate::audit {

std::string_view value_code(Factor factor) {
    switch (factor) {
        case Factor::hose_lot:
            return "audit.value.hose_lot";
        case Factor::fitting_lot:
            return "audit.value.fitting_lot";
        case Factor::gauge_week:
            return "audit.value.gauge_week";
        case Factor::die_set:
            return "audit.value.die_set";
        case Factor::gauge:
            return "audit.value.gauge";
        case Factor::person:
            return "audit.value.operator";
        case Factor::end:
            return "audit.value.end";
        case Factor::spec:
            return "audit.value.spec";
        case Factor::day:
            return "audit.value.day";
        case Factor::week:
            return "audit.value.week";
        case Factor::setup:
            return "audit.value.setup";
    }
    return {};
}

std::string iso_week(std::string_view day) {
    const auto date = parse_date(day);
    if (!date) return {};
    using namespace std::chrono;
    const sys_days at{*date};
    // The week belongs to the year that its Thursday lies in.
    const sys_days thursday = at - (weekday{at} - Monday) + days{3};
    const year_month_day of{thursday};
    const int week = static_cast<int>((thursday - sys_days{of.year() / January / 1}).count()) / 7 + 1;
    return fmt::format("{:04}-W{:02}", static_cast<int>(of.year()), week);
}

namespace {

class Levels {
  public:
    explicit Levels(Compared& out) : out_(out) {}
    int of(Factor factor, std::string name) {
        if (name.empty()) return -1;
        const auto f = static_cast<std::size_t>(factor);
        const auto [at, fresh] = known_[f].try_emplace(std::move(name), static_cast<int>(out_.levels[f].size()));
        if (fresh) out_.levels[f].push_back(at->first);
        return at->second;
    }

  private:
    Compared& out_;
    std::array<std::unordered_map<std::string, int>, factor_count> known_;
};

// Where the set-up piece is not among the facts, one shift's work of a stream with one hose lot stands for it.
std::string setup_key(const EndView& view) {
    if (view.setup != nullptr) return count_text(view.setup->seq);
    return view.assembly->shift + "\n" + view.spec() + "\n" + view.revision() + "\n" + view.crimper() + "\n" +
           view.die_set() + "\n" + view.assembly->hose_lot;
}

std::string unit_key(const EndView& view) {
    if (view.setup != nullptr && view.setup->mounting_seq > 0) return "mounted " + count_text(view.setup->mounting_seq);
    return setup_key(view);
}

// first_setup: by which the mounting is named.
void fill_levels(ComparedEnd& end, const EndView& view, std::int64_t first_setup, Levels& levels) {
    const AssemblyFact& assembly = *view.assembly;
    const std::string day = assembly.shift.substr(0, 10);
    const std::string week = iso_week(day);
    const std::string gauge = view.gauges.empty() ? std::string() : std::string(view.gauges.front());
    const auto set = [&](Factor factor, std::string name) {
        end.level[static_cast<std::size_t>(factor)] = levels.of(factor, std::move(name));
    };
    set(Factor::hose_lot, assembly.hose_lot);
    set(Factor::fitting_lot, view.fitting_lot());
    set(Factor::gauge_week, gauge.empty() || week.empty() ? std::string() : gauge + ", " + week);
    set(Factor::die_set, view.die_set());
    set(Factor::gauge, gauge);
    set(Factor::person, view.end->person);
    set(Factor::end, view.end->end);
    set(Factor::spec, view.spec());
    set(Factor::day, week.empty() ? std::string() : day);
    set(Factor::week, week);
    set(Factor::setup, first_setup > 0 ? count_text(first_setup) : std::string());
}

double median(std::vector<double> values) {
    return statistics::quantile(values, 0.5).value_or(0);
}

// Sigma of ends from the differences of neighbours, which neither a jump nor one wild end spoils: the median of |d| is
// 0.6745 sqrt(2) sigma for normal errors.
double sigma_of_neighbours(const Compared& compared) {
    std::vector<double> steps;
    for (const ComparedSetup& setup : compared.setups)
        for (std::size_t k = 1; k < setup.ends.size(); ++k) {
            const ComparedEnd &a = compared.ends[setup.ends[k - 1]], &b = compared.ends[setup.ends[k]];
            if (a.level_known && b.level_known) steps.push_back(std::abs(b.value - a.value));
        }
    const double least = compared.resolution / std::sqrt(12.0);
    return std::max(median(std::move(steps)) / (0.6745 * std::sqrt(2.0)), least);
}

// An end that differs from the three before and from the three behind it is nobody's level: normal errors know no six
// sigma, and the crimp that stopped short would be named as a jump of its set-up. A bump has its like behind it.
void leave_out_the_wild(Compared& compared) {
    constexpr double wild = 6;  // sigmas, of an end against the median of three
    constexpr std::size_t beside = 3;
    const double limit = wild * sigma_of_neighbours(compared);
    std::vector<std::size_t> wild_ends;
    for (const ComparedSetup& setup : compared.setups) {
        std::vector<std::size_t> ends;
        for (const std::size_t i : setup.ends)
            if (compared.ends[i].level_known) ends.push_back(i);
        for (std::size_t k = 0; k < ends.size(); ++k) {
            // Too few to tell a level by: then the verdict does.
            if (ends.size() <= beside && !compared.ends[ends[k]].conforms) wild_ends.push_back(ends[k]);
            std::vector<double> before, behind;
            for (std::size_t o = k >= beside ? k - beside : 0; o < k; ++o)
                before.push_back(compared.ends[ends[o]].value);
            for (std::size_t o = k + 1; o < ends.size() && o <= k + beside; ++o)
                behind.push_back(compared.ends[ends[o]].value);
            const double value = compared.ends[ends[k]].value;
            const auto far = [&](const std::vector<double>& others) {
                return std::abs(value - median(others)) > limit;
            };
            // At the edge of a set-up one side must do, once it has three.
            if (before.empty() ? behind.size() == beside && far(behind)
                               : far(before) && (behind.empty() ? before.size() == beside : far(behind)))
                wild_ends.push_back(ends[k]);
        }
    }
    for (const std::size_t i : wild_ends)
        compared.ends[i].level_known = false;
}

}  // namespace

Compared compared_of(const Work& work) {
    Compared out;
    Levels levels(out);
    std::unordered_map<std::string, std::size_t> units, setups;
    std::vector<std::int64_t> first_setups;  // of the units
    std::int64_t first_ms = 0;
    for (const EndView& view : work.ends) {
        if (view.end->attempt != 1 || !view.last) continue;
        if (out.ends.empty()) first_ms = view.end->ms;
        const auto [at, fresh] = units.try_emplace(unit_key(view), out.units.size());
        if (fresh) {
            ComparedUnit unit;
            first_setups.push_back(view.setup != nullptr ? view.setup->seq : 0);
            unit.days = static_cast<double>(view.end->ms - first_ms) / 86'400'000;
            out.units.push_back(std::move(unit));
        }
        const auto [setup, begun] = setups.try_emplace(setup_key(view), out.setups.size());
        if (begun) out.setups.push_back({{}, view.setup != nullptr ? view.setup->seq : 0});
        ComparedEnd end;
        end.unit = at->second;
        end.setup = setup->second;
        end.level_known = view.point;
        end.value = view.off_middle;
        if (view.end->spread && view.stream != nullptr && view.stream->places >= 2)
            end.spread = static_cast<double>(view.end->spread->nm()) /
                         statistics::chart_constants(static_cast<int>(view.stream->places)).d2;
        end.conforms = view.end->verdict == "conforms";
        end.seq = view.end->seq;
        end.ms = view.end->ms;
        fill_levels(end, view, first_setups[at->second], levels);
        for (const ReadingFact* reading : view.readings)
            out.resolution = std::max(out.resolution, static_cast<double>(reading->resolution.nm()));
        out.units[at->second].ends.push_back(out.ends.size());
        out.setups[setup->second].ends.push_back(out.ends.size());
        out.ends.push_back(end);
    }
    leave_out_the_wild(out);
    return out;
}

}  // namespace crimpgate::audit
