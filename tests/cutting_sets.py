"""Published sets of things to cut with a known optimum or a known bound, typed in or made as published."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from random import Random

from domain.layout.shape import Blank, Source, ToCut
from domain.length import Length

ONE = Length.of(1)
NO_KERF = Length.of(0)


@dataclass(frozen=True)
class Instance:
    """optimum: the least number of boards, where it is known by construction."""

    name: str
    to_cut: ToCut
    optimum: int | None = None


def in_line(name: str, sizes: Sequence[int], room: int, optimum: int | None = None) -> Instance:
    """Return boards and blanks of one width, so that lengths alone matter."""
    blanks = tuple(
        Blank(str(size), str(size), ONE, Length.of(size), many) for size, many in sorted(Counter(sizes).items())
    )
    return Instance(name, ToCut(blanks, (Source("board", ONE, Length.of(room), Fraction(1)),), NO_KERF), optimum)


def on_sheets(
    name: str, sizes: Sequence[tuple[int, int]], sheet: tuple[int, int], optimum: int | None = None
) -> Instance:
    """Return sheets and blanks that keep their grain, length first."""
    blanks = tuple(
        Blank(f"{length}x{width}", f"{length}x{width}", Length.of(width), Length.of(length), many)
        for (length, width), many in sorted(Counter(sizes).items())
    )
    source = Source("sheet", Length.of(sheet[1]), Length.of(sheet[0]), Fraction(1))
    return Instance(name, ToCut(blanks, (source,), NO_KERF), optimum)


def triplets(pieces: int, many: int) -> Iterator[Instance]:
    """Yield bins of three pieces each, filled without waste: the optimum is a third of the pieces.

    Source: E. Falkenauer, A hybrid grouping genetic algorithm for bin packing, Journal of Heuristics 2, 1996, 5-30:
    bins of 1000; the first from 380 to 490, the second from 250 to half of what is left, the third what is left then.
    """
    for seed in range(many):
        chance, sizes = Random(seed), list[int]()
        for _ in range(pieces // 3):
            first = chance.randint(380, 490)
            second = chance.randint(250, (1000 - first) // 2)
            sizes += [first, second, 1000 - first - second]
        yield in_line(f"triplet {pieces} {seed}", sizes, 1000, pieces // 3)


def uniform(pieces: int, many: int) -> Iterator[Instance]:
    """Yield bins of 150 and pieces from 20 to 100. Source: Falkenauer, 1996, the uniform class."""
    for seed in range(many):
        chance = Random(seed)
        yield in_line(f"uniform {pieces} {seed}", [chance.randint(20, 100) for _ in range(pieces)], 150)


def scholl(pieces: int, many: int) -> Iterator[Instance]:
    """Yield bins of 100, 120, 150 with pieces from 1, 20 and 30 to 100 by turns.

    Source: A. Scholl, R. Klein, C. Jürgens, BISON: a fast hybrid procedure for exactly solving the one-dimensional bin
    packing problem, Computers & Operations Research 24, 1997, 627-645, the first data set.
    """
    kinds = [(room, least) for room in (100, 120, 150) for least in (1, 20, 30)]
    for seed in range(many):
        chance = Random(seed)
        room, least = kinds[seed % len(kinds)]
        yield in_line(f"scholl {pieces} {seed}", [chance.randint(least, 100) for _ in range(pieces)], room)


def gau(kinds: int, many: int) -> Iterator[Instance]:
    """Yield stock of 1000 with some lengths, each wanted ten times on average, as CUTGEN1 makes them.

    Source: T. Gau, G. Wäscher, CUTGEN1: a problem generator for the standard one-dimensional cutting stock problem,
    European Journal of Operational Research 84, 1995, 572-579: lengths from 1 to 200, 800 of a thousand; demands by
    shares of uniform numbers.
    """
    for seed in range(many):
        chance = Random(seed)
        largest = (200, 800)[seed % 2]
        lengths = [chance.randint(1, largest) for _ in range(kinds)]
        shares = [chance.random() for _ in range(kinds)]
        demands = [max(1, round(share / sum(shares) * 10 * kinds)) for share in shares]
        sizes = [length for length, demand in zip(lengths, demands, strict=True) for _ in range(demand)]
        yield in_line(f"cutgen {kinds} {seed}", sizes, 1000)


def dissected(sheets: int, pieces: int, many: int, room: tuple[int, int] = (400, 200)) -> Iterator[Instance]:
    """Yield sheets cut through at random until there are so many pieces of each: the optimum is the number of sheets.

    Source: E. Hopper, B. C. H. Turton, Problem generators for rectangular packing problems, Studia Informatica
    Universalis 2, 2002, 123-136, the guillotineable generator: cuts right through, no waste.
    """
    for seed in range(many):
        chance, sizes = Random(seed), list[tuple[int, int]]()
        for _ in range(sheets):
            parts = [room]
            while len(parts) < pieces:
                parts.sort(key=lambda part: part[0] * part[1])
                length, width = parts.pop()
                if length * chance.uniform(0.5, 2) >= width:
                    at = chance.randint(length // 5, length - length // 5)
                    parts += [(at, width), (length - at, width)]
                else:
                    at = chance.randint(width // 5, width - width // 5)
                    parts += [(length, at), (length, width - at)]
            sizes += parts
        yield on_sheets(f"dissected {sheets} x {pieces} {seed}", sizes, room, sheets)


def read(prefix: str) -> Iterator[Instance]:
    """Yield the published instances of that name; their sources are in two_dimensional.txt."""
    for line in (Path(__file__).parent / "benchmarks" / "two_dimensional.txt").read_text().splitlines():
        if line.startswith(prefix):
            name, long, wide, *blanks = line.split(";")
            sizes: list[tuple[int, int]] = []
            for blank in blanks:
                numbers = [int(number) for number in blank.split(",")]
                sizes += [(numbers[0], numbers[1])] * (numbers[2] if len(numbers) > 2 else 1)
            yield on_sheets(name, sizes, (int(long), int(wide)))
