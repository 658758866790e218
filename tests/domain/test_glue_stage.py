"""Glue-ups in stages: the trade's check values, sums by hand, and what holds for every panel."""

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.adhesive import adhesive_families, total_assembly_time
from domain.figure import typed
from domain.glue_problem import glue_problems
from domain.glue_stage import GluePanel, GluePlan, closing_time, glue_plan, joined
from domain.glue_tree import Group, glue_groups
from domain.length import Length
from domain.practice import COMMON, Owned, ShopPractice

USUAL = ShopPractice()
PVA = "PVA cross-linking, water resistant"
HIDE = "Hot hide (animal) glue"
MAPLE = "Hard maple (sugar maple)"


def a_panel(widths: Sequence[str | Fraction] = ("5",) * 5, length="96", crew=1, family=PVA, thickness="3/2",
            species=MAPLE) -> GluePanel:  # fmt: skip
    """Return boards as glued, 3 1/2 in longer than they will be."""
    extra = Length.of("7/2")
    along = Length.of(length)
    return GluePanel(
        boards=tuple((1, typed("Board width", Length(Fraction(width)))) for width in widths),
        along=typed("Length", along),
        length=typed("Length as glued", along + extra),
        thickness=typed("Thickness", Length.of(thickness)),
        species=species,
        family=family,
        crew=typed("People", crew),
        extra=typed("Extra length", extra),
    )


def a_plan(*args, practice=USUAL, **panel) -> GluePlan:
    return glue_plan(a_panel(*args, **panel), practice)


def words_of(plan: GluePlan, practice: ShopPractice = USUAL) -> str:
    return " ".join(problem.words for problem in glue_problems(plan, practice))


def parts_of(plan: GluePlan) -> list[list[str]]:
    """Return what each stage joins: boards by number, earlier stages as `stage 1`."""
    return [
        [f"stage {part.stage}" if part.stage else str(part.first) for part in stage.group.parts]
        for stage in plan.in_turn
    ]


@pytest.mark.parametrize("length", ["96", "102", "108", "114", "120"])
@pytest.mark.parametrize(("species", "thickness"), [(MAPLE, "3/2"), ("Black cherry", "3/4"), ("White oak", "7/4")])
def test_one_person_closes_four_to_five_boards_of_eight_to_ten_feet_in_five_minutes(length, species, thickness):
    # Source: common practice, no source: 5 minutes of assembly time, 4 to 5 boards in one go
    plan = a_plan(("4",) * 9, length=length, species=species, thickness=thickness)
    assert plan.open_time.value == 5
    assert plan.at_once.value in (4, 5)
    assert plan.at_once.rule.source == COMMON


def test_the_minutes_of_a_stage_are_the_sum_by_hand():
    # 4 boards, 10 ft 3 1/2 in: 3 × 10.29 ft × 5 s = 154.375 s; (123 1/2 − 4) ÷ 8 → 15 spaces, 16 clamps × 5 s = 80 s;
    # 4 × 10 s to place: 274.375 s. Maple wants 30 clamps: 14 more × 5 s = 70 s until all are tight
    (stage,) = a_plan(("4",) * 4, length="120").in_turn
    assert stage.feet.value == Fraction(3) * Fraction("123.5") / 12
    assert stage.closed.value * 60 == Fraction("154.375") + 80 + 40
    assert stage.pressed.value * 60 == Fraction("274.375") + 70


def test_two_people_share_the_spreading_and_the_clamping_and_not_the_placing():
    alone, together = (a_plan(("4",) * 4, length="120", crew=crew).in_turn[0].closed.value * 60 for crew in (1, 2))
    assert alone - 40 == 2 * (together - 40)


def test_a_longer_joint_takes_longer():
    short, long = (a_plan(("4",) * 4, length=length).assembly.value for length in ("24", "120"))
    assert long > 2 * short


def test_a_thirteen_board_ten_foot_top_goes_otherwise_with_one_person_and_with_two():
    # 31 in of 13 boards, 30 in deep and 1/2 in to trim at each edge; 5 min of open time
    boards = (Fraction(31, 13),) * 13
    alone, together = (a_plan(boards, length="120", crew=crew) for crew in (1, 2))
    assert alone.at_once.value == 4
    assert parts_of(alone) == [
        ["1", "2", "3", "4"], ["5", "6", "7", "8"], ["9", "10", "11", "12"], ["stage 1", "stage 2", "stage 3", "13"],
    ]  # fmt: skip
    assert together.at_once.value == 7
    assert parts_of(together) == [
        ["1", "2", "3", "4", "5", "6", "7"], ["8", "9", "10", "11", "12", "13"], ["stage 1", "stage 2"],
    ]  # fmt: skip
    for plan in (alone, together):
        assert all(stage.closed.value <= 5 for stage in plan.in_turn)
        assert plan.in_turn[-1].width.value == 31
        assert not glue_problems(plan, USUAL)


