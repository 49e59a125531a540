#include "specs/judgement.h"

#include <algorithm>
#include <limits>
#include <utility>

namespace crimpgate {

namespace {

// A wild reading must come out as a wild difference, not as an overflow.
Length difference(Length a, Length b) {
    std::int64_t nm = 0;
    if (__builtin_sub_overflow(a.nm(), b.nm(), &nm))
        nm = a < b ? std::numeric_limits<std::int64_t>::min() : std::numeric_limits<std::int64_t>::max();
    return Length::from_nm(nm);
}

bool one_sided(Characteristic what) {
    return what == Characteristic::spread || what == Characteristic::mark_before || what == Characteristic::mark_after;
}

Finding judge_two_sided(const Band& band, Length guard, Length value) {
    Finding f;
    f.verdict = decide(band, guard, value);
    f.value = value;
    f.lower = band.lower;
    f.upper = band.upper;
    f.guard = guard;
    const auto above_lower = difference(value, band.lower);
    const auto below_upper = difference(band.upper, value);
    f.margin = std::min(above_lower, below_upper);
    if (f.verdict != Verdict::conforms) f.side = above_lower < below_upper ? Side::below : Side::above;
    return f;
}

Finding judge_one_sided(Length upper, Length guard, Length value) {
    Finding f;
    f.verdict = decide_upper(upper, guard, value);
    f.value = value;
    f.upper = upper;
    f.guard = guard;
    f.margin = value < Length{} ? value : difference(upper, value);
    if (f.verdict != Verdict::conforms) f.side = value < Length{} ? Side::below : Side::above;
    return f;
}

Finding confirmed(Characteristic what, bool good, std::optional<MarkSeen> seen = std::nullopt) {
    Finding f;
    f.what = what;
    f.verdict = good ? Verdict::conforms : Verdict::fails;
    f.seen = seen;
    return f;
}

std::optional<Finding> judge_mark(const SpecRow& row, Characteristic what, const std::optional<Measured>& measured,
                                  std::optional<MarkSeen> seen) {
    if (row.mark_check == MarkCheck::by_sight) {
        if (!seen) return std::nullopt;
        return confirmed(what, *seen == MarkSeen::at_edge, seen);
    }
    if (seen == MarkSeen::hidden) return confirmed(what, false, seen);
    if (!measured) return std::nullopt;
    return judge_length(row, what, 0, *measured);
}

// The row's flats in its order, then any other flat in the order of its number; the latest reading of each.
std::vector<PlaceReading> readings_that_count(const SpecRow& row, const std::vector<PlaceReading>& given) {
    std::vector<std::int64_t> order = row.flats;
    std::vector<std::int64_t> others;
    for (const auto& reading : given)
        if (std::find(order.begin(), order.end(), reading.flat) == order.end()) others.push_back(reading.flat);
    std::sort(others.begin(), others.end());
    others.erase(std::unique(others.begin(), others.end()), others.end());
    order.insert(order.end(), others.begin(), others.end());

    std::vector<PlaceReading> counting;
    for (const auto flat : order) {
        const auto latest =
            std::find_if(given.rbegin(), given.rend(), [flat](const auto& r) { return r.flat == flat; });
        if (latest != given.rend()) counting.push_back(*latest);
    }
    return counting;
}

bool all_flats_read(const SpecRow& row, const std::vector<PlaceReading>& counting) {
    // A row without flats is no row; should one appear, no crimp of it is ever complete.
    return !row.flats.empty() && std::all_of(row.flats.begin(), row.flats.end(), [&](std::int64_t flat) {
        return std::any_of(counting.begin(), counting.end(), [flat](const auto& r) { return r.flat == flat; });
    });
}

// To the nearest nm, half to even.
Length mean_of(const std::vector<PlaceReading>& readings) {
    __extension__ using Wide = __int128;
    Wide sum = 0;
    for (const auto& r : readings)
        sum += r.measured.value.nm();
    const auto n = static_cast<Wide>(readings.size());
    Wide quotient = sum / n;
    Wide rest = sum % n;
    if (rest < 0) {
        rest += n;
        quotient -= 1;
    }
    if (2 * rest > n || (2 * rest == n && quotient % 2 != 0)) quotient += 1;
    return Length::from_nm(static_cast<std::int64_t>(quotient));
}

// Collects findings and what is missing, in the order in which it is told.
class Sheet {
  public:
    void put(bool asked, Characteristic what, const std::optional<Finding>& finding) {
        if (!asked) return;
        if (finding)
            add(*finding);
        else
            judgement.missing.push_back(what);
    }
    void add(const Finding& finding) {
        if (finding.verdict == Verdict::fails)
            judgement.verdict = Verdict::fails;
        else if (finding.verdict == Verdict::uncertain && judgement.verdict == Verdict::conforms)
            judgement.verdict = Verdict::uncertain;
        judgement.findings.push_back(finding);
    }

