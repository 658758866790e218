"""What is cut for a run goes in, and the gaps said are the widest there are.

The fit is checked against walls made of straight lines, not against our own formulas; how a maker measures,
scribes and covers is common practice, no source.
"""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.length import Length
from domain.measure import HOW_TO_MEASURE, LABELS, Cover, End, Fit, Run, fit, run_problems
from domain.practice import ShopPractice

USUAL = ShopPractice()
BEAD = Cover.BEAD


def a_run(**sizes) -> Run:
    """Return a run of 9 ft by 25 in between two straight, square walls, but for what is said."""
    usual = {"back": "108", "middle": "108", "front": "108", "out_of_square": "0", "cover": BEAD, "name": "north wall"}
    usual |= {"depth_left": "25", "depth_centre": "25", "depth_right": "25"}
    given_ = {
        name: Length.of(value) if isinstance(value, str) and name in LABELS else value
        for name, value in (usual | sizes).items()
    }
    return Run(1, **given_)


def fits(**sizes) -> Fit:
    return fit(a_run(**sizes), USUAL, where="job:3:measure:1")


def test_straight_walls_leave_the_clearance_on_each_side():
    found = fits()
    assert found.width.length == Length.of(108) - 2 * Length.of("1/8")
    assert found.gap_left.length == found.gap_right.length == Length.of("1/8")
    assert found.depth.length == Length.of(25)
    assert found.gap_back.value == 0
    assert found.problems == ()


def test_the_narrowest_place_decides_and_the_widest_gap_is_where_the_wall_bows_out():
    found = fits(middle="107.5", front="108.25")
    assert found.width.value == Fraction("107.5") - Fraction(1, 4)
    assert found.gap_left.length == Length.of("1/8")
    assert found.gap_right.length == Length.of("1/8") + Length.of("3/4")


def test_walls_that_lean_the_same_way_leave_less_than_the_tape_says():
    # The widths are all 108 in, yet a square top jams: a parallelogram holds a narrower rectangle.
    found = fits(out_of_square="1")
    assert found.width.value == 108 - 1 - Fraction(1, 4)
    assert found.gap_left.length == found.gap_right.length == Length.of("9/8")


def test_without_a_square_each_wall_may_be_the_crooked_one():
    found = fits(front="108.5", out_of_square=None)
    assert found.gap_left.value == found.gap_right.value == Fraction(1, 8) + Fraction(1, 2)
    assert [problem.field for problem in found.problems if problem.field == "out_of_square"]


offsets = st.fractions(-1, 1, max_denominator=16)


@given(offsets, offsets, offsets, offsets)
def test_the_top_goes_in_square_and_no_gap_is_wider_than_said(lean, back, middle, front):
    """The left wall is a straight line; the right one goes through three points; the top is a rectangle."""
    left = {Fraction(0): Fraction(0), Fraction(1, 2): -lean / 2, Fraction(1): -lean}
    right = {Fraction(0): 100 + back, Fraction(1, 2): 100 + middle, Fraction(1): 100 + front}
    names = {"back": Fraction(0), "middle": Fraction(1, 2), "front": Fraction(1)}
    widths = {name: Length(right[at] - left[at]) for name, at in names.items()}
    found = fit(replace(a_run(), **widths, out_of_square=Length(lean)), USUAL)
    clearance = USUAL.value("fitting_clearance")
    start = max(left.values()) + clearance
    end = start + found.width.value
    assert end == min(right.values()) - clearance
    assert found.gap_left.value == max(start - wall for wall in left.values())
    assert found.gap_right.value == max(wall - end for wall in right.values())


@given(st.lists(st.fractions(90, 92, max_denominator=16), min_size=3, max_size=3))
def test_an_open_end_needs_room_at_its_one_wall_only(widths):
    sizes = dict(zip(("back", "middle", "front"), map(Length, widths), strict=True))
    found = fit(replace(a_run(left=End.OPEN, out_of_square=None), **sizes), USUAL)
    assert found.width.value == min(widths) - Fraction(1, 8)
    assert found.gap_left is None
    assert found.gap_right.value == Fraction(1, 8) + max(widths) - min(widths)
    both = fit(replace(a_run(left=End.OPEN, right=End.OPEN, out_of_square=None), **sizes), USUAL)
    assert both.width.value == max(widths)
    assert both.gap_right is None


