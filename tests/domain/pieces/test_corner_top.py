"""The L-shaped top: two legs, their joint, what the seasons do there, and what it is finished and held by."""

from fractions import Fraction
from math import isclose, sqrt
from typing import Any

import pytest
from hypothesis import given, settings

from builders import USUAL, a_piece, build, pieces, with_habits
from domain.length import Length
from domain.part import Built, Stage, TaskKind
from domain.pieces.belonging import kinds_for, started
from domain.pieces.built_up_edge import BuiltUpEdge
from domain.pieces.corner_joint import nearest_root
from domain.pieces.corner_top import CornerTop
from domain.pieces.piece import problems_of
from domain.pieces.support_strips import SupportStrips

SEASONS = with_habits(moisture_driest="8", moisture_dampest="11")
PARALLEL = "as the first leg's"


def corner(**typed: Any) -> Any:
    """Return an invented L of white oak: 96 in along one wall and 72 along the other, both 25 1/2 in deep."""
    return a_piece("corner_top", **{"species": "White oak", **typed})


def figure(built: Built, label: str) -> Fraction:
    (found,) = (one for one in built.figures if one.label.startswith(label))
    return found.value


def boards(built: Built, leg: str) -> list[tuple[int, Length, Length]]:
    return [(part.count, part.width, part.length) for part in built.parts if part.name.startswith(leg)]


def words(built: Built, field: str) -> str:
    return " ".join(problem.words for problem in built.problems if problem.field == field)


def test_of_a_butt_the_first_leg_runs_through_and_the_second_ends_at_its_front() -> None:
    # 72 − 25 1/2 = 46 1/2; both are five boards of (25 1/2 + 2 × 1/2) ÷ 5
    built = build(corner())
    wide = Length.of(Fraction("26.5") / 5)
    assert boards(built, "First leg") == [(5, wide, Length.of(96))]
    assert boards(built, "Second leg") == [(5, wide, Length.of("93/2"))]
    assert len({part.mark for part in built.parts}) == 2


def test_of_a_mitre_both_legs_run_to_the_outer_corner() -> None:
    built = build(corner(corner="mitre"))
    assert boards(built, "First leg")[0][2] == Length.of(96)
    assert boards(built, "Second leg")[0][2] == Length.of(72)
    assert figure(built, "First leg: to its long point") == 96
    assert figure(built, "First leg: to its short point") == Fraction("70.5")
    assert figure(built, "Second leg: to its short point") == Fraction("46.5")


def test_a_leg_with_its_grain_parallel_to_the_first_has_its_boards_across() -> None:
    # 46 1/2 + 2 × 1/2 = 47 1/2 in boards of at most 6: 8, each 25 1/2 long
    built = build(corner(second_grain=PARALLEL))
    assert boards(built, "Second leg") == [(8, Length.of(Fraction("47.5") / 8), Length.of("51/2"))]


@pytest.mark.parametrize(
    ("depths", "long", "bolts"),
    [
        # a butt as deep as the second leg: 25 1/2 ÷ 8 = 3.2, so 4; 16 ÷ 8 = 2, but no fewer than 3
        (("butt", "25 1/2", "25 1/2"), Fraction("25.5"), 4),
        (("butt", "25 1/2", "16"), Fraction(16), 3),
        # a mitre from corner to corner: 18 and 24 are 3 and 4 of 6, so 30
        (("mitre", "18", "24"), Fraction(30), 4),
        # √2 × 25.5 = 36.0624, to the nearest 1/64 in 36 4/64
        (("mitre", "25 1/2", "25 1/2"), Fraction(36) + Fraction(4, 64), 5),
    ],
)
def test_the_joint_is_as_long_as_its_kind_says_and_bolted_at_the_shops_spacing(
    depths: tuple[str, str, str], long: Fraction, bolts: int
) -> None:
    # one bolt to each 6 to 8 in, 2 or 3 at least: common practice, no source
    kind, first, second = depths
    built = build(corner(corner=kind, first_depth=first, second_depth=second))
    assert figure(built, "Corner joint") == long
    assert figure(built, "Corner bolts") == bolts
    (item,) = (item for item in built.items if item.material.name == "joint bolt")
    assert item.quantity.value == bolts


def test_roots_are_to_the_nearest_sixty_fourth() -> None:
    # Source: Python's own square root
    for number in (2, 3, 5, 650, 1300, 4096, 7321):
        assert abs(float(nearest_root(Fraction(number))) - sqrt(number)) <= 1 / 128


def test_the_joint_is_dry_unless_it_is_glued_and_lined_up_by_its_fasteners() -> None:
    # 25 1/2 − 2 × 2 = 21 1/2 ÷ 10, rounded up, and one more = 4 biscuits
    *_, dry = build(corner()).joints
    assert (dry.name, dry.glue) == ("Corner joint", "")
    assert dry.fasteners is not None
    assert dry.fasteners.value == 4
    *_, glued = build(corner(glued_corner=True, corner_alignment="none")).joints
    assert glued.glue
    assert glued.fasteners is None


