"""Support strips against the built-up edge: how high the top stands, how far the edge hangs, and what matches."""

from fractions import Fraction

import pytest

from builders import USUAL, a_piece, build, placed
from domain.figure import typed
from domain.length import Length
from domain.part import Built
from domain.pieces.belonging import started
from domain.pieces.beside import beside_problems
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.choices import SheetThickness
from domain.pieces.raised_top import meeting, plywood_for
from domain.pieces.support_strips import SupportStrips
from domain.pieces.top import Top


def figures(built: Built) -> dict[str, Fraction]:
    return {figure.label: figure.value for figure in built.figures}


@pytest.mark.parametrize(
    ("hangs", "plywood"),
    [
        # real thicknesses in thirty-seconds: 1/4 is 7, 1/2 is 15, 5/8 is 19, 3/4 is 23; within 2 of them counts
        ("3/4", ("3/4",)),
        ("1/2", ("1/2",)),
        ("1", ("3/4", "1/4")),  # 23 + 7 = 30 of 32
        ("3/2", ("3/4", "3/4")),  # 23 + 23 = 46 of 48
        ("3", ()),
    ],
)
def test_plywood_that_raises_a_top_as_far_as_its_edge_hangs(hangs: str, plywood: tuple[str, ...]) -> None:
    assert plywood_for(Fraction(hangs), USUAL) == plywood


def test_an_edge_ends_below_or_above_the_cabinets_top() -> None:
    hangs, raised = typed("Hangs", Length.of("3/4")), typed("Raised", Length.of("1/2"))
    assert (meeting(hangs, raised).label, meeting(hangs, raised).value) == (
        "Edge ends below the cabinets' top by",
        Fraction(1, 4),
    )
    assert meeting(raised, hangs).label == "Edge ends above the cabinets' top by"
    assert meeting(raised, hangs).value == Fraction(1, 4)


def test_strips_say_how_high_the_top_stands_and_how_far_the_edge_hangs() -> None:
    built = build(a_piece("support_strips", thickness="1/2", edge_hangs="3/4"))
    assert figures(built)["Top stands above the cabinets by"] == Fraction(15, 32)
    assert figures(built)["Built-up edge hangs below the top by"] == Fraction(3, 4)
    assert figures(built)["Edge ends below the cabinets' top by"] == Fraction(24 - 15, 32)
    (warning,) = built.problems
    assert warning.field == "thickness"
    assert "drawers and doors behind it must clear it" in warning.words
    assert "Strips of 3/4 plywood raise it about 3/4 in, for 3/4 in." in warning.words


def test_strips_that_match_and_strips_without_an_edge_are_not_warned_about() -> None:
    assert build(a_piece("support_strips", thickness="3/4", edge_hangs="3/4")).problems == ()
    assert build(a_piece("support_strips")).problems == ()


def test_strips_thicker_than_the_edge_are_seen_in_the_gap() -> None:
    (warning,) = build(a_piece("support_strips", thickness="3/4", edge_hangs="1/2")).problems
    assert "the strips are seen in the gap" in warning.words
    assert "Strips of 1/2 plywood" in warning.words


def test_a_top_raised_as_far_as_its_edge_hangs_has_room_for_a_wide_strip() -> None:
    raised = build(a_piece("built_up_edge", strip_width="2", overhang="1 1/2", raised_by="23/32"))
    assert raised.problems == ()
    lower = build(a_piece("built_up_edge", strip_width="2", overhang="1 1/2", raised_by="15/32"))
    assert [problem.field for problem in lower.problems] == ["raised_by", "strip_width"]


def test_strips_beside_an_edge_start_with_what_matches_it_and_the_other_way_round() -> None:
    edge = BuiltUpEdge(seen_thickness=Length.of(2), top_thickness=Length.of("3/2"))
    strips = started(SupportStrips, Top(), [edge])
    assert (strips.edge_hangs, strips.thickness) == (Length.of("1/2"), SheetThickness.HALF)
    assert started(BuiltUpEdge, Top(), [SupportStrips()]).raised_by == Length.of("15/32")


def test_strips_and_edge_of_one_top_that_do_not_meet_are_said_once() -> None:
    edge = placed(a_piece("built_up_edge"), 2, name="Front edge", belongs_to=1)  # 2 1/4 seen − 1 1/2 = 3/4
    strips = placed(a_piece("support_strips", thickness="1/2"), 3, name="Strips", belongs_to=1)
    (said,) = beside_problems(strips, [edge, strips], USUAL)
    assert said.field == "edge_hangs"
    assert said.words.startswith("Beside “Front edge” the edge ends about 5/16 in below the cabinets' top")
    assert "Strips of 3/4 plywood raise it" in said.words
    assert list(beside_problems(edge, [edge, strips], USUAL)) == [], "once is enough"


def test_strips_that_meet_their_edge_or_stand_by_another_top_have_nothing_to_say() -> None:
    edge = placed(a_piece("built_up_edge"), 2, belongs_to=1)
    level = placed(a_piece("support_strips", thickness="3/4"), 3, belongs_to=1)
    elsewhere = placed(a_piece("support_strips", thickness="1/2"), 4, belongs_to=9)
    alone = placed(a_piece("support_strips", thickness="1/2"), 5)
    told = placed(a_piece("support_strips", thickness="1/2", edge_hangs="3/4"), 6, belongs_to=1)
    for one in (level, elsewhere, alone, told):
        assert list(beside_problems(one, [edge, one], USUAL)) == []
