"""Exact figures that need no sample: constants, distributions, tolerance factors, budgets, lots.

Run lengths are not among them: reference.R has those.
"""
from math import comb

from mpmath import mp, mpf

import exact_ground as ground
from exact_ground import above, below, c4, phi


def numbers(case, *keys):
    return [mpf(float(case.words(key)[0])) for key in keys]


def say_constants(case, out):
    n, g = int(case.words("n")[0]), int(case.words("g")[0])
    d2, d3 = ground.range_constants(n)
    c, w = c4(n), mp.sqrt(1 - c4(n) ** 2)
    nought = mpf(0)
    said = {"d2": d2, "d3": d3, "c4": c, "A": 3 / mp.sqrt(n), "A2": 3 / (d2 * mp.sqrt(n)), "A3": 3 / (c * mp.sqrt(n)),
            "B3": max(nought, 1 - 3 * w / c), "B4": 1 + 3 * w / c, "B5": max(nought, c - 3 * w), "B6": c + 3 * w,
            "D1": max(nought, d2 - 3 * d3), "D2": d2 + 3 * d3, "D3": max(nought, 1 - 3 * d3 / d2),
            "D4": 1 + 3 * d3 / d2, "E2": 3 / d2, "E3": 3 / c, "d2_star": ground.d2_star(n, g),
            "range_df": ground.range_df(n, g)}
    for name, value in said.items():
        out.say(name, value, 1 if name in ("B3", "B5", "D1", "D3") else 0)


def say_distributions(case, out):
    p, df, df2, t, chi, f = numbers(case, "p", "df", "df2", "t", "chi", "f")
    out.say("normal_quantile", ground.normal_quantile(p), 1)
    out.say("normal_cdf", below(t))
    out.say("normal_upper", above(t))
    out.say("student_quantile", ground.student_quantile(p, df), 1)
    out.say("student_upper", ground.student_upper(t, df))
    out.say("chi_squared_quantile", ground.chi_squared_quantile(p, df))
    out.say("chi_squared_cdf", ground.chi_squared_cdf(chi, df))
    out.say("fisher_quantile", ground.fisher_quantile(p, df, df2))
    out.say("fisher_upper", ground.fisher_upper(f, df, df2))


def factor(confidence_at, confidence):
    """The k at which that confidence is reached; it grows with k."""
    high = mpf(1)
    while confidence_at(high) < confidence:
        high *= 2
    return root_of(lambda k: confidence_at(k) - confidence, high / 64, high)


def root_of(f, low, high):
    """Halved only as far as a comparison of doubles needs: each look costs an integral."""
    for _ in range(12):
        middle = (low + high) / 2
        low, high = (middle, high) if f(middle) < 0 else (low, middle)
    before, last = f(low), f(high)
    for _ in range(8):
        if last == before:
            break
        low, high = high, high - last * (high - low) / (last - before)
        before, last = last, f(high)
        if abs(high - low) < mpf(10) ** -16 * abs(high):
            break
    return high


def say_tolerance(case, out):
    n = int(case.words("n")[0])
    share, confidence = numbers(case, "share", "confidence")
    df = mpf(n - 1)
    out.say("howe", ground.normal_quantile((1 + share) / 2) * mp.sqrt(
        df * (1 + mpf(1) / n) / ground.chi_squared_quantile(1 - confidence, df)))
    with mp.workdps(22):
        step = mpf(1) / 8
        points = [step * i for i in range(80)]
        half = [ground.root(lambda r, z=u / mp.sqrt(n): below(z + r) - below(z - r) - share, 0, u / mp.sqrt(n) + 12)
                for u in points]
        weight = [(1 if i == 0 else 2) * step * phi(u) for i, u in enumerate(points)]

        def two_sided(k):
            return mp.fsum(w * ground.chi_squared_upper(df * (r / k) ** 2, df) for w, r in zip(weight, half))

        out.say("two_sided", factor(two_sided, confidence))

        # mean + k s reaches the quantile: s / sigma >= (z - u) / k, u the mean's error; from where z - u is nought on
        # always.
        z = ground.normal_quantile(share)
        root_n, nodes = mp.sqrt(n), ground._nodes(24)
        edge = z * root_n
        parts = [(-10 + (edge + 10) * mpf(i) / 6, -10 + (edge + 10) * mpf(i + 1) / 6) for i in range(6)]
        table = [(x, w * (b - a) / 2 * phi(x))
                 for a, b in parts for v, w in nodes for x in [(a + b) / 2 + (b - a) / 2 * v] if abs(x) < 10]

        def one_sided(k):
            return above(edge) + mp.fsum(
                w * ground.chi_squared_upper(df * ((z - x / root_n) / k) ** 2, df) for x, w in table)

        if abs(above(edge) - confidence) < mpf(10) ** -18:  # the mean itself
            out.say("one_sided", mpf(0), 1)
        else:
            out.say("one_sided", factor(one_sided, confidence))


