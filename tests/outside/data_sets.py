"""Random data sets of awkward shape, from a seed: the same seed makes the same file on every machine.

    /usr/bin/python3 tests/outside/data_sets.py SEED > FILE

Lengths are nanometres where a shape speaks of crimps; what a shape is good for stands beside it.
"""
import math
import random
import sys

from blocks import Case


def mean(x):
    return math.fsum(x) / len(x)


def spread(x):
    m = mean(x)
    return math.sqrt(math.fsum((v - m) ** 2 for v in x) / max(1, len(x) - 1))


def stepped(x, step):
    return [float(round(v / step) * step) for v in x]


def shapes(dice):
    """Name and values."""
    def normal(n, centre=0.0, sd=1.0):
        return [dice.gauss(centre, sd) for _ in range(n)]

    yield "one_value", [dice.uniform(1, 2)]
    yield "two_values", normal(2, 5)
    yield "three_values", normal(3, -5)
    yield "all_equal", [25_400_000.0] * 12
    yield "two_equal", [0.1, 0.1]
    # What single precision, and a variance from sums of squares in double, would lose altogether.
    yield "offset_small", [1e9 + v for v in normal(50, 0, 1e-3)]
    yield "offset_large", [1e9 + v for v in normal(200, 0, 3)]
    yield "offset_below_nought", [-1e9 + v for v in normal(9, 0, 0.5)]
    last_bit = [1e9] * 30
    last_bit[17] = math.nextafter(1e9, 2e9)
    yield "differ_in_last_bit", last_bit
    yield "huge", [v * 1e100 for v in normal(40, 2)]
    yield "tiny", [v * 1e-100 for v in normal(40, 2)]
    yield "both_signs_cancel", [v * s for v in normal(20, 1e6, 1e3) for s in (1, -1)]
    yield "decades_apart", [10.0 ** dice.uniform(-8, 8) for _ in range(60)]
    # A caliper of 0.01 mm whose readings nearly all fall on three steps.
    yield "caliper_ties", stepped(normal(100, 25_400_000, 8_000), 10_000)
    yield "caliper_two_steps", stepped(normal(40, 31_745_000, 3_000), 10_000)
    yield "crimps", [float(round(v)) for v in normal(500, 28_550_000, 21_000)]
    yield "skewed", [dice.expovariate(1.0) for _ in range(150)]
    yield "far_tails", [math.tan(math.pi * (dice.random() - 0.5)) for _ in range(80)]
    yield "one_outlier", normal(49) + [60.0]
    yield "two_heaps", normal(60, -5, 0.1) + normal(60, 5, 0.1)
    yield "trend", [0.05 * i + dice.gauss(0, 0.4) for i in range(120)]
    yield "alternating", [(-1.0) ** i + dice.gauss(0, 0.01) for i in range(64)]
    yield "seven_values", normal(7, 10)
    yield "eight_values", normal(8, 10)
    for _ in range(10):
        n = round(2 * 250 ** dice.random())
        yield f"plain_{n}", normal(n, dice.uniform(-10, 10), 10 ** dice.uniform(-3, 3))


def values_cases(dice):
    used = set()
    for name, x in shapes(dice):
        while name in used:
            name += "b"
        used.add(name)
        case = Case(name, "values").add("x", *x)
        centre, sd = mean(x), spread(x)
        sd = sd or max(1e-9, abs(centre) * 1e-6)
        sides = dice.choice(["both", "both", "both", "lower", "upper"])
        lower, upper = centre - dice.uniform(1, 5) * sd, centre + dice.uniform(1, 5) * sd
        if name == "far_tails":  # the mean outside the band
            lower, upper = centre + sd, centre + 2 * sd
        if sides != "upper":
            case.add("lower", lower)
        if sides != "lower":
            case.add("upper", upper)
        if sides == "both" and dice.random() < 0.6:  # an aim out of the middle
            case.add("target", lower + (upper - lower) * dice.uniform(0.2, 0.8))
        case.add("reference", centre + dice.uniform(-0.5, 0.5) * sd)
        case.add("tolerance", sd * dice.uniform(5, 40)).add("resolution", sd / 10)
        case.add("chart_target", centre + dice.uniform(-0.5, 0.5) * sd).add("chart_sigma", sd * dice.uniform(0.3, 1.5))
        yield case


