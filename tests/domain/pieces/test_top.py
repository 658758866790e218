"""The edge-glued top: board widths, glue-up, movement, weight and last cut, by hand and by the handbook."""

from fractions import Fraction

import pytest
from hypothesis import given, settings

from builders import USUAL, a_top, build, pieces, with_habits
from domain.length import Length
from domain.part import Built, Stage, TaskKind
from domain.pieces.board_choice import BoardsBy
from domain.pieces.piece import problems_of


def figure(built: Built, label: str) -> Fraction:
    (found,) = (one for one in built.figures if one.label.startswith(label))
    return found.value


def words(**typed: object) -> str:
    (problem,) = problems_of(a_top(**typed))
    return problem.words


def test_boards_by_count_share_the_depth_and_both_trims() -> None:
    built = build(a_top(depth="25 1/2", boards_by="so many boards of one width", board_count=5))
    (boards,) = built.parts
    assert (boards.mark, boards.count) == ("A", 5)
    assert boards.width == Length.of((Fraction("25.5") + 2 * Fraction("0.5")) / 5)


def test_boards_by_widest_are_the_fewest_that_fit() -> None:
    built = build(a_top(depth="25 1/2", widest_board="6"))
    (boards,) = built.parts
    assert boards.count == 5, "26 1/2 ÷ 6 is 4.4"
    assert boards.width == Length.of(Fraction("26.5") / 5)


def test_mixed_boards_lose_their_joints_and_keep_their_order() -> None:
    # each loses 2 × 1/8 to the jointer and 1/8 to the saw; 26 5/8 is left of 28 1/2, 26 1/2 is needed
    built = build(a_top(boards_by=BoardsBy.MIXED, board_widths="6, 6, 5 1/2, 6, 5"))
    assert [(part.mark, part.count, part.width) for part in built.parts] == [
        ("A", 2, Length.of("45/8")),
        ("B", 1, Length.of("41/8")),
        ("C", 1, Length.of("45/8")),
        ("D", 1, Length.of("37/8")),
    ]
    assert figure(built, "Ripped off") == Fraction(213, 8) - Fraction("25.5")


def test_mixed_boards_that_do_not_add_up_say_by_how_much() -> None:
    said = words(boards_by=BoardsBy.MIXED, board_widths="6, 6, 6")
    assert "add up to 16 7/8 in once jointed" in said
    assert "depth 25 1/2 in and twice 1/2 in to trim make 26 1/2 in: 9 5/8 in more is needed" in said


def test_a_board_too_many_is_to_be_left_out() -> None:
    said = words(boards_by=BoardsBy.MIXED, board_widths="6, 6, 6, 6, 6, 6")
    assert "Leave one out: 7 1/4 in is too much." in said


def test_mixed_boards_without_widths_are_asked_for() -> None:
    assert words(boards_by=BoardsBy.MIXED) == "Type the width of each board, 1 to 80 of them: 5 1/2, 6, 4 3/4."


def test_boards_too_narrow_to_glue_up_are_refused_where_their_number_was_typed() -> None:
    (problem,) = problems_of(a_top(boards_by="so many boards of one width", board_count=60))
    assert problem.field == "board_count"
    assert "about 7/16 in wide" in problem.words


def test_a_top_thicker_than_any_stock_is_refused_at_the_thickness() -> None:
    (problem,) = problems_of(a_top(thickness="5"))
    assert problem.field == "thickness"
    assert "Glue it up from thinner layers" in problem.words


def test_stock_too_thin_for_the_top_is_refused_at_the_stock() -> None:
    (problem,) = problems_of(a_top(thickness="1 1/2", stock="4/4"))
    assert problem.field == "stock"
    assert "4/4 dresses to 13/16 in" in problem.words


def test_a_stain_needs_a_finish_over_it() -> None:
    (problem,) = problems_of(a_top(finish="none", colour="Oil stain"))
    assert problem.field == "colour"


