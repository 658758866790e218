"""Layouts drawn: what is cut from what, as the layout has it."""

from fractions import Fraction

from domain.drawing.layout import layout_drawings
from domain.drawing.shape import Drawing, Meaning, Side
from domain.drawing.tape import Tape
from domain.drawing.turn import upright
from domain.layout.shape import Blank, Bound, Cut, Laid, Layout, Place, Rectangle, Source, ToCut, Way
from domain.length import Length
from domain.material import MaterialKind


def inch(text: str) -> Length:
    return Length.parse(text)


def at(x: str, y: str, length: str, width: str) -> Rectangle:
    return Rectangle(inch(x), inch(y), inch(length), inch(width))


SIDE = Blank("side", "12A", inch("23 1/4"), inch("30 1/2"), 2)
SHEET = Source("sheet", inch("48"), inch("96"), Fraction(1))
LAID = Laid(
    "sheet",
    (Place("side", at("0", "0", "30 1/2", "23 1/4")), Place("side", at("30 5/8", "0", "30 1/2", "23 1/4"))),
    (
        Cut(1, Way.RIP, inch("23 1/4"), inch("0"), inch("96")),
        Cut(2, Way.CROSSCUT, inch("30 1/2"), inch("0"), inch("23 1/4")),
        Cut(3, Way.CROSSCUT, inch("61 1/8"), inch("0"), inch("23 1/4")),
    ),
    (at("0", "23 3/8", "96", "24 5/8"), at("61 1/4", "0", "34 3/4", "23 1/4")),
)


def drawings(*laid: Laid) -> tuple[Drawing, ...]:
    layout = Layout(ToCut((SIDE,), (SHEET,), inch("1/8")), laid, Bound(Fraction(1), 1, ""))
    return layout_drawings(layout, {"sheet": "maple plywood 3/4"}, Tape(), MaterialKind.SHEET)


def test_a_part_is_as_large_as_its_blank_and_lies_where_it_is_laid() -> None:
    (drawing,) = drawings(LAID)
    first, second = drawing.of(Meaning.PART)
    # The near edge of the sheet is at the foot: 48 − 23 1/4 from the top.
    assert (first.left, first.top, first.wide, first.high) == (
        0, Fraction("24.75"), Fraction("30.5"), Fraction("23.25")
    )  # fmt: skip
    # One kerf of 1/8 between the two.
    assert second.left - first.right == Fraction(1, 8)
    assert first.bottom == second.bottom == drawing.named("source").bottom == 48


def test_cuts_are_numbered_in_their_order() -> None:
    (drawing,) = drawings(LAID)
    assert [marker.words for marker in drawing.markers] == ["1", "2", "3"]
    rip, crosscut, _ = drawing.of(Meaning.CUT)
    assert rip.top == rip.bottom == 48 - Fraction("23.25")
    assert crosscut.left == crosscut.right == Fraction("30.5")
    assert (crosscut.top, crosscut.bottom) == (Fraction("24.75"), 48)


def test_alike_boards_are_drawn_once_with_how_many() -> None:
    other = Laid("sheet", LAID.places[:1], LAID.cuts[:2], ())
    first, second = drawings(LAID, other, LAID)
    assert first.title == "No. 1, 3. maple plywood 3/4, 96 × 48 × 2"
    assert second.title == "No. 2. maple plywood 3/4, 96 × 48"


def test_the_words_say_every_part_cut_and_offcut_once() -> None:
    (drawing,) = drawings(LAID)
    assert sum(words.startswith("12A:") for words in drawing.words) == len(LAID.places)
    assert "Cut 1: rip 23 1/4 in from the near edge, along from 0 to 96 in." in drawing.words
    assert "Cut 2: crosscut 30 1/2 in from the left end, across from 0 to 23 1/4 in." in drawing.words
    assert sum(words.startswith("Offcut:") for words in drawing.words) == len(LAID.offcuts)


def test_a_long_thin_board_is_drawn_wider_than_it_is() -> None:
    thin = Source("sheet", inch("6"), inch("120"), Fraction(1))
    layout = Layout(ToCut((SIDE,), (thin,), inch("1/8")), (Laid("sheet", ()),), Bound(Fraction(1), 1, ""))
    (drawing,) = layout_drawings(layout, {}, Tape(), MaterialKind.SHEET)
    assert drawing.taller == 3
    assert drawings(LAID)[0].taller == 1


def test_an_offcut_too_small_to_keep_is_waste() -> None:
    layout = Layout(ToCut((SIDE,), (SHEET,), inch("1/8"), (inch("24"), inch("40"))), (LAID,), Bound(Fraction(1), 1, ""))
    (drawing,) = layout_drawings(layout, {}, Tape(), MaterialKind.SHEET)
    # 96 × 24 5/8 is kept; 34 3/4 × 23 1/4 is not 24 wide.
    assert [shape.wide for shape in drawing.of(Meaning.OFFCUT)] == [96]
    assert [shape.wide for shape in drawing.of(Meaning.WASTE)] == [Fraction("34.75")]
    assert sum(words.startswith("Left over, too small to keep:") for words in drawing.words) == 1


def test_an_offcut_that_is_wide_and_short_is_kept_of_a_sheet_and_not_of_a_board() -> None:
    # A board's offcut is short along its grain: 20 wide and 4 long is not 3 wide and 18 long.
    laid = Laid("sheet", (), offcuts=(at("92", "0", "4", "20"),))
    layout = Layout(ToCut((SIDE,), (SHEET,), inch("1/8"), (inch("3"), inch("18"))), (laid,), Bound(Fraction(1), 1, ""))
    (of_a_sheet,) = layout_drawings(layout, {}, Tape(), MaterialKind.SHEET)
    (of_a_board,) = layout_drawings(layout, {}, Tape(), MaterialKind.LUMBER)
    assert len(tuple(of_a_sheet.of(Meaning.OFFCUT))) == 1
    assert not tuple(of_a_board.of(Meaning.OFFCUT))


def test_a_sheet_turned_upright_has_its_left_end_at_the_top_and_its_near_edge_at_the_left() -> None:
    (drawing,) = drawings(LAID)
    turned = upright(drawing)
    sheet, first = turned.named("source"), next(turned.of(Meaning.PART))
    assert (sheet.wide, sheet.high) == (48, 96)
    assert (first.left, first.top, first.wide, first.high) == (0, 0, Fraction("23.25"), Fraction("30.5"))
    assert {(one.side, one.size.inches) for one in turned.dimensions} == {(Side.LEFT, 96), (Side.TOP, 48)}
    assert turned.markers[0].start[0] == Fraction("23.25")
