"""Exact figures of samples beside each other: analysis of variance, charts of subgroups, gauge studies, agreement."""
from collections import Counter

from mpmath import mp, mpf

import exact_ground as ground
from exact_ground import c4, f_of, mean, sd, squares
from exact_samples import UPPER_95, neighbours, patnaik, say_capability, say_chart, say_indices, size


def said(value):
    return "-" if value is None else value


# Of the sum of all squares, or of 1 for an F: a last bit of that is nought but for rounding.
DUST = mpf(10) ** -15


def say_source(out, prefix, ss, df, error_ss, error_df, total_ss):
    f, p = f_of(ss, df, error_ss, error_df)
    out.say(prefix + ".ss", ss, DUST * total_ss)
    out.say(prefix + ".df", mpf(df))
    out.say(prefix + ".f", said(f), DUST)
    out.say(prefix + ".p", said(p))


def say_groups(case, out):
    groups = [[mpf(float(w)) for w in words] for words in case.all("group")]
    every = [v for g in groups for v in g]
    filled = [g for g in groups if g]
    within_ss, within_df = mp.fsum(squares(g) for g in filled), len(every) - len(filled)
    if len(groups) < 2 or len(filled) < len(groups) or within_df == 0:
        out.refused("anova.between.ss")
    else:
        m = mean(every)
        between = mp.fsum(len(g) * (mean(g) - m) ** 2 for g in groups)
        say_source(out, "anova.between", between, len(groups) - 1, within_ss, within_df, between + within_ss)
        parts = [v for v in (between, within_ss) if v > DUST * squares(every)]
        out.say("condition", size(every) * mp.sqrt(len(every) / min(parts)) if parts else mpf(0))
        out.say("anova.within.ss", within_ss)
        out.say("anova.within.df", mpf(within_df))
        out.say("anova.grand_mean", m, size(every))
        out.say("anova.residual_sd", mp.sqrt(within_ss / within_df))
        out.say("anova.r_squared", said(between / (between + within_ss) if between + within_ss else None))
    say_subgroup_charts(groups, every, out)

    several = [g for g in groups if len(g) > 1]
    estimates = {"pooled": (None, None), "by_range": (None, None), "by_s": (None, None)}
    if several:
        k = len(several)
        constants = [ground.range_constants(len(g)) for g in several]
        estimates["pooled"] = mp.sqrt(within_ss / within_df), mpf(within_df)
        estimates["by_range"] = (mean([(max(g) - min(g)) / d2 for g, (d2, _) in zip(several, constants)]),
                                 patnaik(mp.fsum((d3 / d2) ** 2 for d2, d3 in constants) / k ** 2))
        estimates["by_s"] = (mean([sd(g) / c4(len(g)) for g in several]),
                             patnaik(mp.fsum(1 / c4(len(g)) ** 2 - 1 for g in several) / k ** 2))
    if several or len(every) < 2:
        say_capability(out, case, every, *estimates["pooled"])
    else:  # single values: their sigma within is that of neighbours, whatever was asked for
        estimates = dict.fromkeys(estimates, neighbours(every))
        say_capability(out, case, every, *estimates["pooled"])
    for name in ("by_range", "by_s"):
        say_indices(out, name + ".", case, every, *estimates[name])


def say_subgroup_charts(groups, every, out):
    sizes = [len(g) for g in groups]
    too_small = min(sizes) < 2 or len(groups) < 2
    if too_small or len(set(sizes)) > 1 or all(squares(g) == 0 for g in groups):
        out.refused("mean_and_range.sigma_within")
    else:
        constants = ground.range_constants(sizes[0])
        sigma = mean([max(g) - min(g) for g in groups]) / constants[0]
        say_chart(out, "mean_and_range", mean(every), sigma, sizes[0], constants, size(every))
    if too_small or all(squares(g) == 0 for g in groups):
        return out.refused("mean_and_s.sigma_within")
    # Weighted by the reciprocals of the variances of s / c4.
    weights = [c4(n) ** 2 / (1 - c4(n) ** 2) for n in sizes]
    sigma = mp.fsum(w * sd(g) / c4(len(g)) for w, g in zip(weights, groups)) / mp.fsum(weights)
    times = Counter(sizes)
    usual = min(n for n in times if times[n] == max(times.values()))
    constants = c4(usual), mp.sqrt(1 - c4(usual) ** 2)
    say_chart(out, "mean_and_s", mean(every), sigma, usual, constants, size(every))