def banded(case, dice, centre, sd):
    lower, upper = centre - dice.uniform(2, 5) * sd, centre + dice.uniform(2, 5) * sd
    return case.add("lower", lower).add("upper", upper).add("target", lower + 0.3 * (upper - lower))


def groups_cases(dice):
    def groups(sizes, between, within, centre=0.0):
        return [[dice.gauss(m, within) for _ in range(n)] for n in sizes for m in [dice.gauss(centre, between)]]

    made = [
        ("groups_plain", groups([5] * 25, 1, 1)),
        ("groups_pairs", groups([2] * 30, 0.1, 2)),
        ("groups_missing_readings", groups([4, 3, 4, 2, 4, 4, 3, 4, 4, 4], 1, 1)),
        ("groups_single_readings", groups([3, 1, 3, 1, 3], 1, 1)),
        ("groups_one_empty", groups([3, 0, 3, 3], 1, 1)),
        ("groups_only_singles", groups([1] * 12, 1, 1)),
        ("groups_one", groups([9], 1, 1)),
        ("groups_two", groups([9, 7], 5, 1)),
        ("groups_offset", groups([4] * 20, 2e-3, 1e-3, 1e9)),
        ("groups_huge", groups([3] * 15, 1e90, 1e90)),
        ("groups_tiny", groups([3] * 15, 1e-90, 1e-90)),
        ("groups_far_apart", groups([6] * 4, 1e4, 1)),
        ("groups_no_scatter_within", [[float(i)] * 3 for i in range(5)]),
        ("groups_all_equal", [[7.25] * 4 for _ in range(6)]),
        ("groups_of_many", groups([25, 50, 40], 1, 3)),
        ("groups_caliper", [stepped(g, 10_000) for g in groups([8] * 25, 12_000, 6_000, 25_400_000)]),
        ("groups_equal_means", [[1.0, 2.0, 3.0], [3.0, 2.0, 1.0], [2.0, 1.0, 3.0]]),
    ]
    for name, of in made:
        case = Case(name, "groups")
        for group in of:
            case.add("group", *group)
        every = [x for group in of for x in group]
        yield banded(case, dice, mean(every), spread(every) or 1.0)


