"""Plans of L-shaped tops, against sums by hand."""

from fractions import Fraction

from builders import USUAL, a_piece, build, placed
from domain.drawing.clip import clipped
from domain.drawing.corner_top import corner_top_plan
from domain.drawing.shape import Drawing, Meaning, box, line
from domain.drawing.tape import Tape
from domain.pieces.corner_joint import Corner, SecondGrain

DEEP = Fraction("25.5")


def plan(**typed: object) -> Drawing:
    top = a_piece("corner_top", first_length="96", second_length="72", **typed)
    return corner_top_plan(placed(top), top, build(top), USUAL, Tape())


def bolts(drawing: Drawing) -> list[tuple[Fraction, Fraction]]:
    return [shape.middle for shape in drawing.of(Meaning.FASTENER) if shape.name == "bolt"]


def test_the_second_leg_of_a_butt_joint_begins_at_the_front_of_the_first() -> None:
    drawing = plan(corner=Corner.BUTT)
    second = [shape for shape in drawing.of(Meaning.PART) if shape.name.startswith("B")]
    assert {shape.top for shape in second} == {DEEP}
    # 72 − 25 1/2 and all of the extra 3 1/2 at the free end.
    assert {shape.high for shape in second} == {Fraction("46.5") + Fraction("3.5")}
    assert sum(shape.wide for shape in second) == Fraction("26.5")


def test_bolts_stand_evenly_along_the_joint() -> None:
    # 25 1/2 ÷ 8 rounded up is 4 bolts, each in the middle of its quarter: 25 1/2 × 1/8, 3/8, 5/8, 7/8.
    assert bolts(plan(corner=Corner.BUTT)) == [(DEEP * Fraction(odd, 8), DEEP) for odd in (1, 3, 5, 7)]
    # Mitred it is 25 1/2 × √2 = 36.06 long: 5 of them, on the line between the corners.
    mitred = bolts(plan(corner=Corner.MITRE))
    assert [x for x, _ in mitred] == [DEEP * Fraction(odd, 10) for odd in (1, 3, 5, 7, 9)]
    assert all(x == y for x, y in mitred)


def test_nothing_of_a_mitred_leg_is_beyond_the_mitre() -> None:
    drawing = plan(corner=Corner.MITRE)
    parts = list(drawing.of(Meaning.PART))
    assert all(x >= y for shape in parts if shape.name.startswith("A") for x, y in shape.points)
    assert all(x <= y for shape in parts if shape.name.startswith("B") for x, y in shape.points)


def test_the_second_leg_may_have_its_grain_as_the_first() -> None:
    across = list(plan(second_grain=SecondGrain.PARALLEL).of(Meaning.GRAIN))
    assert all(arrow.top == arrow.bottom for arrow in across)
    turned = list(plan(second_grain=SecondGrain.TURNED).of(Meaning.GRAIN))
    assert any(arrow.left == arrow.right for arrow in turned)


def test_the_words_name_every_board_of_both_legs_once() -> None:
    drawing = plan()
    for shape in drawing.of(Meaning.PART):
        assert sum(words.startswith(f"Board {shape.name}:") for words in drawing.words) == 1
    assert any("bolts below" in words for words in drawing.words)


def test_what_is_cut_along_a_line_keeps_its_side() -> None:
    square = box(Meaning.PART, 0, 0, 4, 4)
    triangle = clipped(square, lambda at: at[0] - at[1])
    assert triangle
    assert set(triangle.points) == {(0, 0), (4, 0), (4, 4)}
    assert clipped(square, lambda at: at[0] - 5) is None
    half = clipped(line(Meaning.JOINT, (Fraction(0), Fraction(1)), (Fraction(4), Fraction(1))), lambda at: at[0] - 1)
    assert half
    assert half.points == ((1, 1), (4, 1))