def divisor(kind, extra, df):
    if kind == "t_interval":
        p = (1 + mpf(float(extra))) / 2
        return ground.normal_quantile(p) if df is None else ground.student_quantile(p, df)
    return {"standard": mpf(1), "expanded": mpf(float(extra)), "rectangular": mp.sqrt(3), "triangular": mp.sqrt(6),
            "u_shaped": mp.sqrt(2)}[kind]


def say_budget(case, out):
    probability, = numbers(case, "probability")
    variances, smaller = [], mpf(0)
    for kind, value, extra, sensitivity, freedom in case.all("component"):
        df = None if freedom == "inf" else mpf(float(freedom))
        variances.append((mpf(float(value)) / divisor(kind, extra, df) * mpf(float(sensitivity))) ** 2)
        if df is not None:
            smaller += variances[-1] ** 2 / df
    u = mp.sqrt(mp.fsum(variances))
    effective = mp.fsum(variances) ** 2 / smaller if smaller else None
    p = (1 + probability) / 2
    k = ground.normal_quantile(p) if effective is None else ground.student_quantile(p, mp.floor(effective * (1 + mpf(10) ** -12)))
    out.say("u", u)
    out.say("effective_df", "-" if effective is None else effective)
    out.say("k", k)
    out.say("expanded", k * u)
    out.say("first_share", variances[0] / mp.fsum(variances))
    # The trapezoid by its own distribution function: the half-width that holds the probability, over its deviation.
    a, b = sorted(mpf(float(w)) for w in case.words("trapezoid"))
    flat, edge = b - a, b + a
    if a == 0:
        width = probability * b
    else:
        height = 1 / (flat + edge)  # density on the flat top
        if probability <= 2 * flat * height:
            width = probability / (2 * height)
        else:
            width = edge - mp.sqrt((1 - probability) * (edge - flat) / height)
    out.say("trapezoid_k", width / mp.sqrt((a * a + b * b) / 3))


def binomial(k, n, p):
    return mp.fsum(comb(n, i) * p ** i * (1 - p) ** (n - i) for i in range(k + 1))


def say_lot(case, out):
    n, accept, bad, lot, ppm, confidence = (
        int(case.words(key)[0]) for key in ("n", "accept", "bad", "lot", "ppm", "confidence_ppm"))
    share, probability = numbers(case, "share", "probability")
    out.say("binomial", mpf(1) if accept >= n else binomial(accept, n, share))
    ways = sum(comb(bad, i) * comb(lot - bad, n - i) for i in range(accept + 1) if n - i >= 0)
    out.say("hypergeometric", mpf(ways) / comb(lot, n))
    out.say("share_accepted", ground.root(lambda p: probability - binomial(accept, n, p), mpf(10) ** -30, 1 - mpf(10) ** -30))
    risk = 10 ** 6 - confidence  # whole numbers all the way: the smallest n with (1 - share)^n <= risk
    size = 1
    while (10 ** 6 - ppm) ** size * 10 ** 6 > risk * (10 ** 6) ** size:
        size += 1
    out.say("zero_size", mpf(size))
    worst, size = -(-lot * ppm // 10 ** 6), 1
    while comb(lot - worst, size) * 10 ** 6 > risk * comb(lot, size):
        size += 1
    out.say("zero_size_in_lot", mpf(size))