def tables_cases(dice):
    def table(pieces, appraisers, trials, sds, centre=0.0):
        piece, appraiser, both, error = sds
        by_piece = [dice.gauss(centre, piece) for _ in range(pieces)]
        by_appraiser = [dice.gauss(0, appraiser) for _ in range(appraisers)]
        out = {}
        for i in range(pieces):
            for j in range(appraisers):
                at = by_piece[i] + by_appraiser[j] + dice.gauss(0, both)
                out[i + 1, j + 1] = [dice.gauss(at, error) for _ in range(trials)]
        return out

    def case(name, cells, tolerance):
        out = Case(name, "table").add("tolerance", tolerance)
        for (i, j), x in cells.items():
            out.add("cell", str(i), str(j), *x)
        return out

    yield case("study_usual", table(10, 3, 3, (3, 1, 0, 1)), 20.0)
    yield case("study_interacting", table(10, 3, 3, (3, 1, 1.5, 0.4)), 20.0)
    yield case("study_interacting_more", table(8, 4, 2, (2, 1, 2, 0.3)), 20.0)
    yield case("study_smallest", table(2, 2, 2, (3, 1, 0.5, 1)), 5.0)
    yield case("study_fifteen_cells", table(5, 3, 2, (3, 1, 0.5, 0.5)), 12.0)
    yield case("study_many_trials", table(5, 2, 7, (1, 1, 1, 1)), 10.0)
    yield case("study_pieces_alike", table(10, 3, 2, (0, 0.1, 0, 1)), 6.0)
    yield case("study_offset", table(10, 3, 3, (3e-3, 1e-3, 1e-3, 1e-3), 1e9), 0.02)
    yield case("study_huge", table(6, 3, 2, (3e80, 1e80, 1e80, 1e80)), 1e82)
    yield case("study_tiny", table(6, 3, 2, (3e-80, 1e-80, 1e-80, 1e-80)), 1e-78)
    crimps = table(10, 3, 3, (20_000, 6_000, 5_000, 5_000), 28_550_000)
    yield case("study_caliper", {at: stepped(x, 10_000) for at, x in crimps.items()}, 200_000.0)
    holed = table(6, 3, 3, (3, 1, 0, 1))
    holed[4, 2] = []
    yield case("study_missing_cell", holed, 20.0)
    short = table(6, 3, 3, (3, 1, 0, 1))
    short[5, 3].pop()
    yield case("study_missing_reading", short, 20.0)
    yield case("study_all_equal", {(i, j): [12.5] * 2 for i in range(1, 5) for j in range(1, 4)}, 1.0)
    exact = {(i, j): [float(i * i + j * i)] * 2 for i in range(1, 5) for j in range(1, 4)}
    yield case("study_repeats_exactly", exact, 20.0)


def pairs_cases(dice):
    def pairs(name, first, again):
        return Case(name, "pairs").add("first", *first).add("again", *again)

    five = [v for v in (10e6, 20e6, 30e6, 40e6, 50e6) for _ in range(6)]
    yield pairs("pairs_linear", five, [v * 1.0002 + dice.gauss(500, 4_000) for v in five])
    yield pairs("pairs_flat", five, [v + dice.gauss(0, 4_000) for v in five])
    yield pairs("pairs_caliper", five, stepped([v + dice.gauss(0, 9_000) for v in five], 10_000))
    few = [1.0, 2.0, 4.0]
    yield pairs("pairs_three", few, [v + dice.gauss(0, 0.1) for v in few])
    yield pairs("pairs_two", [1.0, 2.0], [1.5, 2.25])
    yield pairs("pairs_one_reference", [5.0] * 8, [dice.gauss(5, 1) for _ in range(8)])
    yield pairs("pairs_same_difference", few * 3, [v + 0.5 for v in few * 3])
    random_sizes = [dice.uniform(-1, 1) for _ in range(200)]
    yield pairs("pairs_random", random_sizes, [v + dice.gauss(0, 1) for v in random_sizes])


