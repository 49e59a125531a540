"""Exact figures of samples and subgroups: moments, order, normality, charts, capability, bias."""
from mpmath import mp, mpf

import exact_ground as ground
from exact_ground import above, below, mean, sd, squares

POINT_95 = mpf(0.95)  # the double that the program is given
UPPER_95 = (1 + POINT_95) / 2


# The program subtracts means as long double, 64 bits.
LAST_BIT = mpf(2) ** -64


def size(x):
    return max(abs(v) for v in x)


def condition(x):
    """How many times larger than their spread the values are."""
    return size(x) / sd(x)


def quantile(x, p):
    x, place = sorted(x), (len(x) - 1) * mpf(p)
    low = int(mp.floor(place))
    high = min(low + 1, len(x) - 1)
    return x[low] + (place - low) * (x[high] - x[low])


def say_order(x, out):
    n = len(x)
    out.say("mean", mean(x), size(x))
    out.say("squared_deviations", squares(x))
    if n < 2:
        out.absent("variance", "sd", "lag1")
    else:
        out.say("variance", squares(x) / (n - 1))
        out.say("sd", sd(x))
        m = mean(x)
        if squares(x) == 0:
            out.absent("lag1")
        else:
            out.say("condition", condition(x))
            out.say("lag1", mp.fsum((a - m) * (b - m) for a, b in zip(x, x[1:])) / squares(x), 1,
                    4 * LAST_BIT * condition(x))
    for name, p in (("0", 0), ("10", 0.1), ("25", 0.25), ("50", 0.5), ("90", 0.9), ("95", 0.95), ("100", 1)):
        out.say("quantile." + name, quantile(x, p), size(x))


def anderson_darling_p(a):
    if a < mpf("0.2"):
        return 1 - mp.exp(mpf("-13.436") + mpf("101.14") * a - mpf("223.73") * a * a)
    if a < mpf("0.34"):
        return 1 - mp.exp(mpf("-8.318") + mpf("42.796") * a - mpf("59.938") * a * a)
    if a < mpf("0.6"):
        return mp.exp(mpf("0.9177") - mpf("4.279") * a - mpf("1.38") * a * a)
    a = min(a, mpf(10))
    return mp.exp(mpf("1.2937") - mpf("5.709") * a + mpf("0.0186") * a * a)


def say_normality(x, out):
    n = len(x)
    if n < 8 or squares(x) == 0:
        return out.refused("anderson_darling.a2")
    x, m, s = sorted(x), mean(x), sd(x)
    z = [(v - m) / s for v in x]
    low, high = [mp.log(below(v)) for v in z], [mp.log(above(v)) for v in z]
    a2 = -n - mp.fsum((2 * i + 1) * (low[i] + high[n - 1 - i]) for i in range(n)) / n
    corrected = a2 * (1 + mpf("0.75") / n + mpf("2.25") / n ** 2)
    # A sum of n terms; its weights come to n, and the steepness of each logarithm is its z at most.
    lost = n * LAST_BIT * condition(x)
    out.say("anderson_darling.a2", a2, 0, lost)
    out.say("anderson_darling.corrected", corrected, 0, lost)
    out.say("anderson_darling.p", anderson_darling_p(corrected), 0, 10 * lost)
    out.say("plot.first_score", ground.normal_quantile(1 - mpf("0.5") ** (mpf(1) / n)))
    out.say("plot.second_score", ground.normal_quantile((2 - mpf("0.3175")) / (n + mpf("0.365"))))


def say_bias(case, x, out):
    reference, tolerance = mpf(float(case.words("reference")[0])), mpf(float(case.words("tolerance")[0]))
    n, biases = len(x), [v - mpf(float(case.words("reference")[0])) for v in x]
    if n < 2:
        out.refused("type1.cg")
        out.refused("bias_sd.t")
        return out.refused("bias_range.t")
    bias, s = mean(biases), sd(x)
    lost = max(size(x), abs(reference))  # a reading less the reference is rounded once
    out.say("type1.bias", bias, lost)
    if s == 0:
        out.absent("type1.t", "type1.p", "type1.cg", "type1.cgk")
    else:
        t = bias * mp.sqrt(n) / s
        out.say("type1.t", t, lost * mp.sqrt(n) / s)
        out.say("type1.p", ground.two_sided(t, n - 1))
        out.say("type1.cg", mpf(0.2) * tolerance / (6 * s))
        out.say("type1.cgk", (mpf(0.2) * tolerance / 2 - abs(bias)) / (3 * s), lost / (3 * s))

    def study(prefix, sigma, df, shrink):
        error = sigma / mp.sqrt(n)
        half = shrink * error * ground.student_quantile(UPPER_95, df)
        out.say(prefix + ".df", df)
        out.say(prefix + ".lower", bias - half, max(lost, half))
        out.say(prefix + ".upper", bias + half, max(lost, half))
        if error == 0:
            return out.absent(prefix + ".t", prefix + ".p")
        out.say(prefix + ".t", bias / error, lost / error)
        out.say(prefix + ".p", ground.two_sided(bias / error, df))

    study("bias_sd", s, mpf(n - 1), 1)
    if n > 25:
        return out.refused("bias_range.t")
    star = ground.d2_star(n, 1)
    study("bias_range", (max(x) - min(x)) / star, ground.range_df(n, 1), ground.range_constants(n)[0] / star)