def two_way_of(cells, p, q, n):
    every = [v for cell in cells.values() for v in cell]
    m = mean(every)
    row = {i: mean([v for (a, _), c in cells.items() if a == i for v in c]) for i in range(1, p + 1)}
    column = {j: mean([v for (_, b), c in cells.items() if b == j for v in c]) for j in range(1, q + 1)}
    ss = {"a": q * n * mp.fsum((v - m) ** 2 for v in row.values()),
          "b": p * n * mp.fsum((v - m) ** 2 for v in column.values()),
          "interaction": n * mp.fsum((mean(c) - row[i] - column[j] + m) ** 2 for (i, j), c in cells.items()),
          "error": mp.fsum(squares(c) for c in cells.values()),
          "total": squares(every)}
    df = {"a": p - 1, "b": q - 1, "interaction": (p - 1) * (q - 1), "error": p * q * (n - 1)}
    # What is nought but for the 40th digit is nought.
    for name in ss:
        if ss[name] < mp.mpf(10) ** -30 * (ss["total"] + m * m):
            ss[name] = mpf(0)
    return ss, df, m, row, column


def say_table(case, out):
    cells = {(int(w[0]), int(w[1])): [mpf(float(v)) for v in w[2:]] for w in case.all("cell")}
    tolerance = mpf(float(case.words("tolerance")[0]))
    p, q = max(i for i, _ in cells), max(j for _, j in cells)
    counts = {len(c) for c in cells.values()}
    if len(counts) > 1 or min(counts) < 2 or len(cells) < p * q:
        out.refused("two_way.a.ss")
        return out.refused("study.repeatability")
    n = counts.pop()
    ss, df, m, row, column = two_way_of(cells, p, q, n)
    every = [v for c in cells.values() for v in c]
    for name in ("a", "b", "interaction"):
        say_source(out, "two_way." + name, ss[name], df[name], ss["error"], df["error"], ss["total"])
    parts = [v for v in ss.values() if v > 0]
    out.say("condition", size(every) * mp.sqrt(len(every) / min(parts)) if parts else mpf(0))
    out.say("two_way.error.ss", ss["error"])
    out.say("two_way.total.ss", ss["total"])
    out.say("two_way.grand_mean", m, size(every))
    say_ranges(out, cells, p, q, n, row, column, tolerance, size(every))
    say_models(out, ss, df, p, q, n, tolerance)


def say_parts(out, prefix, repeatability, reproducibility, piece, tolerance, lost):
    gauge = mp.hypot(repeatability, reproducibility)
    whole = mp.hypot(gauge, piece)
    out.say(prefix + ".repeatability", repeatability, lost)
    out.say(prefix + ".reproducibility", reproducibility, max(lost, repeatability))
    out.say(prefix + ".gauge", gauge, lost)
    out.say(prefix + ".piece", piece, max(lost, repeatability))
    out.say(prefix + ".total", whole, lost)
    share = gauge / whole if whole else None
    blur = lost / whole if whole else 0
    out.say(prefix + ".study_variation", said(share), blur)
    out.say(prefix + ".contribution", said(share and share ** 2), blur)
    out.say(prefix + ".tolerance", 6 * gauge / tolerance, 6 * lost / tolerance)
    out.say(prefix + ".categories", said(mp.sqrt(2) * piece / gauge if gauge else None),
            max(lost, repeatability) / gauge if gauge else 0)


def say_ranges(out, cells, p, q, n, row, column, tolerance, largest):
    ranges = [max(c) - min(c) for c in cells.values()]
    d2, d3 = ground.range_constants(n)
    k1 = 1 / (d2 if p * q > 15 else ground.d2_star(n, p * q))
    k2, k3 = 1 / ground.d2_star(q, 1), 1 / ground.d2_star(p, 1)
    repeatability = mean(ranges) * k1
    between = (max(column.values()) - min(column.values())) * k2
    variance = between ** 2 - repeatability ** 2 / (p * n)
    piece = (max(row.values()) - min(row.values())) * k3
    # Means are doubles before they are subtracted.
    say_parts(out, "study.ranges", repeatability, mp.sqrt(max(mpf(0), variance)), piece, tolerance, largest)
    limit = (1 + 3 * d3 / d2) * mean(ranges)
    out.say("study.ranges.mean_range", mean(ranges))
    out.say("study.ranges.limit", limit)
    out.say("study.ranges.beyond", mpf(sum(r > limit for r in ranges)))
    out.say("study.ranges.k1", k1)
    out.say("study.ranges.k2", k2)
    out.say("study.ranges.k3", k3)