def test_parts_stay_within_the_planer_where_that_takes_no_further_round():
    # five boards of 5 1/2 in, four of which close at once: 22 in is wider than a planer of 20 in, 16 1/2 in is not
    halves = a_plan(("11/2",) * 5, length="108")
    assert [float(stage.width.value) for stage in halves.in_turn] == [16.5, 11, 27.5]
    wide = a_plan(("11/2",) * 5, length="108", practice=ShopPractice({"planer_width": Fraction(24)}))
    assert [float(stage.width.value) for stage in wide.in_turn] == [22, 27.5], "then two glue-ups do"


def test_all_in_one_go_needs_no_parts():
    plan = a_plan(("4",) * 4, length="120")
    assert parts_of(plan) == [["1", "2", "3", "4"]]
    assert plan.assembly.value == plan.in_turn[0].closed.value


def test_a_board_alone_and_nobody_at_the_bench_are_no_glue_up():
    for panel in (a_panel(("5",)), a_panel(crew=0)):
        with pytest.raises(ValueError, match="at least 2 boards and 1 person"):
            glue_plan(panel, USUAL)
    with pytest.raises(ValueError, match="at least 2"):
        glue_groups([Fraction(1)] * 3, 1, Fraction(20))


# What holds for every panel.

WIDTHS = st.lists(st.fractions(1, 12, max_denominator=16), min_size=2, max_size=24)


def leaves(group: Group) -> list[int]:
    if not group.parts:
        return [group.first]
    return [board for part in group.parts for board in leaves(part)]


@given(WIDTHS, st.integers(2, 12), st.fractions(1, 40))
def test_every_board_is_joined_once_and_the_stages_form_one_tree(widths, at_once, planer):
    groups = glue_groups(widths, at_once, planer)
    assert leaves(groups[-1]) == list(range(1, len(widths) + 1))
    assert [group.stage for group in groups] == list(range(1, len(groups) + 1))
    used = [number for group in groups for number in joined(group)]
    assert sorted(used) == list(range(1, len(groups))), "each stage but the last is joined in exactly one later stage"
    assert all(number < group.stage for group in groups for number in joined(group))
    assert all(2 <= len(group.parts) <= at_once for group in groups)
    assert sum(len(group.parts) - 1 for group in groups) == len(widths) - 1, "every joint is glued once"


@given(WIDTHS, st.integers(2, 12), st.fractions(1, 40))
def test_more_at_once_never_takes_more_glue_ups(widths, at_once, planer):
    assert len(glue_groups(widths, at_once + 1, planer)) <= len(glue_groups(widths, at_once, planer))


PANELS = st.builds(
    a_panel,
    WIDTHS,
    length=st.fractions(12, 180, max_denominator=16),
    crew=st.integers(1, 6),
    family=st.sampled_from(adhesive_families()),
    thickness=st.fractions(Fraction(3, 8), 3, max_denominator=8),
    species=st.sampled_from([MAPLE, "Black cherry", "Western redcedar", "unobtainium"]),
)


@given(PANELS)
def test_every_stage_closes_in_time_or_is_said_to_be_too_slow(panel):
    plan = glue_plan(panel, USUAL)
    opened, total = plan.open_time.value, total_assembly_time(panel.family, USUAL).value
    for stage in plan.in_turn:
        assert plan.is_late(stage) == (stage.closed.value > opened or stage.pressed.value > total)
    if any(plan.is_late(stage) for stage in plan.in_turn):
        assert "cannot close even one joint" in words_of(plan)
        assert all(len(stage.group.parts) == 2 for stage in plan.in_turn)
    else:
        assert "even one joint" not in words_of(plan)


@given(PANELS)
def test_clamps_are_never_fewer_than_spacing_or_pressure_ask_for(panel):
    plan = glue_plan(panel, USUAL)
    assert len(plan.places) == plan.clamps.value
    if plan.clamps.value:
        by_rule = {figure.label: figure.value for figure in plan.clamps.walk()}
        assert plan.clamps.value >= by_rule["Clamps by spacing"] >= plan.closing.value
        assert plan.clamps.value >= by_rule.get("Clamps by pressure", 0)
        if pressed := by_rule.get("Clamps by pressure"):
            assert pressed * USUAL.value("clamp_force") >= by_rule["Clamping force"]