def say_sums(case, x, out):
    target, sigma = mpf(float(case.words("chart_target")[0])), mpf(float(case.words("chart_sigma")[0]))
    limit, reference = mpf(4.77) * sigma, sigma / 2
    up = down = limit / 2
    most = max(size(x), abs(target)) * len(x)
    level, weight, signals, beyond, closest = target, mpf(0.2), 0, 0, {"cusum": mp.inf, "ewma": mp.inf}
    for i, v in enumerate(x):
        up, down = max(mpf(0), up + v - target - reference), max(mpf(0), down + target - reference - v)
        signals += (up > limit) + (down > limit)
        level = weight * v + (1 - weight) * level
        sigma_of_level = sigma * mp.sqrt(weight / (2 - weight) * (1 - (1 - weight) ** (2 * (i + 1))))
        beyond += abs(level - target) > mpf(2.962) * sigma_of_level
        closest["cusum"] = min(closest["cusum"], abs(up - limit), abs(down - limit))
        closest["ewma"] = min(closest["ewma"], abs(abs(level - target) - mpf(2.962) * sigma_of_level))
    # A sum of doubles may have lost a bit a point.
    blur = mpf(2) ** -51 * most
    out.say("cusum.above", up, most)
    out.say("cusum.below", down, most)
    counts = {"cusum": signals, "ewma": beyond}
    for chart in counts:
        if closest[chart] < blur:
            out.open(chart + ".signals")
        else:
            out.say(chart + ".signals", mpf(counts[chart]))
    out.say("ewma.level", level, max(size(x), abs(target)))
    out.say("ewma.sigma", sigma_of_level)


def say_chart(out, prefix, centre, sigma, n, of_spread, lost):
    """`of_spread`: centre and standard deviation of the spread's chart in sigmas."""
    one = sigma / mp.sqrt(n)
    out.say(prefix + ".sigma_within", sigma)
    out.say(prefix + ".location.centre", centre, lost)
    out.say(prefix + ".location.lower", centre - 3 * one, max(lost, 3 * one))
    out.say(prefix + ".location.upper", centre + 3 * one, max(lost, 3 * one))
    out.say(prefix + ".location.sigma", one)
    middle, deviation = of_spread[0] * sigma, of_spread[1] * sigma
    out.say(prefix + ".spread.centre", middle)
    out.say(prefix + ".spread.lower", max(mpf(0), middle - 3 * deviation), middle)
    out.say(prefix + ".spread.upper", middle + 3 * deviation)


def band_of(case):
    return [mpf(float(case.words(key)[0])) if case.words(key) else None for key in ("lower", "upper", "target")]