def say_models(out, ss, df, p, q, n, tolerance):
    ms = {name: ss[name] / df[name] for name in df}
    pooled_ss, pooled_df = ss["interaction"] + ss["error"], df["interaction"] + df["error"]

    def model(prefix, error, against_ss, against_df, interaction):
        against = against_ss / against_df
        alone = mp.sqrt(max(mpf(0), (ms["b"] - against) / (p * n)))
        piece = mp.sqrt(max(mpf(0), (ms["a"] - against) / (q * n)))
        say_parts(out, prefix, mp.sqrt(error), mp.hypot(alone, interaction), piece, tolerance, 0)
        out.say(prefix + ".appraiser", alone, mp.sqrt(error))
        out.say(prefix + ".interaction", interaction, mp.sqrt(error))
        for name, of in (("piece", "a"), ("appraiser", "b")):
            f, chance = f_of(ss[of], df[of], against_ss, against_df)
            out.say(f"{prefix}.{name}_f", said(f))
            out.say(f"{prefix}.{name}_p", said(chance))

    interaction = mp.sqrt(max(mpf(0), (ms["interaction"] - ms["error"]) / n))
    model("study.kept", ms["error"], ss["interaction"], df["interaction"], interaction)
    model("study.pooled", pooled_ss / pooled_df, pooled_ss, pooled_df, mpf(0))
    _, chance = f_of(ss["interaction"], df["interaction"], ss["error"], df["error"])
    out.say("study.pools", mpf((ss["interaction"] == 0) if chance is None else chance > 0.25))


def say_pairs(case, out):
    first, again = ([mpf(float(w)) for w in case.words(key)] for key in ("first", "again"))
    n, largest = len(first), max(size(first), size(again))
    difference = [b - a for a, b in zip(first, again)]
    middle = [(a + b) / 2 for a, b in zip(first, again)]
    if n < 2:
        out.refused("agreement.difference")
    else:
        m, s = mean(difference), sd(difference)
        t = ground.student_quantile(UPPER_95, n - 1)
        out.say("agreement.difference", m, largest)
        out.say("agreement.sd", s, largest)
        for name, value in (("lower", m - mpf(1.96) * s), ("upper", m + mpf(1.96) * s),
                            ("mean_from", m - t * s / mp.sqrt(n)),
                            ("upper_to", m + mpf(1.96) * s + t * s * mp.sqrt(mpf(3) / n))):
            out.say("agreement." + name, value, largest)
        if n < 3 or s == 0 or squares(middle) == 0:
            out.absent("agreement.trend", "agreement.trend_p")
        else:
            mm = mean(middle)
            r = mp.fsum((d - m) * (v - mm) for d, v in zip(difference, middle)) / mp.sqrt(
                squares(difference) * squares(middle))
            out.say("agreement.trend", r, 1)
            # One size measured again and again lies on a line: then r is 1 but for a double's last bits.
            on_a_line = 1 - r * r < mpf(10) ** -12
            out.say("agreement.trend_p", mpf(0) if on_a_line else
                    ground.two_sided(r * mp.sqrt((n - 2) / (1 - r * r)), n - 2), 1 if on_a_line else 0)
    say_line(first, difference, largest, out)


def say_line(x, y, largest, out):
    n, sxx = len(x), squares(x)
    if n < 3 or sxx == 0:
        return out.refused("linearity.slope")
    mx, my = mean(x), mean(y)
    slope = mp.fsum((a - mx) * (b - my) for a, b in zip(x, y)) / sxx
    intercept = my - slope * mx
    sse = mp.fsum((b - my - slope * (a - mx)) ** 2 for a, b in zip(x, y))
    sse = mpf(0) if sse < mpf(10) ** -30 * largest ** 2 else sse
    s = mp.sqrt(sse / (n - 2))
    errors = s / mp.sqrt(sxx), s * mp.sqrt(mpf(1) / n + mx * mx / sxx)
    # A reading less its reference is rounded once.
    steep = largest * mp.sqrt(n / sxx)
    out.say("linearity.slope", slope, steep)
    out.say("linearity.intercept", intercept, largest)
    out.say("linearity.s", s, largest)
    out.say("linearity.slope_error", errors[0], steep)
    out.say("linearity.intercept_error", errors[1], largest)
    syy = squares(y)
    out.say("linearity.r_squared", said(1 - sse / syy if syy else None), 1)
    if s == 0:
        out.absent("linearity.t_slope", "linearity.p_slope", "linearity.p_intercept")
    else:
        out.say("linearity.t_slope", slope / errors[0], steep / errors[0])
        out.say("linearity.p_slope", ground.two_sided(slope / errors[0], n - 2), 1)
        out.say("linearity.p_intercept", ground.two_sided(intercept / errors[1], n - 2), 1)
    half = ground.student_quantile(UPPER_95, n - 2) * s * mp.sqrt(mpf(1) / n + (max(x) - mx) ** 2 / sxx)
    out.say("linearity.band_upper", intercept + slope * max(x) + half, largest)
