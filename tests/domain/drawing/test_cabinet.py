"""Cabinets from the front and cut through, against sums by hand."""

from collections.abc import Sequence
from fractions import Fraction

from hypothesis import assume, given, settings

from builders import USUAL, a_piece, build, pieces, placed
from domain.drawing.cabinet import Shown, cabinet_front, shown
from domain.drawing.cabinet_section import cabinet_section
from domain.drawing.shape import Drawing, Shape
from domain.drawing.stack import overlapping
from domain.drawing.tape import Tape
from domain.pieces.piece import PlacedPiece, problems_of

DRAWERS = (
    placed(a_piece("drawer", width="33", height="5", depth="22 1/2"), 11, name="Shallow", quantity=2),
    placed(a_piece("drawer", width="33", height="11", depth="22 1/2"), 12, name="Deep", quantity=4),
)
DOORS = (placed(a_piece("door", width="17 3/8", height="29 3/4"), 13, name="Door", quantity=2),)
SHEET = Fraction(23, 32)
"""What nominal 3/4 plywood really is, as the shop's habits have it."""


def a_cabinet(belongings: Sequence[PlacedPiece] = (), *, quantity: int = 1, **typed: object) -> Shown:
    cabinet = a_piece("base_cabinet", **typed)
    return shown(placed(cabinet, quantity=quantity), cabinet, build(cabinet), belongings, USUAL, Tape())


def section(one: Shown, belongings: Sequence[PlacedPiece] = ()) -> Drawing:
    return cabinet_section(one, {each.id: build(each.piece) for each in belongings})


def is_inside(shape: Shape, outline: Shape) -> bool:
    return (
        outline.left <= shape.left and shape.right <= outline.right
        and outline.top <= shape.top and shape.bottom <= outline.bottom
    )  # fmt: skip


def test_parts_are_where_the_sums_put_them() -> None:
    drawing = cabinet_front(a_cabinet(width="36", height="34 1/2", toe_kick_height="4"))
    outline = drawing.named("cabinet")
    assert (outline.wide, outline.high) == (36, Fraction("34.5"))
    # 36 − 2 × 23/32 between the sides; the bottom's underside is 34 1/2 − 4 down.
    assert drawing.named("bottom").wide == 36 - 2 * SHEET == Fraction("34.5625")
    assert drawing.named("bottom").bottom == Fraction("30.5")
    assert drawing.named("side, right").right == 36
    assert all(is_inside(shape, outline) for shape in drawing.shapes)


def test_drawers_are_stacked_from_the_top_with_rails_between() -> None:
    # Two cabinets share 2 shallow and 4 deep drawers: one and two each. Clear height 30 1/2 − 2 × 23/32 = 29 1/16;
    # less 5 + 11 + 11 leaves 2 1/16 for two rails of 1 1/32. Fronts reach 1/2 over their openings.
    one = a_cabinet(DRAWERS, quantity=2, width="36")
    rail = Fraction(33, 32)
    tops = [SHEET, SHEET + 5 + rail, SHEET + 5 + 11 + 2 * rail]
    assert [front.top for front in one.fronts] == [top - Fraction(1, 2) for top in tops]
    assert [front.high for front in one.fronts] == [6, 12, 12]
    assert {front.wide for front in one.fronts} == {34}
    assert overlapping(one.fronts).inches == 0
    drawing = cabinet_front(one)
    assert all(is_inside(shape, drawing.named("cabinet")) for shape in drawing.shapes)


def test_fronts_that_would_run_over_one_another_are_told() -> None:
    # Openings of 5 + 11 1/2 + 11 1/2 leave 1 1/16, rails of 17/32, for overlays of 1/2 + 1/2: 15/32 too much.
    taller = placed(a_piece("drawer", width="33", height="11 1/2", depth="22 1/2"), 12, name="Deep", quantity=2)
    one = a_cabinet((placed(DRAWERS[0].piece, 11, name="Shallow"), taller), width="36")
    assert overlapping(one.fronts).inches == Fraction(15, 32)
    assert any("run over one another by 15/32 in" in words for words in cabinet_front(one).words)


def test_doors_stand_side_by_side_in_the_middle() -> None:
    one = a_cabinet(DOORS, width="35 1/4")
    left, right = one.fronts
    # 2 × 17 3/8 and 1/8 between are 34 7/8: 3/16 is left at each side.
    assert (left.left, right.left + right.wide) == (Fraction(3, 16), Fraction("35.25") - Fraction(3, 16))
    assert right.left - left.left - left.wide == Fraction(1, 8)


def test_the_section_has_back_bottom_and_stretchers() -> None:
    drawing = section(a_cabinet(depth="24", stretcher_width="4", fixed_shelves=1, adjustable_shelves=1))
    # 24 − 7/32 of back.
    assert drawing.named("bottom").wide == Fraction("24") - Fraction(7, 32)
    assert drawing.named("back").right == 24
    assert drawing.named("stretcher, back").left == 24 - Fraction(7, 32) - 4
    # A loose shelf is set back 1/4 in from the front.
    assert drawing.named("adjustable shelf").left == Fraction(1, 4)


def test_drawer_boxes_are_as_long_as_their_slides() -> None:
    drawing = section(a_cabinet(DRAWERS, quantity=2, width="36"), DRAWERS)
    # 22 in is the longest common slide in 22 1/2 less what stays free behind.
    assert drawing.named("Deep 1, box").wide == 22
    assert drawing.named("Deep 1").right == 0


def test_the_words_name_every_part_and_front_once() -> None:
    one = a_cabinet(DRAWERS, quantity=2, fixed_shelves=1)
    words = cabinet_front(one).words
    for part in one.built.parts:
        assert sum(said.startswith(f"{part.mark}, ") for said in words) == 1
    for front in one.fronts:
        assert sum(said.startswith(f"{front.name}: ") for said in words) == 1


@settings(max_examples=60)
@given(pieces("base_cabinet"))
def test_every_part_of_a_cabinet_is_inside_its_outline(cabinet: object) -> None:
    assume(not problems_of(cabinet))  # type: ignore[arg-type]
    one = shown(placed(cabinet), cabinet, build(cabinet), (), USUAL, Tape())  # type: ignore[arg-type]
    drawing = cabinet_front(one)
    assert all(is_inside(shape, drawing.named("cabinet")) for shape in drawing.shapes)