def test_a_gap_the_bead_hides_is_cut_straight_and_one_it_does_not_is_scribed():
    hidden = fits(depth_centre="25.5")
    assert (hidden.depth.length, hidden.gap_back.length) == (Length.of(25), Length.of("1/2"))
    assert hidden.problems == ()
    shown = fits(depth_centre="25.625")
    assert shown.depth.length == Length.of("25.625")
    (problem,) = shown.problems
    assert problem.words == (
        "At the back the gap is up to 5/8 in, wider than the 1/2 in that the bead hides. The depth to cut has it on: "
        "scribe the back edge to the wall, or take a bead that hides as much. Cut a dummy strip to the wall first and "
        "take the line from it."
    )


def test_a_wider_bead_hides_more():
    assert fits(depth_centre="25.625", hides="3/4").problems == ()


def test_with_nothing_to_hide_it_even_a_small_gap_is_told():
    (problem,) = fits(cover=Cover.NONE, front="108.25").problems
    assert "nothing is planned to hide it" in problem.words
    assert "Leave 3/8 in more on the right end" in problem.words


def test_a_gap_no_scribe_takes_wants_a_filler():
    (problem,) = fits(front="109", hides="1/4").problems
    assert "more than the 3/4 in a scribe takes: fit a filler strip" in problem.words


def test_tile_is_said_as_tile():
    assert "or take wall tile that reaches as much" in fits(cover=Cover.TILE, front="108.5").problems[0].words


def test_a_sloping_floor_is_shimmed_and_the_toe_kick_scribed():
    found = fits(floor_slope="3/8")
    assert found.shim.length == found.toe_kick.length == Length.of("3/8")
    assert found.problems == ()
    assert "levelled base frame" in fits(floor_slope="1.5").problems[0].words
    assert fits().shim is None


def test_places_not_measured_are_asked_for():
    found = fits(middle=None, depth_left=None)
    assert [problem.field for problem in found.problems] == ["middle", "depth_left"]
    assert found.width is not None
    empty = fit(Run(1, "north wall"), USUAL)
    assert (empty.width, empty.depth, empty.gap_left, empty.problems) == (None, None, None, ())


def test_measures_far_apart_are_looked_at_again():
    assert "Measure again" in fits(back="98").problems[0].words


@pytest.mark.parametrize(
    ("sizes", "field"),
    [
        ({"front": "0"}, "front"),
        ({"back": "-5"}, "back"),
        ({"middle": "157480"}, "middle"),  # 4 km
        ({"depth_left": "0"}, "depth_left"),
        ({"clearance": "-1/8"}, "clearance"),
        ({"floor_slope": "13"}, "floor_slope"),
        ({"out_of_square": "-13"}, "out_of_square"),
        ({"name": " "}, "name"),
    ],
)
def test_what_cannot_be_is_told_by_its_field(sizes, field):
    (problem,) = run_problems(a_run(**sizes))
    assert problem.field == field
    found = fits(**sizes)
    assert found.problems == (problem,)
    assert found.width is None


def test_a_clearance_as_wide_as_the_opening_leaves_nothing():
    found = fits(back="2", middle="2", front="2", clearance="1", hides="1")
    assert [problem.field for problem in found.problems] == ["clearance"]


def test_every_figure_opens_to_what_was_typed_and_where():
    found = fits(clearance="1/16", hides="3/8", floor_slope="1/4")
    figures = (found.width, found.depth, found.gap_left, found.gap_right, found.gap_back, found.shim)
    for figure in figures:
        leaves = [one for one in figure.walk() if not one.came_from]
        assert leaves
        assert {one.rule.where for one in leaves} == {"job:3:measure:1"}


def test_every_measured_place_says_how_it_is_measured():
    measured = {"back", "middle", "front", "depth_left", "depth_centre", "depth_right", "out_of_square", "floor_slope"}
    assert measured <= set(HOW_TO_MEASURE) <= set(LABELS)
