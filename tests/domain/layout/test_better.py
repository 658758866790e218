"""What a layout has to mind beside cost: matching parts, the rack, offcuts, stopping, and no solver."""

from fractions import Fraction
from itertools import count

import pytest

from cutting_sets import dissected, triplets
from domain.layout import better
from domain.layout.better import improve
from domain.layout.first import first_layout
from domain.layout.shape import Blank, Layout, Source, ToCut, Way
from domain.length import Length
from layout_checker import check

EIGHTH = Length.of("1/8")
SHEET = Source("sheet", Length.of(48), Length.of(96), Fraction(60))


def blank(key: str, width: int, length: int, many: int = 1, *, turns: bool = False, match: str = "") -> Blank:
    return Blank(key, key, Length.of(width), Length.of(length), many, turns, match)


def improved(layout: Layout) -> Layout:
    last = list(improve(layout))[-1]
    assert last.done == 1
    assert last.best.improved
    check(last.best)
    return last.best


def boards_with(layout: Layout, keys: str) -> list[int]:
    return [at for at, laid in enumerate(layout.laid) if any(place.blank in keys for place in laid.places)]


def test_parts_that_match_come_out_of_one_sheet_even_where_others_would_fill_it_better() -> None:
    blanks = (blank("a", 23, 40, match="doors"), blank("b", 23, 30, 2, match="doors"), blank("c", 23, 50, 4))
    for layout in (first := first_layout(ToCut(blanks, (SHEET,), EIGHTH)), improved(first)):
        check(layout)
        assert len(boards_with(layout, "ab")) == 1


def test_parts_that_match_and_fit_no_one_board_take_as_few_as_can_be_in_sequence() -> None:
    board = Source("board", Length.of(6), Length.of(96), Fraction(20))
    blanks = (blank("a", 5, 45, 5, match="top"), blank("b", 5, 60, 2), blank("c", 3, 20, 3))
    for layout in (first := first_layout(ToCut(blanks, (board,), EIGHTH)), improved(first)):
        check(layout)
        with_top = boards_with(layout, "a")
        assert len(with_top) == 3
        assert with_top == list(range(with_top[0], with_top[0] + 3))


def test_the_last_of_boards_that_match_is_a_whole_board_however_little_is_on_it() -> None:
    # Three of the four fill the large board; the fourth has one for itself, and more room on it than it takes.
    small = Source("small", Length.of(4), Length.of(19), Fraction(1))
    large = Source("large", Length.of("43/4"), Length.of("55/2"), Fraction(1))
    three = Blank("a", "a", Length.of("13/4"), Length.of("203/8"), 3, match="a")
    fourth = Blank("b", "b", Length.of("23/8"), Length.of("73/4"), match="a")
    blanks = (three, fourth, Blank("c", "c", Length.of("31/8"), Length.of(14)), blank("d", 1, 1, 3))
    layout = first_layout(ToCut(blanks, (small, large), Length.of(0)))
    check(layout)
    assert len(boards_with(layout, "ab")) == 2


def test_grain_is_kept_unless_a_part_may_turn() -> None:
    long = blank("a", 60, 20)
    kept = first_layout(ToCut((long,), (SHEET,), EIGHTH))
    assert dict(kept.unplaced) == {"a": 1}
    turned = first_layout(ToCut((blank("a", 60, 20, turns=True),), (SHEET,), EIGHTH))
    assert turned.laid[0].places[0].turned
    check(turned)


def test_what_fits_nothing_or_finds_none_left_is_said_and_the_rest_is_laid_out() -> None:
    one = Source("board", Length.of(6), Length.of(96), Fraction(20), 1)
    layout = improved(first_layout(ToCut((blank("a", 5, 90, 3), blank("b", 7, 10)), (one,), EIGHTH)))
    assert dict(layout.unplaced) == {"a": 2, "b": 1}
    assert [place.blank for laid in layout.laid for place in laid.places] == ["a"]


def test_what_costs_nothing_is_used_first() -> None:
    rack = Source("rack", Length.of(6), Length.of(50), Fraction(0), 2)
    board = Source("board", Length.of(6), Length.of(96), Fraction(20))
    layout = first_layout(ToCut((blank("a", 5, 45, 4),), (board, rack), EIGHTH))
    assert [laid.source for laid in layout.laid] == ["rack", "rack", "board"]
    assert layout.is_best


def test_a_blank_that_ends_at_the_edge_takes_no_kerf_there() -> None:
    board = Source("board", Length.of(5), Length.of(Fraction(80) + Fraction(1, 8)), Fraction(20))
    layout = first_layout(ToCut((blank("a", 5, 40, 2),), (board,), EIGHTH))
    assert [(cut.way, cut.at) for cut in layout.laid[0].cuts] == [(Way.CROSSCUT, Length.of(40))]
    assert layout.laid[0].offcuts == ()


def test_the_rest_is_left_in_one_piece() -> None:
    layout = improved(first_layout(ToCut((blank("a", 23, 30, 2),), (SHEET,), EIGHTH)))
    assert layout.laid[0].offcuts[0].area == 48 * (Fraction(96) - 30 - Fraction(1, 8))


@pytest.mark.parametrize("solver", [True, False])
def test_stopped_early_the_best_so_far_is_complete(solver: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(better, "has_solver", lambda: solver)
    instance = next(iter(dissected(4, 6, 1)))
    asked = count()
    last = first_layout(instance.to_cut)
    for progress in improve(last, stop=lambda: next(asked) > 40):
        last = progress.best
    check(last)
    assert not last.improved
    assert next(asked) > 40


def test_without_a_solver_the_search_goes_on_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(better, "has_solver", lambda: False)
    monkeypatch.setattr("domain.layout.pool.has_solver", lambda: False)
    layout = improved(first_layout(ToCut((blank("a", 11, 30, 9), blank("b", 13, 22, 7)), (SHEET,), EIGHTH)))
    assert layout.bound.count <= len(layout.laid)


def test_the_same_search_finds_the_same_layout() -> None:
    to_cut = ToCut((blank("a", 11, 30, 9), blank("b", 13, 22, 7, turns=True), blank("c", 5, 40, 6)), (SHEET,), EIGHTH)
    assert improved(first_layout(to_cut)) == improved(first_layout(to_cut))


def test_bins_of_three_pieces_without_waste_are_found() -> None:
    # Falkenauer's triplets, by the published procedure: optimum a third of the pieces, by construction.
    instance = next(iter(triplets(30, 1)))
    assert len(improved(first_layout(instance.to_cut)).laid) == instance.optimum == 10


def test_sheets_that_came_apart_by_through_cuts_are_put_together_again() -> None:
    # Hopper and Turton's generator of guillotine sets without waste: optimum by construction.
    instance = list(dissected(2, 6, 2))[1]
    assert len(improved(first_layout(instance.to_cut)).laid) == instance.optimum == 2