@settings(max_examples=80)
@given(top=pieces("top"))
def test_board_widths_add_up_to_the_depth_and_what_is_ripped_off(top: object) -> None:
    if problems_of(top):  # type: ignore[arg-type]
        return
    built = build(top)  # type: ignore[arg-type]
    across = top.length if top.has_end_grain_front else top.depth  # type: ignore[attr-defined]
    along = top.depth if top.has_end_grain_front else top.length  # type: ignore[attr-defined]
    if top.has_end_grain_front and top.has_front_strip:  # type: ignore[attr-defined]
        along -= top.front_strip_depth  # type: ignore[attr-defined]
    side_by_side = sum(
        part.count * part.width.inches * (part.length.inches / along.inches)
        for part in built.parts
        if not part.name.startswith("Front strip")
    )
    assert side_by_side == across.inches + figure(built, "Ripped off"), "rows of several strips are one board each"
    if top.boards_by is BoardsBy.COUNT:  # type: ignore[attr-defined]
        assert figure(built, "Ripped off") == 2 * USUAL.value("panel_trim")


def test_the_boards_keep_their_extra_length_until_the_last_cut() -> None:
    built = build(a_top(length="9'"))
    (boards,) = built.parts
    assert boards.length == Length.feet(9)
    assert boards.extra_length == Length.of("7/2")
    (joint,) = built.joints
    assert joint.length == Length.of(108 + Fraction("3.5"))
    assert joint.count == 4


def test_biscuits_keep_clear_of_the_finished_ends() -> None:
    # 48 in joint: (48 − 2 × 2) ÷ 10, rounded up, and one more = 6 in each of 4 joints; the extra length has none
    built = build(a_top(length="48", alignment="biscuits"))
    (joint,) = built.joints
    assert joint.fasteners is not None
    assert joint.fasteners.value == 4 * 6
    assert joint.fastener is not None
    assert joint.fastener.title == "#20 biscuit"


def test_grain_front_to_back_runs_boards_across_the_length() -> None:
    built = build(a_top(length="60", depth="24", grain="front to back", widest_board="6"))
    (boards,) = built.parts
    assert boards.length == Length.of(24)
    assert boards.count == 11, "61 ÷ 6 is 10.2"


def test_movement_across_the_depth_agrees_with_the_handbook() -> None:
    # Source: Wood Handbook (2010) ch. 13, Table 13-5: white oak CT 0.00365, CR 0.00180;
    # 25 1/2 in from 8 to 11 % moves 25.5 × CT × 3 = 0.279 in flat-sawn, 0.138 in quarter-sawn
    seasons = with_habits(moisture_driest="8", moisture_dampest="11")
    flat = build(a_top(species="White oak", cut="flat-sawn"), seasons)
    quartered = build(a_top(species="White oak", cut="quarter-sawn"), seasons)
    assert figure(flat, "Wider in the dampest") == Fraction("25.5") * Fraction("0.00365") * 3
    assert round(figure(flat, "Wider in the dampest"), 3) == Fraction("0.279")
    assert round(figure(quartered, "Wider in the dampest"), 3) == Fraction("0.138")


def test_movement_of_a_top_with_its_grain_front_to_back_is_along_the_length() -> None:
    seasons = with_habits(moisture_driest="6", moisture_dampest="11")
    top = build(a_top(species="White oak", length="60", depth="24", grain="front to back"), seasons)
    assert figure(top, "Wider in the dampest") == 60 * Fraction("0.00365") * 5


def test_ten_board_feet_of_white_oak_weigh_what_the_density_relation_says() -> None:
    # Source: Wood Handbook (2010) density relation: 62.43 × SG × 1.12 ÷ 12 lb/bf, white oak SG 0.68: 39.6 lb
    built = build(a_top(species="White oak", thickness="1", length="120", depth="12"))
    assert built.weight is not None
    assert built.weight.value == 10 * Fraction("62.43") * Fraction("0.68") * Fraction("1.12") / 12
    assert round(built.weight.value, 1) == Fraction("39.6")


def test_a_top_heavier_than_one_person_lifts_is_carried_by_more() -> None:
    # Source: NIOSH revised lifting equation, load constant 23 kg, 51 lb
    light = build(a_top(species="White oak", thickness="1", length="120", depth="12"))
    heavy = build(a_top(species="White oak", thickness="1", length="120", depth="24"))
    assert light.steps[-1].crew == 1, "39.6 lb"
    assert heavy.steps[-1].crew == 2, "79.2 lb"