def theory_cases(dice):
    for n in (2, 3, 4, 5, 6, 7, 9, 10, 15, 25, 40):
        yield Case(f"constants_{n}", "constants").add("n", str(n)).add("g", str(dice.choice([1, 2, 5, 20, 100])))

    for i in range(40):
        p = dice.choice([10 ** dice.uniform(-8, -1), dice.uniform(0.01, 0.99), 1 - 10 ** dice.uniform(-6, -1)])
        df = dice.choice([1.0, 2.0, float(dice.randint(3, 60)), round(dice.uniform(1, 30), 3), 10 ** dice.uniform(2, 3.5)])
        df2 = dice.choice([1.0, float(dice.randint(2, 60)), 10 ** dice.uniform(1, 3)])
        case = Case(f"distributions_{i + 1}", "distributions").add("p", p).add("df", df).add("df2", df2)
        yield case.add("t", dice.gauss(0, 4)).add("chi", df * dice.uniform(0.2, 3)).add("f", 10 ** dice.uniform(-2, 2))

    beyond, two, four = "beyond_three_sigma", "two_of_three_beyond_two_sigma", "four_of_five_beyond_one_sigma"
    eight, nine, within, outside = ("eight_on_one_side", "nine_on_one_side", "fifteen_within_one_sigma",
                                    "eight_beyond_one_sigma")
    sets = [[beyond], [beyond, two], [beyond, four], [beyond, eight], [beyond, nine], [two], [four], [nine],
            [beyond, two, four, eight], [beyond, nine, two, four], [beyond, within], [outside],
            [beyond, nine, two, four, within, outside]]
    for i, rules in enumerate(sets):
        for shift in (0.0, round(dice.uniform(-3, 3), 3)):
            name = f"rules_{i + 1}_{'still' if shift == 0 else 'shifted'}"
            yield Case(name, "run_lengths").add("rules", *rules).add("shift", shift)
    for i in range(12):
        shift = dice.choice([0.0, round(dice.uniform(-2.5, 2.5), 3)])
        k, h = round(dice.uniform(0.2, 1.2), 3), round(dice.uniform(2, 6), 3)
        h = min(h, round(2.6 / k, 3)) if shift == 0 else h
        yield (Case(f"sums_{i + 1}", "run_lengths").add("cusum", k, h, str(i % 2)).add("shift", shift)
               .add("ewma", round(dice.uniform(0.05, 0.9), 3), round(dice.uniform(2, 3.3), 3)))

    for n, share, confidence in [(2, 0.9, 0.95), (3, 0.99, 0.9), (5, 0.5, 0.5), (10, 0.95, 0.95), (20, 0.9, 0.99),
                                 (43, 0.9, 0.99), (100, 0.999, 0.95), (dice.randint(4, 60), round(dice.uniform(0.6, 0.99), 3), 0.9)]:
        yield Case(f"tolerance_{n}_{share}_{confidence}", "tolerance").add("n", str(n)).add("share", share).add(
            "confidence", confidence)

    kinds = ["standard", "expanded", "rectangular", "triangular", "u_shaped", "t_interval"]
    for i in range(15):
        case = Case(f"budget_{i + 1}", "budget").add("probability", dice.choice([0.95, 0.9545, 0.99, 0.6827]))
        scale = 10 ** dice.uniform(-3, 6)
        for _ in range(dice.randint(1, 6)):
            kind = dice.choice(kinds)
            extra = 2.0 if kind == "expanded" else 0.95
            # Not whole: cut to whole numbers, an effective count that comes out at a whole one would hang on a bit.
            df = dice.choice(["inf", round(dice.uniform(1.1, 20), 3), round(dice.uniform(1.1, 200), 3)])
            case.add("component", kind, dice.uniform(0.05, 1) * scale, extra, dice.uniform(-2, 2), df)
        if i == 0:
            case = Case("budget_1", "budget").add("probability", 0.95).add("component", "standard", 3.0, 1.0, 1.0, 4.0)
        widths = [(1.0, 1.0), (1.0, 0.0), (dice.uniform(0.1, 9), dice.uniform(0.1, 9))][min(i, 2)]
        yield case.add("trapezoid", *widths)

    for i in range(20):
        lot = round(10 ** dice.uniform(1, 4.5))
        n = dice.randint(1, min(lot, 500))
        accept = dice.randint(0, max(0, min(n - 1, 10)))
        bad = dice.choice([0, 1, dice.randint(0, max(1, lot // 20)), dice.randint(0, lot)])
        case = Case(f"lot_{i + 1}", "lot").add("n", str(n)).add("accept", str(accept)).add("bad", str(bad))
        case.add("lot", str(lot)).add("share", 10 ** dice.uniform(-4, -0.5)).add("probability", dice.uniform(0.05, 0.95))
        yield case.add("ppm", str(dice.randint(1_000, 200_000))).add("confidence_ppm", str(dice.choice([900_000, 950_000, 990_000])))


def data_sets(seed):
    dice = random.Random(seed)
    for made in (values_cases, groups_cases, tables_cases, pairs_cases, theory_cases):
        yield from made(dice)


if __name__ == "__main__":
    sys.stdout.write("".join(case.text() for case in data_sets(int(sys.argv[1]))))
