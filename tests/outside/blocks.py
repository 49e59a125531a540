"""Data files and figures as text: the form that case.h describes."""


class Case:
    def __init__(self, name, kind, lines=()):
        self.name, self.kind, self.lines = name, kind, list(lines)

    def words(self, key):
        """Of the first line with that key; None where there is none."""
        return next((words for name, words in self.lines if name == key), None)

    def all(self, key):
        return [words for name, words in self.lines if name == key]

    def add(self, key, *values):
        self.lines.append((key, [v if isinstance(v, str) else repr(v) for v in values]))
        return self

    def text(self):
        return "\n".join([f"case {self.name} {self.kind}"] + [" ".join([k] + w) for k, w in self.lines]) + "\n\n"


def read_cases(path):
    cases = []
    with open(path, encoding="ascii") as file:
        for line in file:
            words = line.split()
            if not words or words[0] == "#":
                continue
            if words[0] == "case":
                cases.append(Case(words[1], words[2]))
            else:
                cases[-1].lines.append((words[0], words[1:]))
    return cases


class Figures:
    """What is said of one case; each figure once."""

    def __init__(self):
        self.said = {}

    def say(self, figure, value, scale=0, lost=0):
        """`scale`: the size that the figure came out of by subtraction. `lost`: how far the figure moves when what it is
        made of moves by its last bit, where that is not a last bit of `scale`."""
        assert figure not in self.said, figure
        self.said[figure] = (value, scale, lost)

    def open(self, figure):
        """A count that hangs on whether two numbers with the same first sixteen digits differ."""
        self.say(figure, "open")

    def refused(self, figure):
        self.say(figure, "refused")

    def absent(self, *figures):
        for figure in figures:
            self.say(figure, "-")
