"""Boards of mixed widths: the least ripped away, no strip too narrow, the wide ones spread."""

from fractions import Fraction
from itertools import combinations_with_replacement
from math import ceil

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp  # type: ignore[import-untyped]

from domain.pieces.board_mix import Fill, chosen, left_over, spread

HALF = Fraction(1, 2)


def fill(across: str, *, narrowest: str = "2") -> Fill:
    """Return a panel with 1/2 in to trim off both edges."""
    return Fill(Fraction(across) + 1, Fraction(across), Fraction(narrowest))


def widths(text: str) -> tuple[Fraction, ...]:
    return tuple(Fraction(one) for one in text.split())


def test_the_widths_that_leave_the_least_are_taken() -> None:
    # 25 1/2 + 2 × 1/2 = 26 1/2 = 2 × 5 5/8 + 6 5/8 + 8 5/8: nothing beyond the trim
    found = chosen(fill("51/2"), widths("45/8 53/8 61/8 69/8"))
    assert tuple(sorted(found)) == widths("45/8 45/8 53/8 69/8")


def test_of_choices_that_leave_as_little_the_fewest_boards_are_taken() -> None:
    # 12 in and its trim are 13 = 3 + 3 + 3 + 4 = 6 + 3 + 4
    assert tuple(sorted(chosen(fill("12"), widths("3 4 6")))) == widths("3 4 6")


def test_outer_boards_lose_half_of_what_is_ripped_off() -> None:
    # 5 + 4 + 5 = 14 for 12: 1 in is ripped off each side
    assert left_over(widths("5 4 5"), Fraction(12)) == widths("4 4 4")


def test_no_strip_is_left_narrower_than_the_limit() -> None:
    # 8 in with its trim is 9 = 3 + 3 + 3, but 2 1/2 at the edges is less than 2 3/4; 3 + 7 = 10 leaves 2 in, too; 7 + 7
    # leaves 4 in at both edges
    assert chosen(fill("8", narrowest="11/4"), widths("3 7")) == widths("7 7")


def test_boards_under_the_limit_are_never_taken() -> None:
    assert chosen(fill("8"), widths("1 1/2")) == ()
    assert set(chosen(fill("20"), widths("1 5 6"))) <= set(widths("5 6"))


def test_one_board_that_is_wide_enough_needs_no_trim() -> None:
    assert chosen(fill("6"), widths("5 6 8")) == widths("6")


def test_wide_boards_are_spread() -> None:
    # each width at its even places: 8 at 1/6, 3/6, 5/6 and 5 at 1/4, 3/4 of the way
    assert spread(widths("8 8 8 5 5")) == widths("8 5 8 5 8")


def test_no_other_choice_of_up_to_six_boards_leaves_less() -> None:
    # by trying them all
    to_be_had, panel = widths("33/8 37/8 5 6"), fill("22")
    found = chosen(panel, to_be_had)
    fitting = [
        sum(boards)
        for count in range(2, 7)
        for boards in combinations_with_replacement(to_be_had, count)
        if sum(boards) >= panel.needed and sorted(boards)[-2] - (sum(boards) - panel.across) / 2 >= panel.narrowest
    ]
    assert sum(found) == min(fitting)


@settings(max_examples=60)
@given(
    across=st.integers(10 * 16, 60 * 16),
    marks=st.lists(st.integers(5 * 8, 12 * 8), min_size=1, max_size=5, unique=True),
)
def test_the_least_agrees_with_an_integer_programme(across: int, marks: list[int]) -> None:
    # Source: SciPy's HiGHS, smallest sum of whole numbers of boards that reaches the panel and its trim
    panel = Fill(Fraction(across, 16) + 1, Fraction(across, 16), Fraction(1))
    to_be_had = tuple(Fraction(mark, 8) for mark in marks)
    found = chosen(panel, to_be_had)
    assert panel.is_kept(found)
    if max(to_be_had) >= panel.across:
        return
    lengths = np.array([2 * mark for mark in marks], dtype=float)
    reached = LinearConstraint(lengths, lb=float(ceil(panel.needed * 16)))
    best = milp(lengths, constraints=reached, integrality=np.ones(len(marks)))
    assert sum(found) * 16 == round(best.fun)
