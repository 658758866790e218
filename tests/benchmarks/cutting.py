"""The table of published sets: how many are solved to the optimum, how far from it the others are, in what time.

`python -m tests.benchmarks.cutting` prints all of it, and takes a good while; words after it choose sets by name.
"""

import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from time import perf_counter

sys.path.insert(0, "tests")

from cutting_sets import Instance, dissected, gau, read, scholl, triplets, uniform
from domain.layout.better import improve
from domain.layout.first import first_layout
from layout_checker import check

SETS: dict[str, Callable[[], Iterable[Instance]]] = {
    "Falkenauer triplets, 60": lambda: triplets(60, 10),
    "Falkenauer triplets, 120": lambda: triplets(120, 4),
    "Falkenauer uniform, 120": lambda: uniform(120, 10),
    "Falkenauer uniform, 250": lambda: uniform(250, 4),
    "Scholl, Klein, Jürgens, 100": lambda: scholl(100, 18),
    "Gau, Wäscher, 20 lengths": lambda: gau(20, 10),
    "Hopper, Turton, 4 x 6": lambda: dissected(4, 6, 10),
    "Hopper, Turton, 6 x 10": lambda: dissected(6, 10, 6),
    "Bengtsson": lambda: read("beng"),
    "Berkey, Wang, I to VI, 20": lambda: [one for kind in range(1, 7) for one in read(f"cl{kind:02}_020")],
    "Martello, Vigo, VII to X, 20": lambda: [one for kind in range(7, 11) for one in read(f"cl{kind:02}_020")],
    "Berkey, Wang, I to VI, 40": lambda: [one for kind in range(1, 7) for one in read(f"cl{kind:02}_040")],
    "Martello, Vigo, VII to X, 40": lambda: [one for kind in range(7, 11) for one in read(f"cl{kind:02}_040")],
    "Berkey, Wang, I to VI, 100": lambda: [one for kind in range(1, 7) for one in read(f"cl{kind:02}_100")],
    "Martello, Vigo, VII to X, 100": lambda: [one for kind in range(7, 11) for one in read(f"cl{kind:02}_100")],
}


@dataclass(frozen=True)
class Outcome:
    """first, better: boards; least: the known optimum, or what the engine proves; seconds: of both."""

    first: int
    better: int
    least: int
    seconds: tuple[float, float]


def run(instance: Instance) -> Outcome:
    """Return what comes of one instance, each layout checked by cutting it up."""
    begun = perf_counter()
    first = first_layout(instance.to_cut)
    between = perf_counter()
    better = list(improve(first))[-1].best
    ended = perf_counter()
    check(first)
    check(better)
    assert better.bound.count <= len(better.laid) <= len(first.laid)
    assert instance.optimum is None or better.bound.count <= instance.optimum <= len(better.laid)
    least = better.bound.count if instance.optimum is None else instance.optimum
    return Outcome(len(first.laid), len(better.laid), least, (between - begun, ended - between))


def row(name: str, outcomes: Sequence[Outcome]) -> str:
    """Return a line of the table: solved means as many boards as the known optimum, or as the proven bound."""
    many = len(outcomes)
    solved = sum(one.better == one.least for one in outcomes)
    first = sum((Fraction(one.first - one.least, one.least) for one in outcomes), Fraction(0)) / many
    better = sum((Fraction(one.better - one.least, one.least) for one in outcomes), Fraction(0)) / many
    quick, slow = (sum(one.seconds[at] for one in outcomes) / many for at in (0, 1))
    return (
        f"| {name:30} | {many:4} | {solved:4} ({100 * solved / many:3.0f} %) | {float(100 * first):6.2f} % "
        f"| {float(100 * better):6.2f} % | {quick:6.3f} | {slow:6.2f} |"
    )


def main(words: Sequence[str]) -> None:
    print("| set | instances | solved | mean gap, first | improved | seconds, first | improved |")
    print("| --- | ---: | ---: | ---: | ---: | ---: | ---: |")
    for name, instances in SETS.items():
        if not words or any(word.lower() in name.lower() for word in words):
            print(row(name, [run(instance) for instance in instances()]), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