    EndJudgement judgement{Verdict::conforms, {}, {}, {}, {}, 0};
};

void judge_crimp(const SpecRow& row, const std::vector<PlaceReading>& given, Sheet& sheet) {
    const auto readings = readings_that_count(row, given);
    auto& judgement = sheet.judgement;
    for (const auto& r : readings)
        if (const auto f = judge_length(row, Characteristic::crimp_diameter, r.flat, r.measured)) sheet.add(*f);
    const bool all = all_flats_read(row, readings);
    if (!all) judgement.missing.push_back(Characteristic::crimp_diameter);
    if (readings.empty()) return;

    judgement.mean = mean_of(readings);
    const auto band = row.crimp.band();
    double least = 1.0;
    for (const auto& r : readings)
        least = std::min(least, conformity_probability(band, r.measured.value, r.measured.uncertainty));
    judgement.conformity_ppm = static_cast<std::int64_t>(least * 1'000'000.0);

    if (!all || readings.size() < 2) return;
    const auto [low, high] = std::minmax_element(readings.begin(), readings.end(), [](const auto& a, const auto& b) {
        return a.measured.value < b.measured.value;
    });
    const auto coarsest = std::max_element(readings.begin(), readings.end(), [](const auto& a, const auto& b) {
        return a.measured.uncertainty < b.measured.uncertainty;
    });
    judgement.spread = difference(high->measured.value, low->measured.value);
    if (const auto f =
            judge_length(row, Characteristic::spread, 0, {*judgement.spread, coarsest->measured.uncertainty}))
        sheet.add(*f);
}

}  // namespace

std::string_view code_of(Characteristic what) {
    switch (what) {
        case Characteristic::skive_outer:
            return "skive_outer";
        case Characteristic::skive_inner:
            return "skive_inner";
        case Characteristic::depth:
            return "depth";
        case Characteristic::lubricant:
            return "lubricant";
        case Characteristic::mark_before:
            return "mark_before";
        case Characteristic::crimp_diameter:
            return "crimp_diameter";
        case Characteristic::spread:
            return "spread";
        case Characteristic::mark_after:
            return "mark_after";
        case Characteristic::bore_pin:
            return "bore_pin";
    }
    return "";
}

std::optional<Band> band_of(const SpecRow& row, Characteristic what) {
    switch (what) {
        case Characteristic::skive_outer:
            if (row.skive == Skive::none || !row.skive_outer) return std::nullopt;
            return row.skive_outer->band();
        case Characteristic::skive_inner:
            if (row.skive != Skive::inner_and_outer || !row.skive_inner) return std::nullopt;
            return row.skive_inner->band();
        case Characteristic::depth:
            return row.depth.band();
        case Characteristic::mark_before:
        case Characteristic::mark_after:
            if (row.mark_check != MarkCheck::measured) return std::nullopt;
            return Band{Length{}, row.mark_edge_limit};
        case Characteristic::crimp_diameter:
            return row.crimp.band();
        case Characteristic::spread:
            if (row.flats.size() < 2) return std::nullopt;
            return Band{Length{}, row.spread_limit};
        case Characteristic::lubricant:
        case Characteristic::bore_pin:
            return std::nullopt;
    }
    return std::nullopt;
}

std::optional<Finding> judge_length(const SpecRow& row, Characteristic what, std::int64_t flat, Measured measured) {
    const auto band = band_of(row, what);
    if (!band) return std::nullopt;
    const auto u =
        what == Characteristic::spread ? uncertainty_of_difference(measured.uncertainty) : measured.uncertainty;
    const auto guard = guard_of(row.rule, u);
    auto f = one_sided(what) ? judge_one_sided(band->upper, guard, measured.value)
                             : judge_two_sided(*band, guard, measured.value);
    f.what = what;
    if (what == Characteristic::crimp_diameter) f.flat = flat;
    return f;
}

EndJudgement judge_end(const SpecRow& row, const EndReadings& readings) {
    Sheet sheet;
    const auto put_length = [&](bool asked, Characteristic what, const std::optional<Measured>& measured) {
        sheet.put(asked, what, measured ? judge_length(row, what, 0, *measured) : std::nullopt);
    };
    put_length(row.skive != Skive::none, Characteristic::skive_outer, readings.skive_outer);
    put_length(row.skive == Skive::inner_and_outer, Characteristic::skive_inner, readings.skive_inner);
    put_length(true, Characteristic::depth, readings.depth);
    sheet.put(
        !row.lubricant.empty(), Characteristic::lubricant,
        readings.lubricated ? std::optional(confirmed(Characteristic::lubricant, *readings.lubricated)) : std::nullopt);
    sheet.put(true, Characteristic::mark_before,
              judge_mark(row, Characteristic::mark_before, readings.mark_before_measured, readings.mark_before_seen));
    judge_crimp(row, readings.crimps, sheet);
    sheet.put(true, Characteristic::mark_after,
              judge_mark(row, Characteristic::mark_after, readings.mark_after_measured, readings.mark_after_seen));
    sheet.put(
        row.bore_pin.has_value(), Characteristic::bore_pin,
        readings.pin_passed ? std::optional(confirmed(Characteristic::bore_pin, *readings.pin_passed)) : std::nullopt);
    return std::move(sheet.judgement);
}

}  // namespace crimpgate