@given(PANELS)
def test_more_hands_never_take_more_glue_ups(panel):
    more = GluePanel(
        panel.boards, panel.along, panel.length, panel.thickness, panel.species, panel.family,
        typed("People", panel.crew.value + 1), panel.extra,
    )  # fmt: skip
    assert glue_plan(more, USUAL).stages.value <= glue_plan(panel, USUAL).stages.value


@given(PANELS)
def test_joints_and_feet_of_all_stages_add_up(panel):
    plan = glue_plan(panel, USUAL)
    joints = len(panel.widths) - 1
    assert sum(stage.joints.value for stage in plan.in_turn) == joints
    assert sum(stage.feet.value for stage in plan.in_turn) == joints * panel.length.value / 12
    assert plan.in_turn[-1].width.value == sum(width.value for width in panel.widths)


def test_strips_are_closed_like_joints():
    # 9 ft of strip × 5 s, 15 clamps × 5 s, one strip to place: 45 + 75 + 10 s
    taken = closing_time(typed("feet", 9), typed("clamps", 15), typed("strips", 1), typed("people", 1), USUAL)
    assert taken.value * 60 == 45 + 75 + 10


# What stands in the way, and what would work.


def test_a_glue_too_quick_for_one_joint_says_how_many_people_or_which_glue():
    # 99 1/2 in: 41.5 s to spread, 13 clamps 65 s, 2 × 10 s: 126.5 s of 60; with three people 35.5 + 20 s
    said = words_of(a_plan(family=HIDE))
    assert "it takes 2 min 7 s, and Hot hide (animal) glue stays open for 1 min." in said
    assert "Take 3 people or a glue that stays open longer, such as PVA interior." in said
    assert not glue_problems(a_plan(family=HIDE, crew=3), USUAL)


def test_contact_adhesive_is_not_for_edge_joints():
    # Source: notes of data/adhesives.csv, from memory
    contact = "Contact adhesive (chloroprene), solvent or water based"
    assert "not for edge joints of solid wood. Try PVA interior." in words_of(a_plan(family=contact))


def test_where_nothing_helps_a_shorter_panel_does():
    slow = ShopPractice({"place_seconds": Fraction(3600)})
    assert "Take a shorter panel" in words_of(a_plan(practice=slow), slow)


def test_a_panel_wider_than_the_longest_clamp_opens_is_said_and_still_planned():
    plan = a_plan(("10",) * 6)
    assert "60 in across as glued, and the longest clamp opens to 48 in" in words_of(plan)
    assert plan.in_turn
    assert not glue_problems(plan, ShopPractice({"clamp_opening": Fraction(60)}))


def test_more_clamps_than_the_shop_has_are_borrowed_or_made_up_for():
    # 1 1/2 × 99 1/2 in at 167 psi is 24,926 lbf: 24 clamps of 1050, or 18 of 1400 lbf
    shop = ShopPractice({}, Owned(18, 1))
    plan = a_plan(practice=shop)
    assert plan.clamps.value == 24
    assert "It takes 24 clamps at once, and the shop has 18. Borrow 6, or use clamps of 1,400 lbf each" in words_of(
        plan, shop
    )
    stronger = ShopPractice({"clamp_force": Fraction(1400)}, Owned(18, 1))
    assert not glue_problems(a_plan(practice=stronger), stronger)


def test_fewer_clamps_than_the_spacing_asks_for_stand_further_apart():
    # 13 clamps 8 in apart; 10 of them: (99 1/2 − 4) ÷ 9 = 10.61 in
    shop = ShopPractice({}, Owned(10, 1))
    thin = {"thickness": "3/4", "species": "Western redcedar"}
    assert "Borrow 3, or set them 10 3/4 in apart" in words_of(a_plan(practice=shop, **thin), shop)
    wider = ShopPractice({"clamp_spacing": Fraction(43, 4)}, Owned(10, 1))
    assert not glue_problems(a_plan(practice=wider, **thin), wider)


def test_a_shop_that_never_said_its_clamps_is_asked_for_them_and_one_not_set_up_is_left_alone():
    none = ShopPractice({}, Owned(0, 1))
    assert "the shop's profile says 0. Type there how many you have." in words_of(a_plan(practice=none), none)
    assert not glue_problems(a_plan(), USUAL)


def test_boards_longer_than_the_bench_want_beams():
    assert "147 1/2 in long as glued, and a glue-up in this shop is at most 144 in long" in words_of(
        a_plan(("4",) * 3, length="144")
    )
