"""Shelves, toe kicks, fillers and support strips by hand."""

from fractions import Fraction
from typing import Any

import pytest

from builders import a_piece, build
from domain.length import Length
from domain.part import Stage
from domain.pieces.piece import problems_of


def items(kind: str, **typed: Any) -> dict[str, Fraction]:
    return {item.material.title: item.quantity.value for item in build(a_piece(kind, **typed)).items}


def test_support_strips_stand_no_further_apart_than_typed() -> None:
    # 108 ÷ 18 = 6, and one more; each held every foot: 22 ÷ 12 rounded up, and one more = 3 screws
    built = build(a_piece("support_strips", run="9'", spacing="18", length="22", width="3"))
    (strips,) = built.parts
    assert strips.count == 7
    assert strips.thickness == Length.of("15/32")
    assert items("support_strips", run="9'") == {"#8 x 1 1/4 wood screw": 7 * 3}


def test_support_strips_are_cut_in_the_shop_and_screwed_on_at_the_clients() -> None:
    assert [(step.key, step.stage) for step in build(a_piece("support_strips")).steps] == [
        ("cut", Stage.BUILD),
        ("install", Stage.INSTALL),
    ]


def test_support_strips_closer_than_they_are_wide_are_refused() -> None:
    (problem,) = problems_of(a_piece("support_strips", spacing="3", width="4"))
    assert problem.field == "spacing"


def test_a_solid_shelf_wider_than_a_board_is_glued_up() -> None:
    # 11 + 2 × 1/2 in boards up to 8: 2 of 6
    built = build(a_piece("shelf", depth="11"))
    (boards,) = built.parts
    assert (boards.count, boards.width) == (2, Length.of(6))


def test_a_narrow_shelf_is_one_board_without_glue() -> None:
    built = build(a_piece("shelf", depth="8"))
    assert built.joints == ()
    assert [step.key for step in built.steps] == ["mill", "cut", "sand", "install"]


@pytest.mark.parametrize(("seen", "feet"), [("front", "30"), ("front and ends", "52"), ("all round", "82")])
def test_a_sheet_shelf_gets_strip_on_the_edges_that_are_seen(seen: str, feet: str) -> None:
    strip = items("shelf", made_of="sheet", length="30", depth="11", seen_edges=seen)
    assert strip["7/8 maple edge strip"] == Fraction(feet) / 12


def test_an_adjustable_shelf_lies_on_four_pins() -> None:
    assert items("shelf")["shelf pin"] == 4
    assert "shelf pin" not in items("shelf", is_adjustable=False)


def test_a_filler_is_cut_wider_than_the_gap_it_closes() -> None:
    (part,) = build(a_piece("filler", gap="1 1/2", to_scribe="1/2", length="30 1/2")).parts
    assert (part.width, part.length) == (Length.of(2), Length.of("61/2"))


def test_a_toe_kick_is_coated_on_its_face_only() -> None:
    (face,) = build(a_piece("toe_kick", length="72", height="4")).faces
    assert (face.count, face.width, face.length) == (1, Length.of(4), Length.of(72))


@pytest.mark.parametrize("kind", ["shelf", "toe_kick", "filler"])
def test_solid_wood_thicker_than_any_stock_is_refused(kind: str) -> None:
    (problem,) = problems_of(a_piece(kind, thickness="4"))
    assert problem.field == "thickness"
    assert problems_of(a_piece(kind, thickness="4", made_of="sheet")) == (), "a sheet does not care"
