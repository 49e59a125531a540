"""What the exact figures stand on: sums, distributions and chart constants at 40 digits, with mpmath.

Nothing here takes a formula from the C++ side beyond the definition of what is reckoned: distributions are mpmath's
incomplete gamma and beta functions, quantiles are their roots, constants are integrals of the definitions.
"""
from functools import lru_cache

from mpmath import mp, mpf

mp.dps = 40


def total(x):
    return mp.fsum(x)


def mean(x):
    return mp.fsum(x) / len(x)


def squares(x):
    m = mean(x)
    return mp.fsum((v - m) ** 2 for v in x)


def sd(x):
    return mp.sqrt(squares(x) / (len(x) - 1))


def phi(z):
    return mp.npdf(z)


def below(z):
    return mp.erfc(-z / mp.sqrt(2)) / 2


def above(z):
    return mp.erfc(z / mp.sqrt(2)) / 2


def root(f, low, high):
    """Of a function that changes its sign between them: halved until near, then secants."""
    low, high = mpf(low), mpf(high)
    rising = f(low) < 0
    assert rising != (f(high) < 0), "no change of sign"
    for _ in range(24):
        middle = (low + high) / 2
        if (f(middle) < 0) == rising:
            low = middle
        else:
            high = middle
    return mp.findroot(f, (low, high), solver="secant", tol=mpf(10) ** -60, maxsteps=60, verify=False)


def normal_quantile(p):
    p = mpf(p)
    if p > 0.5:
        return -normal_quantile(1 - p)
    return root(lambda z: mp.log(below(z) / p), -40, 1)


def student_upper(t, df):
    t, df = mpf(t), mpf(df)
    if t < 0:
        return 1 - student_upper(-t, df)
    return mp.betainc(df / 2, mpf(1) / 2, 0, df / (df + t * t), regularized=True) / 2


def two_sided(t, df):
    return 2 * student_upper(abs(t), df)


@lru_cache(maxsize=None)
def student_quantile(p, df):
    p = mpf(p)
    if p < 0.5:
        return -student_quantile(1 - p, df)
    if p == 0.5:
        return mpf(0)
    return mp.exp(root(lambda u: mp.log(student_upper(mp.exp(u), df) / (1 - p)), -40, 60))


def chi_squared_cdf(x, df):
    return mp.gammainc(mpf(df) / 2, 0, mpf(x) / 2, regularized=True)


def chi_squared_upper(x, df):
    return mp.gammainc(mpf(df) / 2, mpf(x) / 2, mp.inf, regularized=True)


@lru_cache(maxsize=None)
def chi_squared_quantile(p, df):
    p, df = mpf(p), mpf(df)
    middle = mp.log(df)
    if p < 0.5:
        return mp.exp(root(lambda u: mp.log(chi_squared_cdf(mp.exp(u), df) / p), middle - 60, middle + 3))
    return mp.exp(root(lambda u: mp.log(chi_squared_upper(mp.exp(u), df) / (1 - p)), middle - 4, middle + 5))


def fisher_upper(f, one, two):
    f, one, two = mpf(f), mpf(one), mpf(two)
    return mp.betainc(two / 2, one / 2, 0, two / (two + one * f), regularized=True)


def fisher_cdf(f, one, two):
    f, one, two = mpf(f), mpf(one), mpf(two)
    return mp.betainc(one / 2, two / 2, 0, one * f / (two + one * f), regularized=True)


def fisher_quantile(p, one, two):
    p = mpf(p)
    if p < 0.5:
        return mp.exp(root(lambda u: mp.log(fisher_cdf(mp.exp(u), one, two) / p), -60, 30))
    return mp.exp(root(lambda u: mp.log(fisher_upper(mp.exp(u), one, two) / (1 - p)), -10, 40))


def f_of(ss, df, error_ss, error_df):
    """F and its p; nothing where the error is nought or has no degrees of freedom."""
    if df == 0 or error_df == 0 or error_ss == 0:
        return None, None
    f = (ss / df) / (error_ss / error_df)
    return f, fisher_upper(f, df, error_df)


# Ranges of n normal values. The line is cut where the density is 1e-26; steps of 1/8 give 25 digits and more, since the
# trapezoidal rule converges exponentially for what vanishes at both ends.
STEP, REACH = mpf(1) / 8, 11


@lru_cache(maxsize=None)
def _line():
    points = [STEP * i for i in range(-REACH * 8, REACH * 8 + 1)]
    return [(x, phi(x), below(x), above(x)) for x in points]


@lru_cache(maxsize=None)
def _nodes(count):
    """Gauss-Legendre on (-1, 1)."""
    out = []
    for i in range(count):
        x = mp.cos(mp.pi * (i + mpf(3) / 4) / (count + mpf(1) / 2))
        for _ in range(8):  # Newton's method doubles the digits each time
            before, now = mpf(1), x
            for j in range(1, count):
                before, now = now, ((2 * j + 1) * x * now - j * before) / (j + 1)
            slope = count * (x * now - before) / (x * x - 1)
            x -= now / slope
        out.append((x, 2 / ((1 - x * x) * slope * slope)))
    return out


@lru_cache(maxsize=None)
def shared_table():
    """For widths w at Gauss-Legendre nodes on (0, 15): w, its weight, and the density and Phi(x + w) - Phi(x) along the
    line. The same for every n; made once, before other processes are started from this one."""
    table = []
    with mp.workdps(25):
        for low in range(0, 15, 5):
            for x, weight in _nodes(24):
                w = low + mpf(5) / 2 * (x + 1)
                # From the nearer tail.
                inside = [(p, a - above(v + w) if v > 0 else below(v + w) - b) for v, p, b, a in _line()]
                table.append((w, weight * mpf(5) / 2, inside))
    return table


@lru_cache(maxsize=None)
def range_constants(n):
    """d2, d3: E(W) and sd(W)."""
    d2 = STEP * mp.fsum(1 - b ** n - a ** n for _, _, b, a in _line())
    with mp.workdps(25):
        second = mp.fsum(weight * 2 * w * (1 - n * STEP * mp.fsum(p * inside ** (n - 1) for p, inside in line))
                         for w, weight, line in shared_table())
    return d2, mp.sqrt(second - d2 * d2)


def c4(n):
    n = mpf(n)
    return mp.sqrt(2 / (n - 1)) * mp.exp(mp.loggamma(n / 2) - mp.loggamma((n - 1) / 2))


def d2_star(n, g):
    d2, d3 = range_constants(n)
    return mp.sqrt(d2 * d2 + d3 * d3 / g)


@lru_cache(maxsize=None)
def range_df(n, g):
    d2, _ = range_constants(n)
    wanted = d2 / d2_star(n, g)
    return root(lambda nu: c4(nu + 1) - wanted, mpf(1) / 2, 10 ** 6)
