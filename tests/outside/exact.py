"""The figures of a data file at 40 digits:  /usr/bin/python3 tests/outside/exact.py FILE

Lines "CASE FIGURE VALUE SCALE LOST" (blocks.py says what the last two are). "condition" is no figure of the program: it
says how many times larger the values are than what is to be told apart in them. It reads the same doubles as the program, takes them as exact, and never rounds between;
so it is the truth that a double can be compared with. Several processes, a case each.
"""
import os
import sys
from multiprocessing import Pool

from mpmath import mp

import exact_ground
import exact_samples
import exact_tables
import exact_theory
from blocks import Figures, read_cases

KINDS = {
    "values": exact_samples.say_values, "groups": exact_tables.say_groups, "table": exact_tables.say_table,
    "pairs": exact_tables.say_pairs, "constants": exact_theory.say_constants,
    "distributions": exact_theory.say_distributions, "tolerance": exact_theory.say_tolerance,
    "budget": exact_theory.say_budget, "lot": exact_theory.say_lot, "run_lengths": lambda case, out: None,
}


def text(value):
    return value if isinstance(value, str) else mp.nstr(value, 25)


def lines_of(case):
    out = Figures()
    try:
        KINDS[case.kind](case, out)
    except Exception as error:
        raise RuntimeError(f"{case.name}: {error!r}") from error
    return [" ".join([case.name, figure, text(value), text(mp.mpf(scale)), text(mp.mpf(lost))])
            for figure, (value, scale, lost) in out.said.items()]


if __name__ == "__main__":
    exact_ground.shared_table()
    with Pool(min(4, os.cpu_count() or 1)) as pool:
        for lines in pool.imap(lines_of, read_cases(sys.argv[1]), chunksize=4):
            sys.stdout.write("".join(line + "\n" for line in lines))
