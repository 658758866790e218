"""The base cabinet: a cut list by hand, its joints, edge strip, hardware and weight."""

from fractions import Fraction
from typing import Any

import pytest

from builders import a_piece, build, with_habits
from domain.length import Length
from domain.part import Built, Part, TaskKind
from domain.pieces.piece import problems_of

NOMINAL = with_habits(actual_3_4="3/4", actual_1_4="1/4", shelf_play="1/8", shelf_setback="1/4")
"""Sheets as thick as their name, for sums by hand."""


def cabinet(**typed: Any) -> Built:
    return build(a_piece("base_cabinet", **typed), NOMINAL)


def cut(built: Built) -> dict[str, tuple[int, str, str]]:
    return {part.name: (part.count, part.width.exact(), part.length.exact()) for part in built.parts}


def test_a_36_in_cabinet_on_its_sides() -> None:
    # outside 36 × 34 1/2 × 24, toe kick 4; sides 24 − 1/4 deep; between the sides 36 − 2 × 3/4
    assert cut(cabinet(fixed_shelves=1, adjustable_shelves=1)) == {
        "Side": (2, "23 3/4", "34 1/2"),
        "Bottom": (1, "23 3/4", "34 1/2"),
        "Stretcher": (2, "4", "34 1/2"),
        "Back": (1, "36", "30 1/2"),
        "Fixed shelf": (1, "23 3/4", "34 1/2"),
        "Adjustable shelf": (1, "23 1/2", "34 3/8"),
    }


def test_a_cabinet_on_leveling_feet_has_sides_as_high_as_its_box() -> None:
    built = cabinet(stands_on_feet=True, toe_kick_height="4")
    assert cut(built)["Side"] == (2, "23 3/4", "30 1/2")
    assert {item.material.name: item.quantity.value for item in built.items}["leveling foot"] == 4


def test_sheets_are_as_thick_as_the_shop_measured_them() -> None:
    # public plywood size references: nominal 3/4 is 23/32: 36 − 2 × 23/32
    built = build(a_piece("base_cabinet", width="36"))
    (bottom,) = (part for part in built.parts if part.name == "Bottom")
    assert bottom.length == Length.of(36 - 2 * Fraction(23, 32))
    assert bottom.thickness == Length.of("23/32")


def test_fibreboard_is_as_thick_as_its_name() -> None:
    built = build(a_piece("base_cabinet", width="36", sheet="MDF"))
    assert built.parts[0].thickness == Length.of("3/4")


@pytest.mark.parametrize(
    ("joinery", "fastener", "in_a_side", "in_a_stretcher"),
    [
        ("screws", "#8 x 2 wood screw", 5, 2),  # 23 3/4 ÷ 6 and one more; 4 ÷ 6 and one more
        ("biscuits and glue", "#20 biscuit", 4, 2),  # 23 3/4 ÷ 10 and one more
        ("dowels and glue", "8 x 40 mm dowel", 8, 3),  # 23 3/4 in is 603.25 mm: ÷ 96 mm and one more
    ],
)
def test_corners_get_fasteners_at_their_spacing(
    joinery: str, fastener: str, in_a_side: int, in_a_stretcher: int
) -> None:
    bottom, stretchers = cabinet(joinery=joinery, stretchers=2).joints
    assert bottom.fastener is not None
    assert bottom.fastener.title == fastener
    assert bottom.fasteners is not None
    assert bottom.fasteners.value == 2 * in_a_side
    assert stretchers.fasteners is not None
    assert stretchers.fasteners.value == 4 * in_a_stretcher


def test_a_screwed_cabinet_is_dry_and_needs_no_clamps() -> None:
    built = cabinet(joinery="screws")
    assert {joint.glue for joint in built.joints} == {""}
    assert all(step.clamps == 0 and step.kind is not TaskKind.CLAMP for step in built.steps)


def test_a_glued_cabinet_stays_in_clamps() -> None:
    built = cabinet(joinery="dowels and glue", stretchers=2, fixed_shelves=1)
    steps = {step.key: step for step in built.steps}
    assert steps["assemble"].clamps == 2 * (1 + 2 + 1), "2 across each part between the sides"
    assert steps["assemble"].until == "unclamp-1"
    assert steps["clamp-1"].elapsed is not None


def test_edge_strip_covers_what_is_seen_from_the_front() -> None:
    # 2 sides 34 1/2, bottom and front stretcher 34 1/2 each, one loose shelf 34 3/8
    (strip,) = (item for item in cabinet().items if item.material.name == "maple edge strip")
    assert strip.quantity.value == (2 * Fraction("34.5") + 2 * Fraction("34.5") + Fraction("34.375")) / 12
    assert strip.material.size == "7/8"
    assert not [item for item in cabinet(strip_edges=False).items if "edge strip" in item.material.name]


def test_only_what_is_seen_is_finished_unless_the_inside_is_too() -> None:
    outside = {face.name: face for face in cabinet(seen_sides=1).faces}
    assert outside["Seen sides"].count == 1
    assert "Back, inside" not in outside
    inside = {face.name: face for face in cabinet(finish_inside=True).faces}
    assert inside["Back, inside"].width == Length.of("69/2")


def test_its_weight_is_that_of_its_sheets() -> None:
    # common practice, no source: plywood 36 lb/ft³, 3/4 in is 2.25 lb/ft², 1/4 in 0.75 lb/ft²
    built = cabinet(adjustable_shelves=0)
    thick = [part for part in built.parts if part.thickness == Length.of("3/4")]

    def area(parts: list[Part]) -> Fraction:
        return sum((part.count * part.width.inches * part.length.inches for part in parts), Fraction(0)) / 144

    back = [part for part in built.parts if part.name == "Back"]
    assert built.weight is not None
    assert built.weight.value == area(thick) * Fraction("2.25") + area(back) * Fraction("0.75")


def test_a_cabinet_too_heavy_for_one_is_set_by_two() -> None:
    assert cabinet().steps[-1].crew == 2
    assert cabinet(width="12", adjustable_shelves=0).steps[-1].crew == 1


def test_a_toe_kick_as_high_as_the_cabinet_is_refused() -> None:
    (problem,) = problems_of(a_piece("base_cabinet", height="10", toe_kick_height="9"))
    assert problem.field == "height"
    assert problem.words == "Height “10 in” leaves no room above a toe kick of 9 in. Try 39 in."


def test_a_stretcher_wider_than_the_cabinet_is_deep_is_refused() -> None:
    (problem,) = problems_of(a_piece("base_cabinet", depth="8", stretcher_width="12"))
    assert problem.field == "stretcher_width"