def test_where_the_grain_turns_the_second_leg_moves_along_the_first() -> None:
    # W11: white oak 25 1/2 in deep, flat-sawn, 8 to 11 %: 25.5 × 0.00365 × 3 = 0.279 in
    built = build(corner(), SEASONS)
    moved = Fraction("25.5") * Fraction("0.00365") * 3
    assert round(moved, 3) == Fraction("0.279")
    assert figure(built, "At the corner the second leg moves along the first by") == moved
    assert figure(built, "End of the second leg moves along its wall by") == moved, "the first leg's width carries it"
    assert "moves about 1/4 in along the first between seasons" in words(built, "corner")
    glued = build(corner(glued_corner=True), SEASONS)
    assert "Glued fast it cracks: leave the glue out." in words(glued, "glued_corner")


def test_quarter_sawn_boards_move_less_at_the_corner() -> None:
    # W11: quarter-sawn 25.5 × 0.00180 × 3 = 0.138 in
    built = build(corner(cut="quarter-sawn"), SEASONS)
    moved = figure(built, "At the corner the second leg moves along the first by")
    assert round(moved, 3) == Fraction("0.138")


def test_a_mitre_whose_grain_turns_opens_at_one_end() -> None:
    # both depths change by 25.5 × 0.00365 × 3 = 0.2792; each has d ÷ J of it across the joint:
    # (0.2792 × 25.5 + 0.2792 × 25.5) ÷ 36 1/16 = 0.3949
    built = build(corner(corner="mitre"), SEASONS)
    change = Fraction("25.5") * Fraction("0.00365") * 3
    opens = figure(built, "The mitre opens at one end between seasons by")
    assert opens == 2 * change * Fraction("25.5") / (Fraction(36) + Fraction(1, 16))
    assert isclose(float(opens), float(change) * sqrt(2), rel_tol=1e-4), "√2 × the change of an equal mitre"
    assert "seal both cut faces" in words(built, "corner")


def test_parallel_grain_moves_along_the_second_wall_and_not_at_the_joint() -> None:
    # the first leg's 25 1/2 and the second's 46 1/2 make 72 in: 72 × 0.00365 × 3
    built = build(corner(second_grain=PARALLEL), SEASONS)
    assert figure(built, "End of the second leg moves along its wall by") == 72 * Fraction("0.00365") * 3
    assert not [one for one in built.figures if one.label.startswith("At the corner")]
    assert "Leave that much at the wall" in words(built, "second_grain")
    mitred = build(corner(second_grain=PARALLEL, corner="mitre"), SEASONS)
    assert figure(mitred, "End of the second leg moves along its wall by") == 72 * Fraction("0.00365") * 3


def test_each_leg_is_weighed_as_it_is_carried() -> None:
    # Source: Wood Handbook (2010), density relation: white oak 0.68 × 62.43 × 1.12 ÷ 12 = 3.96 lb/bf;
    # 96 × 25.5 × 1.5 ÷ 144 = 25.5 bf; 46.5 × 25.5 × 1.5 ÷ 144 = 12.35 bf
    built = build(corner())
    board_foot = Fraction("62.43") * Fraction("0.68") * Fraction("1.12") / 12
    first, second = figure(built, "Weight of the first leg"), figure(built, "Weight of the second leg")
    assert first == Fraction("25.5") * board_foot
    assert second == Fraction("46.5") * Fraction("25.5") * Fraction("1.5") / 144 * board_foot
    assert built.weight is not None
    assert built.weight.value == first + second
    assert built.steps[-1].crew == 2, "101 lb of the heavier leg, 51 lb to a person"


def test_a_mitred_leg_weighs_what_is_left_of_it() -> None:
    # both joints make the same L, so the two legs together weigh the same
    butt, mitre = build(corner()), build(corner(corner="mitre"))
    assert butt.weight is not None
    assert mitre.weight is not None
    assert mitre.weight.value == butt.weight.value


def test_the_l_is_finished_once_over_and_its_joint_not() -> None:
    # 25 1/2 × 96 + 25 1/2 × 46 1/2 on both sides, and 1 1/2 in round an L of 2 × (96 + 72) in
    for kind in ("butt", "mitre"):
        built = build(corner(corner=kind))
        face = Fraction("25.5") * 96 + Fraction("25.5") * Fraction("46.5")
        area = sum(one.area.value for one in built.faces)
        assert area == (2 * face + Fraction("1.5") * 2 * (96 + 72)) / 144
    seen = build(corner(finish_underside=False, first_end_seen=True))
    assert [face.name for face in seen.faces] == [
        "Top face, first leg", "Top face, second leg", "Front edge, first leg", "Front edge, second leg",
        "Free end, first leg",
    ]  # fmt: skip


