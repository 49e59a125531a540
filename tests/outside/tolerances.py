"""How far a figure of the program may be from the same figure of another, and why that far.

A rule: which reference, which figures (a pattern for the whole name), the relative difference that is allowed, and how
often the rounding of the values themselves may come on top (`blurs`, times the last bit of a double times the case's
condition; only where the reference, not the program, computes with values that it has not shifted). The first rule that
fits counts. The difference is taken relative to the figure, or to `beside` where that is larger. On top come, for every
rule, eight last bits of the size that a figure was subtracted from (`run`), and what the exact figure says that it moves
when its values move by a last bit (`blocks.py`).
"""
import re
from typing import NamedTuple


class Rule(NamedTuple):
    reference: str
    figures: str
    allowed: float
    why: str
    blurs: float = 0
    beside: float = 0

    def fits(self, reference, figure):
        return reference == self.reference and re.fullmatch(self.figures, figure) is not None


RULES = [
    Rule("exact", r".*\.signals|.*\.beyond|.*\.pools|.*observed_.*|.*zero_size.*|(anova|two_way)\..*\.df", 0,
         "a count or a yes or no: the same, or wrong"),
    Rule("exact", r"d3|D[1-4]|.*spread\.(lower|upper)|study\.ranges\.limit|.*d2_star|study\.ranges\..*", 1e-12,
         "d3 is the small difference of two integrals, each good to 14 digits"),
    Rule("exact", r"range_df|.*bias_range\..*", 1e-8,
         "nu solves c4 = d2 / d2*, where c4 is near 1; beyond 200 the program takes c4's series to the third power, and "
         "what is left, 21 / (2048 nu^4), is 1e-9 of the 1 / (4 nu) that counts"),
    Rule("exact", r"two_sided", 1e-10, "the program halves until 1e-11 is left"),
    Rule("exact", r"one_sided", 1e-11, "the root of a series for the non-central t, each good to 12 digits or so"),
    Rule("exact", r".*\.p|.*_p", 1e-10,
         "a tail of a distribution: its relative error is that of the statistic times the degrees of freedom"),
    Rule("exact", r"share_accepted", 1e-12, "the program halves until 1e-15 of the whole is left"),
    Rule("exact", r".*ppm_.*", 1e-11, "a tail's relative error is that of z times z squared"),
    Rule("exact", r".*", 1e-12, "double arithmetic with a margin of some thousand roundings"),

    Rule("R", r"(anova|two_way)\..*\.df", 0, "a count: the same, or wrong"),
    Rule("R", r"d[23]|A2|D[1-4]|E2|d2_star", 3e-6,
         "from ptukey, whose sixteen Legendre points lose digits as n grows: 1e-11 for n = 5, 5e-7 for n = 40"),
    Rule("R", r"mean_and_range\..*", 1e-8, "from ptukey again, subgroups of nine at most", 10),
    Rule("R", r"fisher_quantile", 1e-12,
         "R takes 1 / qbeta - 1, so small ones have what digits are left beside 1; exact.py has the rest", beside=1),
    Rule("R", r"study\.(kept|pooled)\..*", 2e-5,
         "REML by an optimiser: a criterion met to the last bit leaves half of the digits to where it is met", 100),
    Rule("R", r"two_sided", 1e-5, "spc's own search for k ends there; exact.py has the rest of the digits"),
    Rule("R", r"one_sided", 1e-9, "R's non-central t sums until 1e-12 is left"),
    Rule("R", r"(cusum|ewma)_run_length", 1e-9,
         "both integrate by Gauss-Legendre with nodes enough; the lengths reach some thousands"),
    Rule("R", r"rules_run_length(\.spc)?", 1e-10,
         "both solve a chain, R with subtraction: it loses as many digits as the run length has"),
    Rule("R", r".*\.p|.*_p", 1e-9,
         "a tail: the statistic's relative error times the degrees of freedom", 1000),
    Rule("R", r"anderson_darling\.a2|lag1|.*ppm_total", 1e-10, "a sum of logarithms or products of what is left of values", 100),
    Rule("R", r"linearity\..*|agreement\..*", 1e-10, "lm works on values as they are, by reflections"),
    Rule("R", r".*", 1e-11, "double arithmetic on both sides; R takes means of values as they are", 10),
]


def rule_for(reference, figure):
    return next(rule for rule in RULES if rule.fits(reference, figure))
