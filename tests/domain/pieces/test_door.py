"""The door: frame, panel and hinges by hand."""

from fractions import Fraction
from typing import Any

import pytest

from builders import a_piece, build, with_habits
from domain.length import Length
from domain.part import Built, Part
from domain.pieces.piece import problems_of


def door(**typed: Any) -> Built:
    return build(a_piece("door", **typed))


def part(built: Built, name: str) -> Part:
    (found,) = (one for one in built.parts if one.name == name)
    return found


def test_a_frame_and_its_panel() -> None:
    # 17 3/4 × 29 3/4, stiles and rails 2 1/4: rails 17 3/4 − 4 1/2 + 2 × 3/8; panel + 2 × 3/8 − 1/8 play
    built = door()
    assert (part(built, "Stile").count, part(built, "Stile").length) == (2, Length.of("119/4"))
    assert part(built, "Rail").length == Length.of(Fraction("13.25") + Fraction("0.75"))
    assert part(built, "Panel").width == Length.of(Fraction("13.25") + Fraction("0.75") - Fraction("0.125"))
    assert part(built, "Panel").length == Length.of(Fraction("25.25") + Fraction("0.75") - Fraction("0.125"))


def test_frame_corners_are_glued_on_both_faces_of_their_stub_tenons() -> None:
    (corners,) = door().joints
    assert (corners.count, corners.length, corners.width) == (4, Length.of("9/4"), Length.of("3/4"))


@pytest.mark.parametrize(("height", "hinges"), [("40", 2), ("40 1/16", 3), ("60", 3), ("80", 4), ("96", 5)])
def test_hinges_go_by_height(height: str, hinges: int) -> None:
    # common practice, no source
    (item,) = (one for one in door(height=height).items if "hinge" in one.material.name)
    assert item.quantity.value == hinges


def test_a_slab_from_a_sheet_gets_strip_all_round() -> None:
    built = door(make="slab", sheet_thickness="3/4", width="15", height="30")
    (strip,) = (one for one in built.items if "edge strip" in one.material.name)
    assert strip.quantity.value == Fraction(2 * (15 + 30), 12)
    assert [one.name for one in built.parts] == ["Door"]


def test_a_solid_slab_is_glued_up_from_boards() -> None:
    boards = part(door(make="slab", made_of="solid wood", width="15"), "Door board")
    assert boards.count == 2, "15 + 2 × 1/2 in boards up to 8"


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"make": "slab"}, "sheet_thickness"),
        ({"width": "5"}, "stile_width"),
        ({"height": "5", "rail_width": "3"}, "rail_width"),
        ({"made_of": "solid wood", "thickness": "1"}, "thickness"),
        ({"frame_thickness": "1/2", "sheet_thickness": "3/4"}, "sheet_thickness"),
    ],
)
def test_what_does_not_fit_together_is_refused_by_its_field(typed: dict[str, str], field: str) -> None:
    assert [problem.field for problem in problems_of(a_piece("door", **typed))] == [field]


def test_a_door_without_pulls_needs_none() -> None:
    assert all(one.material.name != "pull" for one in door(pulls=0).items)


def test_groove_depth_is_the_shops_own() -> None:
    built = build(a_piece("door"), with_habits(frame_groove_depth="1/2"))
    assert part(built, "Rail").length == Length.of(Fraction("13.25") + 1)
