"""Lower bounds, against linear programs solved by SciPy's HiGHS and against things whose best is known."""

from collections import Counter
from fractions import Fraction
from itertools import pairwise
from math import ceil
from random import Random

import numpy
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.sparse import coo_array

from domain.layout.better import improve
from domain.layout.bound import bound
from domain.layout.first import first_layout
from domain.layout.shape import Blank, Source, ToCut
from domain.length import Length

NONE = Length.of(0)


def in_line(sizes: list[int], room: int) -> ToCut:
    blanks = tuple(
        Blank(str(size), str(size), Length.of(1), Length.of(size), many) for size, many in Counter(sizes).items()
    )
    return ToCut(blanks, (Source("board", Length.of(1), Length.of(room), Fraction(7, 2)),), NONE)


def arc_flow(sizes: list[int], room: int) -> float:
    """Return the least boards, cut in part, by the flow of lengths from one end of the board to the other.

    Source: J. M. Valério de Carvalho, Exact solution of bin-packing problems using column generation and
    branch-and-bound, Annals of Operations Research 86, 1999, 629-659.
    """
    demand = Counter(sizes)
    arcs = [(at, at + size, size) for size in demand for at in range(room - size + 1)]
    arcs += [(at, at + 1, 0) for at in range(room)]
    rows, columns, values = [], [], []
    for which, (begin, end, _) in enumerate(arcs):
        rows += [begin, end]
        columns += [which, which]
        values += [1.0, -1.0]
    flow = coo_array((values, (rows, columns)), shape=(room + 1, len(arcs))).tocsr()
    whole = numpy.zeros((room + 1, 1))
    whole[0], whole[room] = -1, 1
    kinds = list(demand)
    holds = coo_array(
        (
            [-1.0 for _, _, size in arcs if size],
            (
                [kinds.index(size) for _, _, size in arcs if size],
                [which for which, (_, _, size) in enumerate(arcs) if size],
            ),
        ),
        shape=(len(kinds), len(arcs) + 1),
    )
    cost = numpy.zeros(len(arcs) + 1)
    cost[-1] = 1
    balance = numpy.hstack([flow.toarray(), whole])
    found = linprog(
        cost, A_ub=holds.tocsr(), b_ub=[-demand[kind] for kind in kinds], A_eq=balance, b_eq=numpy.zeros(room + 1)
    )
    assert found.success
    return float(found.fun)


def in_sizes(low: int, high: int, pieces: int, seed: int) -> list[int]:
    chance = Random(seed)
    return [chance.randint(low, high) for _ in range(pieces)]


@pytest.mark.parametrize(
    ("sizes", "room"),
    [
        # Falkenauer's uniform class; the first set of Scholl, Klein and Jürgens; both as published, but small.
        (in_sizes(20, 100, 60, 1), 150),
        (in_sizes(20, 100, 60, 2), 150),
        (in_sizes(1, 100, 50, 3), 100),
        (in_sizes(20, 100, 50, 4), 120),
        (in_sizes(30, 100, 50, 5), 120),
    ],
)
def test_in_line_the_bound_is_the_linear_program_rounded_up_and_is_met(sizes: list[int], room: int) -> None:
    to_cut = in_line(sizes, room)
    least = arc_flow(sizes, room)
    last = list(improve(first_layout(to_cut)))[-1].best
    assert bound(to_cut).count <= ceil(least - 1e-6)
    assert len(last.laid) >= least - 1e-6
    assert last.bound.count == ceil(least - 1e-6) == len(last.laid)
    assert last.is_best


def dissection(seed: int, kerf: Fraction) -> tuple[ToCut, Fraction]:
    """Return pieces that sheets come apart into by through cuts without waste, and what the sheets cost."""
    chance = Random(seed)
    sources = []
    for at in range(chance.randint(1, 3)):
        width, length = Length.of(chance.randint(30, 60)), Length.of(chance.randint(30, 100))
        sources.append(Source(f"s{at}", width, length, Fraction(chance.randint(1, 9))))
    cost, blanks = Fraction(0), list[Blank]()
    for _ in range(chance.randint(1, 4)):
        source = chance.choice(sources)
        cost += source.cost
        parts = [(source.length.inches, source.width.inches)]
        for _ in range(chance.randint(0, 6)):
            length, width = parts.pop(chance.randrange(len(parts)))
            share = Fraction(chance.randint(1, 7), 8)
            if chance.random() < 0.5 and length > 2 * kerf:
                cut = (length - kerf) * share
                parts += [(cut, width), (length - kerf - cut, width)]
            elif width > 2 * kerf:
                cut = (width - kerf) * share
                parts += [(length, cut), (length, width - kerf - cut)]
            else:
                parts.append((length, width))
        for length, width in parts:
            turns = chance.random() < 0.3
            size = [Length(width), Length(length)]
            if turns and chance.random() < 0.5:
                size.reverse()
            blanks.append(Blank(str(len(blanks)), "", size[0], size[1], 1, turns))
    return ToCut(tuple(blanks), tuple(sources), Length(kerf)), cost