def test_every_step_of_a_leg_has_a_key_of_its_own_for_ever() -> None:
    keys = [step.key for step in build(corner()).steps]
    legs = ("mill", "joint", "glue-up-1", "clamp-1", "unclamp-1", "cure-1", "flatten")
    assert keys[:14] == [f"{leg}-{key}" for leg in ("first", "second") for key in legs]
    assert keys[14:] == ["fit-corner", "sand", "cut-to-length", "bolt-up", "install"]
    in_shop = [step.key for step in build(corner(last_cut="in the shop", openings=1, finish="none")).steps]
    assert in_shop[14:] == ["fit-corner", "cut-to-length", "openings", "bolt-up", "install"]


def test_the_legs_are_fitted_dry_in_the_shop_and_bolted_at_install() -> None:
    steps = {step.key: step for step in build(corner(corner="mitre")).steps}
    assert {wait.step for wait in steps["fit-corner"].after} == {"first-flatten", "second-flatten"}
    work = {one.operation: one.quantity.value for one in steps["fit-corner"].work}
    # 36 1/16 − 2 × 2 ÷ 10, rounded up, and one more = 5 biscuits; 5 bolts; a cut on each leg
    assert work == {"cut-to-length": 2, "biscuit": 5, "bolt-recess": 5}
    assert steps["bolt-up"].stage is Stage.INSTALL
    assert [wait.step for wait in steps["install"].after] == ["bolt-up"]
    assert steps["first-glue-up-1"].until == "first-unclamp-1"


def test_a_leg_that_ends_within_the_other_is_refused() -> None:
    (problem,) = problems_of(corner(second_length="27"))
    assert problem.field == "second_length"
    assert "nothing left beyond the first leg, 25 1/2 in deep. Try 49 1/2 in" in problem.words


def test_a_thickness_that_no_stock_dresses_to_is_said_once() -> None:
    (problem,) = problems_of(corner(thickness="5"))
    assert problem.field == "thickness"
    assert "Glue it up from thinner layers" in problem.words
    (problem,) = problems_of(corner(stock="4/4"))
    assert problem.field == "stock"


def test_what_is_wrong_with_a_leg_names_it() -> None:
    typed = {"boards_by": "boards of the widths typed", "board_widths": "6, 6, 6, 6, 6"}
    (problem,) = problems_of(corner(**typed))
    assert problem.field == "second_board_widths"
    assert problem.words.startswith("Second leg: Type the width of each board")
    assert problems_of(corner(**typed, second_board_widths="6, 6, 6, 6, 6")) == ()


def test_depths_that_differ_and_thin_tops_are_warned_about() -> None:
    assert "not 45 degrees" in words(build(corner(corner="mitre", second_depth="20")), "corner")
    assert "little wood over the recess of a bolt" in words(build(corner(thickness="3/4")), "thickness")
    assert "1/2 in out of square" in words(build(corner(out_of_square="1/2")), "out_of_square")
    assert words(build(corner()), "thickness") == words(build(corner()), "out_of_square") == ""


def test_fasteners_keep_clear_of_the_mitre_and_of_openings() -> None:
    built = build(corner(corner="mitre", first_depth="24", alignment="biscuits", openings=1))
    assert words(built, "alignment") == (
        "The mitre crosses the edge joints within 25 1/2 in of the first leg's long point and 24 in of the second's. "
        "Mark its line before the glue-up, and set no biscuit within 2 in of it."
    )
    assert "set no biscuit within 2 in of their cuts" in words(built, "openings")
    assert words(build(corner(corner="mitre")), "alignment") == ""


def test_edges_and_strips_belong_to_it_and_start_from_its_first_leg() -> None:
    top = CornerTop()
    assert {kind.kind for kind in kinds_for(top, {"a": BuiltUpEdge, "b": SupportStrips})} == {
        "built_up_edge", "support_strips",
    }  # fmt: skip
    edge = started(BuiltUpEdge, top)
    assert (edge.length, edge.top_thickness, edge.depth) == (Length.of(96) - Length.of("51/2"), top.thickness,
                                                             Length.of("51/2"))  # fmt: skip
    strips = started(SupportStrips, top)
    assert strips.run == Length.of(96)
    # 72 − 25 1/2 of the second leg, once the first has its own
    assert started(BuiltUpEdge, top, [edge]).length == started(SupportStrips, top, [strips]).run == Length.of("93/2")


@settings(max_examples=60)
@given(top=pieces("corner_top"))
def test_parts_glue_ups_and_faces_of_any_l_add_up(top: Any) -> None:
    if problems_of(top):
        return
    built = build(top, USUAL)
    glued = sum(
        work.quantity.value for step in built.steps if step.kind is TaskKind.GLUE_UP
        for work in step.work if work.operation == "glue-up"
    )  # fmt: skip
    assert glued == sum(joint.count * joint.length.in_feet for joint in built.joints if joint.name != "Corner joint")
    if top.finish != "none":
        whole = (
            top.first_depth.inches * top.first_length.inches
            + top.second_depth.inches * (top.second_length - top.first_depth).inches
        )
        assert sum(face.area.value for face in built.faces if face.name.startswith("Top")) == whole / 144
