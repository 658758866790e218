"""The fit of a run between its walls, against sums by hand."""

from fractions import Fraction

from builders import USUAL
from domain.drawing.fit import fit_drawing
from domain.drawing.floor import floor_drawing
from domain.drawing.shape import Drawing, Meaning
from domain.drawing.tape import Tape
from domain.length import Length
from domain.measure import Cover, End, Run, fit

inch = Length.parse
WALLS = {
    "back": inch("108 3/8"), "middle": inch("108 1/2"), "front": inch("108 5/8"), "depth_left": inch("25 1/2"),
    "depth_centre": inch("25 5/8"), "depth_right": inch("25 3/8"), "out_of_square": inch("1/8"),
}  # fmt: skip


def a_run(**changed: object) -> Run:
    values = WALLS | {"cover": Cover.TILE, "hides": inch("3/8"), "floor_slope": inch("1/4")} | changed
    return Run(1, "Long wall", **values)  # type: ignore[arg-type]


def drawn(run: Run) -> Drawing:
    drawing = fit_drawing(run, fit(run, USUAL), USUAL, Tape())
    assert drawing
    return drawing


def test_the_piece_is_as_it_is_cut() -> None:
    # Right wall at 108 3/8, 108 1/2 − 1/16, 108 5/8 − 1/8 from the corner; the least less 2 × 1/8.
    # Depth: the widest gap behind a straight back edge is 1/4, which the tile hides, so the smallest.
    piece = drawn(a_run()).named("piece to cut")
    assert (piece.wide, piece.high) == (Fraction("108.125"), Fraction("25.375"))


def test_gaps_are_drawn_larger_by_the_factor_that_is_said() -> None:
    # The widest gap is 1/4; 20 times that is 5 in, 40 times would be more than a twelfth of 108 1/8.
    drawing = drawn(a_run())
    assert "gaps × 20" in drawing.title
    left, right = drawing.named("wall at the left"), drawing.named("wall at the right")
    # At the front: left 1/8 + 1/8 out of square; right 108 1/2 − 1/8 − 108 1/8 = 1/4.
    assert min(x for x, y in left.points if 0 <= y <= Fraction("25.375") and x > left.left) == -20 * Fraction(1, 4)
    at_front = [x for x, y in right.points if y == Fraction("25.375")]
    assert at_front == [Fraction("108.125") + 20 * Fraction(1, 4)]
    assert not drawing.to_scale


def test_each_gap_is_said_with_what_hides_it() -> None:
    words = drawn(a_run()).words
    assert "Right wall, front: gap 1/4 in; the tile hides it." in words
    assert "Back wall, right: no gap." in words
    # A bead of 1/8 leaves 1/8 of a gap of 1/4 to be seen.
    narrow = drawn(a_run(cover=Cover.BEAD, hides=inch("1/8"))).words
    assert "Right wall, front: gap 1/4 in; 1/8 in more than the bead hides." in narrow


def test_without_a_cover_the_back_is_scribed() -> None:
    # The largest depth is cut, 25 5/8; the wall is nearer by 1/8 at the left and 1/4 at the right.
    words = drawn(a_run(cover=Cover.NONE, hides=None)).words
    assert "Back wall, left: the piece reaches 1/8 in into the wall, scribe that off." in words
    assert "Back wall, right: the piece reaches 1/4 in into the wall, scribe that off." in words


def test_an_open_end_has_no_wall_and_no_gap() -> None:
    drawing = drawn(a_run(right=End.OPEN))
    assert {shape.name for shape in drawing.of(Meaning.WALL)} == {"wall at the left", "wall at the back"}
    assert "The right end is open: no wall." in drawing.words


def test_every_measured_gap_is_called_out_and_said_once() -> None:
    drawing = drawn(a_run())
    for place in ("left wall, back", "right wall, middle", "back wall, centre"):
        assert sum(callout.words.startswith(f"{place}:") for callout in drawing.callouts) == 1
        assert sum(words.startswith(f"{place.capitalize()}:") for words in drawing.words) == 1


def test_a_run_half_measured_is_not_drawn() -> None:
    run = Run(1, "Long wall", back=inch("100"))
    assert fit_drawing(run, fit(run, USUAL), USUAL, Tape()) is None


def test_the_floor_falls_as_much_as_was_measured_times_its_factor() -> None:
    run = a_run()
    drawing = floor_drawing(run, fit(run, USUAL), Tape())
    assert drawing
    # 108 1/8 ÷ 12 is 9.01 in, 36 times 1/4.
    assert drawing.named("shims").high == 36 * Fraction(1, 4)
    assert "× 36" in drawing.title
    level = a_run(floor_slope=None)
    assert floor_drawing(level, fit(level, USUAL), Tape()) is None