def test_a_glue_up_that_one_open_time_cannot_close_goes_in_stages() -> None:
    # 111 1/2 in of joint at 5 s/ft are 46.46 s, 15 clamps 75 s: four boards take 3 × 46.46 + 75 + 4 × 10 = 254.4 s of
    # the 300 s that one person has, five 310.8 s. Four would be 21.2 in wide, too much for a planer of 20 in:
    # three and two are glued, then the two parts to each other
    built = build(a_top(crew=1))
    keys = [step.key for step in built.steps]
    assert [key for key in keys if key.startswith("glue-up")] == ["glue-up-1", "glue-up-2", "glue-up-3"]
    waits = {step.key: [wait.step for wait in step.after] for step in built.steps}
    assert waits["glue-up-2"] == ["joint", "unclamp-1"], "whether the clamps suffice for both is not known"
    assert waits["glue-up-3"] == ["unclamp-1", "unclamp-2"]
    assert figure(built, "Glue-ups") == 3
    assert figure(built, "Assembly time") == Fraction(4 * Fraction("111.5") / 12 * 5 + 15 * 5 + 5 * 10, 60)


def test_a_glue_too_quick_for_one_joint_is_said_and_planned_one_joint_at_a_time() -> None:
    # hot hide glue opens for 1 min; one joint takes 46.46 + 75 + 2 × 10 = 141.5 s
    built = build(a_top(glue="Hot hide (animal) glue", crew=1))
    assert figure(built, "Glue-ups") == 4
    assert any("cannot close even one joint" in problem.words for problem in built.problems)


def test_joints_of_all_stages_add_up_to_the_joints_of_the_top() -> None:
    built = build(a_top(glue="Hot hide (animal) glue", crew=2, widest_board="2"))
    glued = sum(work.quantity.value for step in built.steps if step.kind is TaskKind.GLUE_UP for work in step.work)
    (joint,) = built.joints
    assert glued == joint.count * joint.length.in_feet


def test_the_top_is_flattened_when_its_glue_has_cured() -> None:
    built = build(a_top())
    steps = {step.key: step for step in built.steps}
    assert {wait.step for wait in steps["flatten"].after} == {"unclamp-1", "cure-1"}
    assert [wait.step for wait in steps["cure-1"].after] == ["glue-up-1"], "the cure counts from the glue-up"
    assert steps["clamp-1"].elapsed is not None
    assert steps["glue-up-1"].until == "unclamp-1"
    assert steps["glue-up-1"].clamps > 0
    assert steps["unclamp-1"].clamps == 0, "held from the glue-up on, not twice"


def test_the_last_cut_is_at_install_unless_made_in_the_shop() -> None:
    at_install = {step.key: step.stage for step in build(a_top(openings=1)).steps}
    assert at_install["cut-to-length"] is at_install["openings"] is Stage.INSTALL
    steps = build(a_top(openings=1, last_cut="in the shop")).steps
    assert [step.key for step in steps][-4:] == ["cut-to-length", "openings", "sand", "install"]
    assert {step.stage for step in steps if step.key in ("cut-to-length", "openings", "sand")} == {Stage.BUILD}


def test_a_top_finished_on_one_side_is_warned_about() -> None:
    one_sided = build(a_top(finish_underside=False))
    assert "finish_underside" in [problem.field for problem in one_sided.problems]
    assert [face.name for face in one_sided.faces] == ["Top face", "Long edges"]
    assert sum(face.count for face in build(a_top()).faces) == 6, "both faces, long edges and ends"


def test_seen_edges_are_finished_even_when_the_underside_is_not() -> None:
    built = build(a_top(finish_underside=False, left_end_seen=True, back_seen=True))
    assert {face.name: face.count for face in built.faces} == {"Top face": 1, "Long edges": 2, "Ends": 1}


def test_a_raw_top_has_nothing_to_sand_or_coat() -> None:
    built = build(a_top(finish="none"))
    assert built.faces == ()
    assert "sand" not in [step.key for step in built.steps]


@pytest.mark.parametrize(
    ("thickness", "under", "screw"),
    [("1 1/2", "3/4", "2"), ("3/4", "3/4", "5/4"), ("3/4", "1 1/4", "7/4"), ("3", "3/4", "3")],
)
def test_a_hold_down_screw_never_comes_through_the_top(thickness: str, under: str, screw: str) -> None:
    # longest common screw of thickness + wood under it − 1/4
    built = build(a_top(thickness=thickness, under=under))
    assert figure(built, "Hold-down screw") == Fraction(screw)
    (item,) = built.items
    assert item.material.size == f"#8 x {Length.of(screw).exact()}"


def test_a_top_is_held_about_every_foot_in_two_rows() -> None:
    # 108 ÷ 12 = 9, and one more, in 2 rows
    (item,) = build(a_top(length="9'")).items
    assert item.quantity.value == 2 * (9 + 1)