@given(st.integers(0, 10**9), st.sampled_from([Fraction(0), Fraction(1, 8)]))
@settings(max_examples=150)
def test_sheets_that_came_apart_without_waste_never_cost_less_than_the_bound(seed: int, kerf: Fraction) -> None:
    to_cut, cost = dissection(seed, kerf)
    assert bound(to_cut).cost <= cost


@given(st.integers(0, 10**9))
@settings(max_examples=40)
def test_no_layout_costs_less_than_the_linear_program_of_areas(seed: int) -> None:
    """The cheapest boards, taken in part, that hold the area of every blank: each blank shared among boards it fits."""
    to_cut, _ = dissection(seed, Fraction(1, 8))
    pairs = [
        (at, which)
        for at, blank in enumerate(to_cut.blanks)
        for which, source in enumerate(to_cut.sources)
        if (blank.length <= source.length and blank.width <= source.width)
        or (blank.turns and blank.width <= source.length and blank.length <= source.width)
    ]
    many, kinds = len(to_cut.blanks), len(to_cut.sources)
    areas = [float(blank.length.inches * blank.width.inches) for blank in to_cut.blanks]
    holds = numpy.zeros((kinds, len(pairs) + kinds))
    shares = numpy.zeros((many, len(pairs) + kinds))
    for column, (at, which) in enumerate(pairs):
        holds[which, column] = areas[at]
        shares[at, column] = 1
    for which, source in enumerate(to_cut.sources):
        holds[which, len(pairs) + which] = -float(source.length.inches * source.width.inches)
    cost = [0.0] * len(pairs) + [float(source.cost) for source in to_cut.sources]
    found = linprog(cost, A_ub=holds, b_ub=numpy.zeros(kinds), A_eq=shares, b_eq=numpy.ones(many))
    assert found.success
    layout = first_layout(to_cut)
    assert float(layout.cost) >= found.fun - 1e-6
    assert float(layout.bound.cost) >= found.fun - 1e-6 or kinds > 1


def test_parts_too_big_to_share_a_sheet_are_counted_one_by_one() -> None:
    # Five of 60 % by 60 % of a sheet: 1.8 sheets by area, five in truth.
    to_cut = ToCut(
        (Blank("big", "1", Length.of(29), Length.of(58), 5),),
        (Source("sheet", Length.of(48), Length.of(96), Fraction(60)),),
        Length.of("1/8"),
    )
    found = bound(to_cut)
    assert (found.count, found.cost) == (5, 300)
    assert found.why == "5 parts are too big to share a sheet, so there are at least 5 sheets"


def test_what_is_long_is_charged_to_the_long_boards() -> None:
    blanks = (Blank("long", "1", Length.of(4), Length.of(110), 3), Blank("short", "2", Length.of(4), Length.of(40), 2))
    cheap = Source("8 ft", Length.of(5), Length.of(96), Fraction(10))
    dear = Source("10 ft", Length.of(5), Length.of(120), Fraction(30))
    assert bound(ToCut(blanks, (cheap, dear), Length.of("1/8"))).cost == 3 * 30 + 10


def test_what_lies_on_the_rack_is_counted_as_if_it_were_used_to_the_last() -> None:
    blanks = (Blank("a", "1", Length.of(4), Length.of(40), 10),)
    bought = Source("bought", Length.of(4), Length.of(80), Fraction(10))
    costs = [bound(ToCut(blanks, (bought, *rack(many)), NONE)).cost for many in range(5)]
    assert costs == [50, 40, 30, 20, 10]
    assert all(less <= more for more, less in pairwise(costs))


def rack(many: int) -> tuple[Source, ...]:
    return (Source("rack", Length.of(4), Length.of(85), Fraction(0), many),) if many else ()
