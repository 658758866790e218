"""Plans of tops, against sums by hand."""

from fractions import Fraction
from itertools import pairwise

import pytest

from builders import USUAL, a_top, build, placed
from domain.drawing.shape import Drawing, Meaning, Side
from domain.drawing.tape import Tape
from domain.drawing.top import top_plan
from domain.pieces.board_choice import BoardsBy
from domain.pieces.end_joints import Rows
from domain.pieces.front_strip import FrontStrip
from domain.pieces.top import Alignment, TopGrain

HALF, END = Fraction(1, 2), Fraction(7, 4)
"""Ripped off each edge, and left on each end until the last cut: the shop's usual habits."""


def plan(**typed: object) -> Drawing:
    top = a_top(**typed)
    return top_plan(placed(top, name="Long top"), top, build(top), USUAL, Tape())


def boards(drawing: Drawing) -> list[tuple[str, Fraction, Fraction]]:
    return [(shape.name, shape.top, shape.bottom) for shape in drawing.of(Meaning.PART)]


def test_boards_side_by_side_make_the_glued_width() -> None:
    # (25 1/2 + 2 × 1/2) ÷ 5 1/2 is 4.8, so 5 boards of 26 1/2 ÷ 5 = 5 3/10.
    drawing = plan(length="108", depth="25 1/2", widest_board="5 1/2")
    found = boards(drawing)
    assert [name for name, _, _ in found] == ["A1", "A2", "A3", "A4", "A5"]
    assert {bottom - top for _, top, bottom in found} == {Fraction(53, 10)}
    assert found[0][1] == -HALF
    assert found[-1][2] == Fraction("25.5") + HALF
    assert all(here[2] == there[1] for here, there in pairwise(found))
    assert [shape.top for shape in drawing.of(Meaning.JOINT)] == [top for _, top, _ in found[1:]]


def test_mixed_widths_keep_their_order() -> None:
    # Typed rough widths less 2 × 1/8 on the edges and a 1/8 kerf: 6 5/8 + 9 5/8 + 10 5/8 make 26 7/8.
    drawing = plan(depth="25 1/2", boards_by=BoardsBy.MIXED, board_widths="7, 10, 11")
    found = boards(drawing)
    assert [bottom - top for _, top, bottom in found] == [Fraction(53, 8), Fraction(77, 8), Fraction(85, 8)]
    # 26 7/8 − 25 1/2 = 1 3/8, half of it at each edge.
    assert found[0][1] == -Fraction(11, 16)


def test_the_extra_length_is_shaded_at_both_ends_until_the_last_cut() -> None:
    drawing = plan(length="108", depth="25 1/2")
    ends = [shape for shape in drawing.of(Meaning.WASTE) if shape.name == "last cut"]
    assert [(shape.left, shape.right) for shape in ends] == [(-END, 0), (108, 108 + END)]
    assert [shape.left for shape in drawing.of(Meaning.CUT)] == [0, 108]
    assert any("until the last cut" in callout.words for callout in drawing.callouts)
    by_lane = {(one.side, one.lane): one.size.inches for one in drawing.dimensions}
    assert by_lane[Side.BOTTOM, 0] == 108
    assert by_lane[Side.BOTTOM, 1] == Fraction("111.5")


def test_no_fastener_is_where_the_last_cut_goes() -> None:
    # Kept 2 in clear of the finished ends: from 2 to 106 in, 104 ÷ 10 rounded up and one more is 12 in each joint.
    drawing = plan(length="108", depth="25 1/2", widest_board="5 1/2", alignment=Alignment.BISCUITS)
    places = sorted({shape.left for shape in drawing.of(Meaning.FASTENER)})
    assert (places[0], places[-1], len(places)) == (2, 106, 12)
    assert len(list(drawing.of(Meaning.FASTENER))) == 4 * 12


def test_grain_front_to_back_turns_the_boards() -> None:
    drawing = plan(length="40", depth="25 1/2", grain=TopGrain.DEPTH, widest_board="6")
    found = list(drawing.of(Meaning.PART))
    assert sum(shape.wide for shape in found) == 41
    assert {shape.high for shape in found} == {Fraction("25.5") + 2 * END}
    assert all(arrow.left == arrow.right for arrow in drawing.of(Meaning.GRAIN))


def test_a_strip_over_end_grain_lies_at_the_front() -> None:
    drawing = plan(length="40", grain=TopGrain.DEPTH, front_strip=FrontStrip.GLUED, front_strip_depth="3/4")
    strip = [shape for shape in drawing.of(Meaning.PART) if shape.high == Fraction(3, 4)]
    assert [(one.left, one.right, one.bottom) for one in strip] == [(0, 40, Fraction("25.5"))]


def test_end_joints_are_staggered_by_half_a_strip() -> None:
    # 108 ÷ (48 − 1 3/4) is 2.3: three strips of 36 in a row, the next row begins with 18.
    drawing = plan(length="108", rows=Rows.STAGGERED, widest_board="5 1/2")
    joints: dict[Fraction, list[Fraction]] = {}
    for shape in drawing.of(Meaning.JOINT):
        if shape.name == "end joint":
            joints.setdefault(shape.top, []).append(shape.left)
    assert list(joints.values()) == [[36, 72], [18, 54, 90], [36, 72], [18, 54, 90], [36, 72]]


@pytest.mark.parametrize("seen", [(), ("left_end_seen",), ("left_end_seen", "right_end_seen", "back_seen")])
def test_seen_edges_are_thick_and_a_hidden_back_has_a_wall(seen: tuple[str, ...]) -> None:
    drawing = plan(**dict.fromkeys(seen, True))
    assert len(list(drawing.of(Meaning.SEEN))) == 1 + len(seen)
    assert bool(list(drawing.of(Meaning.WALL))) == ("back_seen" not in seen)


def test_the_words_name_every_board_once_with_its_width() -> None:
    drawing = plan(depth="25 1/2", widest_board="5 1/2")
    for shape in drawing.of(Meaning.PART):
        (said,) = [words for words in drawing.words if words.startswith(f"Board {shape.name}:")]
        assert "about 5 5/16 in wide" in said
    assert "Left on until the last cut: 1 3/4 in at each end of the grain." in drawing.words
    assert "4 glue lines." in drawing.words


def test_a_shop_in_millimetres_reads_millimetres() -> None:
    top = a_top(length="2700 mm", depth="640 mm")
    drawing = top_plan(placed(top), top, build(top), USUAL, Tape(unit="mm"))
    assert drawing.about.startswith("2700 mm long, 640 mm deep")
