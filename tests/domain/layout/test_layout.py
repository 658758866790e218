"""Layouts of random things to cut: every one can be cut as told, and none beats its bound."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from domain.layout import better
from domain.layout.better import improve
from domain.layout.bound import bound
from domain.layout.first import first_layout
from domain.layout.shape import Source, ToCut
from domain.length import Length
from layout_cases import sizes, to_cuts
from layout_checker import check

SLOW = settings(max_examples=12, suppress_health_check=[HealthCheck.too_slow])


@given(to_cuts())
@settings(max_examples=150)
def test_a_first_layout_can_be_cut_as_told_and_beats_no_bound(to_cut: ToCut) -> None:
    layout = first_layout(to_cut)
    check(layout)
    assert layout.bound.cost <= layout.cost
    assert layout.bound.count <= len(layout.laid)


@given(to_cuts())
@SLOW
def test_a_better_layout_can_be_cut_as_told_beats_no_bound_and_is_never_worse(to_cut: ToCut) -> None:
    start = first_layout(to_cut)
    before = start
    for progress in improve(start):
        check(progress.best)
        assert progress.best.bound.cost <= progress.best.cost
        assert progress.best.bound.count <= len(progress.best.laid)
        assert better.standing(progress.best) <= better.standing(before)
        before = progress.best
    assert before.improved
    assert progress.done == 1


@given(to_cuts())
@settings(max_examples=30)
def test_the_same_input_gets_the_same_layout(to_cut: ToCut) -> None:
    assert first_layout(to_cut) == first_layout(to_cut)


@given(to_cuts(plenty=True), sizes(4, 14), sizes(10, 40))
@settings(max_examples=60)
def test_more_stock_on_the_rack_never_raises_the_bound(to_cut: ToCut, width: Length, length: Length) -> None:
    rack = Source("rack", width, length, Fraction(0), 1)
    richer = replace(to_cut, sources=(*to_cut.sources, rack))
    fits = {blank.key for blank in to_cut.blanks} - set(first_layout(to_cut).unplaced)
    both = [replace(one, blanks=tuple(b for b in one.blanks if b.key in fits)) for one in (to_cut, richer)]
    assert bound(both[1]).cost <= bound(both[0]).cost


@given(to_cuts(), st.integers(1, 9), st.integers(1, 9))
@settings(max_examples=40)
def test_scaled_sizes_are_laid_out_alike(to_cut: ToCut, above: int, under: int) -> None:
    by = Fraction(above, under)
    scaled = ToCut(
        tuple(replace(one, width=one.width * by, length=one.length * by) for one in to_cut.blanks),
        tuple(replace(one, width=one.width * by, length=one.length * by) for one in to_cut.sources),
        to_cut.kerf * by,
        (to_cut.keep[0] * by, to_cut.keep[1] * by),
    )
    plain, other = first_layout(to_cut), first_layout(scaled)
    assert [[place.blank for place in laid.places] for laid in plain.laid] == [
        [place.blank for place in laid.places] for laid in other.laid
    ]
    assert (plain.bound.cost, plain.bound.count) == (other.bound.cost, other.bound.count)