def say_indices(out, prefix, case, x, sigma, df):
    """Cp and its kin with intervals; sigma None where there is no estimate."""
    lower, upper, _ = band_of(case)
    if sigma is None:
        out.refused(prefix + "sigma")
    else:
        out.say(prefix + "sigma", sigma)
        out.say(prefix + "df", df)
    n = len(x)
    names = ["spread", "nearer", "upper", "lower"]
    if n < 8 or not sigma:
        for name in names:
            out.refused(prefix + name + ".value")
        return out.refused(prefix + "ppm_total")
    m = mean(x)
    # The mean that the index is reckoned from is a double: what its last bit is in thirds of a sigma.
    lost = max([abs(m)] + [abs(v) for v in (lower, upper) if v is not None]) / (3 * sigma)

    def say(name, value, scale, low, high, bound):
        at = prefix + name
        out.say(at + ".value", value, scale)
        out.say(at + ".from", low, scale)
        out.say(at + ".to", high, scale)
        out.say(at + ".bound", bound, scale)

    if lower is None or upper is None:
        out.refused(prefix + "spread.value")
    else:
        say("spread", *spread_index((upper - lower) / (6 * sigma), df, lost))
    sides = {"upper": None if upper is None else (upper - m) / (3 * sigma),
             "lower": None if lower is None else (m - lower) / (3 * sigma)}
    sides["nearer"] = min(v for v in sides.values() if v is not None)
    two, one = ground.normal_quantile(UPPER_95), ground.normal_quantile(POINT_95)
    for name, value in sides.items():
        if value is None:
            out.refused(prefix + name + ".value")
            continue
        error = mp.sqrt(mpf(1) / (9 * n) + value ** 2 / (2 * df))
        say(name, value, lost, value - two * error, value + two * error, value - one * error)
    z_low = None if lower is None else (lower - m) / sigma
    z_high = None if upper is None else (upper - m) / sigma
    ppm_low = mpf(0) if z_low is None else 10 ** 6 * below(z_low)
    ppm_high = mpf(0) if z_high is None else 10 ** 6 * above(z_high)
    # What the tails move by when that last bit moves.
    moved = 3 * lost * mpf(2) ** -49
    blur_low = 0 if z_low is None else abs(10 ** 6 * below(z_low + moved) - ppm_low)
    blur_high = 0 if z_high is None else abs(10 ** 6 * above(z_high - moved) - ppm_high)
    out.say(prefix + "ppm_below", ppm_low, 0, blur_low)
    out.say(prefix + "ppm_above", ppm_high, 0, blur_high)
    out.say(prefix + "ppm_total", ppm_low + ppm_high, 0, blur_low + blur_high)


def spread_index(value, df, scale):
    def factor(p):
        return mp.sqrt(ground.chi_squared_quantile(p, df) / df)
    return value, scale, value * factor(1 - UPPER_95), value * factor(UPPER_95), value * factor(1 - POINT_95)


def say_target_indices(out, case, x):
    lower, upper, target = band_of(case)
    if target is None and lower is not None and upper is not None:
        target = (lower + upper) / 2
    n = len(x)
    both = lower is not None and upper is not None
    for name, there in (("cpm", both), ("cpm_side", target is not None)):
        if n < 8 or squares(x) == 0 or not there:
            out.refused(name + ".value")
            continue
        s, m = sd(x), mean(x)
        tau = mp.hypot(s, m - target)
        room = min([v for v in (None if upper is None else upper - target, None if lower is None else target - lower)
                    if v is not None])
        value = (upper - lower) / (6 * tau) if name == "cpm" else room / (3 * tau)
        off = ((m - target) / s) ** 2
        lost = max(abs(m), abs(target)) / (3 * tau)
        value, scale, low, high, bound = spread_index(value, n * (1 + off) ** 2 / (1 + 2 * off), lost)
        out.say(name + ".value", value, scale)
        out.say(name + ".from", low, scale)
        out.say(name + ".to", high, scale)
        out.say(name + ".bound", bound, scale)


def patnaik(variation):
    return 1 / (2 * mp.sqrt(1 + 2 * variation) - 2)


def say_capability(out, case, x, sigma_within, df_within):
    say_indices(out, "within.", case, x, sigma_within, df_within)
    say_indices(out, "overall.", case, x, sd(x) if len(x) > 1 else None, mpf(len(x) - 1))
    say_target_indices(out, case, x)
    lower, upper, _ = band_of(case)
    out.say("observed_below", mpf(sum(lower is not None and v < lower for v in x)))
    out.say("observed_above", mpf(sum(upper is not None and v > upper for v in x)))


def neighbours(x):
    """Sigma from moving ranges, and its degrees of freedom."""
    if len(x) < 2:
        return None, None
    d2, m = ground.range_constants(2)[0], len(x) - 1
    sigma = mean([abs(a - b) for a, b in zip(x, x[1:])]) / d2
    # Mean product of neighbouring ranges in units of the squared mean: correlation -1/2 of two differences.
    alone, shared = mp.pi / 2 - 1, mp.sqrt(3) / 2 + mp.pi / 12 - 1
    return sigma, patnaik((m * alone + 2 * (m - 1) * shared) / mpf(m) ** 2)


def say_values(case, out):
    x = [mpf(float(w)) for w in case.words("x")]
    say_order(x, out)
    say_normality(x, out)
    say_bias(case, x, out)
    say_sums(case, x, out)
    sigma, df = neighbours(x)
    if not sigma:
        out.refused("individuals.sigma_within")
    else:
        say_chart(out, "individuals", mean(x), sigma, 1, ground.range_constants(2), size(x))
    say_capability(out, case, x, sigma, df)
