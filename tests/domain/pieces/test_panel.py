"""Panels glued up in stages: their steps, what they wait for, and what they hold."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import a_top, build
from domain.part import Built, TaskKind
from domain.practice import Owned, ShopPractice

WIDE = {"length": "10'", "depth": "30", "boards_by": "so many boards of one width", "board_count": 13}
"""A 13-board top, 30 in deep and 10 ft long: 31 in across as glued."""


def with_clamps(clamps: int, benches: int = 1, **habits: str) -> ShopPractice:
    return ShopPractice({key: Fraction(value) for key, value in habits.items()}, Owned(clamps, benches))


def wide(crew: int, practice: ShopPractice) -> Built:
    return build(a_top(**WIDE, crew=crew), practice)


def waits(built: Built) -> dict[str, list[str]]:
    return {step.key: [wait.step for wait in step.after] for step in built.steps}


def glue_ups(built: Built) -> list[str]:
    return [step.name for step in built.steps if step.kind is TaskKind.GLUE_UP]


def test_thirteen_boards_are_glued_in_other_stages_by_one_person_and_by_two():
    shop = with_clamps(30)
    assert glue_ups(wide(1, shop)) == [
        "Glue-up 1 of 4, boards 1 to 4", "Glue-up 2 of 4, boards 5 to 8", "Glue-up 3 of 4, boards 9 to 12",
        "Glue-up 4 of 4, boards 1 to 13",
    ]  # fmt: skip
    assert glue_ups(wide(2, shop)) == [
        "Glue-up 1 of 3, boards 1 to 7", "Glue-up 2 of 3, boards 8 to 13", "Glue-up 3 of 3, boards 1 to 13",
    ]  # fmt: skip


def test_parts_wait_for_the_clamps_of_one_another_where_the_shop_has_them_once():
    found = waits(wide(1, with_clamps(30)))
    assert found["glue-up-1"] == ["joint"]
    assert found["glue-up-2"] == ["joint", "unclamp-1"]
    assert found["glue-up-3"] == ["joint", "unclamp-2"]
    assert found["glue-up-4"] == ["joint", "unclamp-1", "unclamp-2", "unclamp-3"], "its thirteenth board is fresh"


def test_parts_follow_one_another_at_once_where_clamps_and_benches_suffice():
    found = waits(wide(1, with_clamps(60, benches=2)))
    assert found["glue-up-2"] == ["joint", "glue-up-1"], "the same hands, other clamps"
    assert found["glue-up-3"] == ["joint", "unclamp-1", "glue-up-2"], "the clamps of the first"
    assert found["glue-up-4"] == ["joint", "unclamp-1", "unclamp-2", "unclamp-3"]
    one_bench = waits(wide(1, with_clamps(60, benches=1)))
    assert one_bench["glue-up-2"] == ["joint", "unclamp-1"]


def test_the_halves_are_joined_when_the_clamps_of_both_are_off():
    assert waits(wide(2, with_clamps(60, benches=2)))["glue-up-3"] == ["unclamp-1", "unclamp-2"]


def test_every_stage_has_its_clamps_people_bench_clamp_time_scrape_and_cure():
    built = wide(2, with_clamps(30))
    steps = {step.key: step for step in built.steps}
    for number in (1, 2, 3):
        glued = steps[f"glue-up-{number}"]
        assert (glued.clamps, glued.crew, glued.bench, glued.until) == (30, 2, 1, f"unclamp-{number}")
        clamped, cured = steps[f"clamp-{number}"].elapsed, steps[f"cure-{number}"].elapsed
        assert clamped is not None
        assert cured is not None
        assert (clamped.value, cured.value) == (3, 24)
        assert steps[f"unclamp-{number}"].work[0].operation == "unclamp"
    assert {wait.step for wait in steps["flatten"].after} == {"unclamp-3", "cure-1", "cure-2", "cure-3"}


def test_a_cold_shop_keeps_every_stage_longer_in_its_clamps():
    # 56 °F is 14 °F under 70: 1 + 14 ÷ 18 times as long
    steps = {step.key: step for step in wide(2, with_clamps(30, shop_temperature="56")).steps}
    warm = {step.key: step for step in wide(2, with_clamps(30)).steps}
    assert steps["clamp-1"].elapsed.value == warm["clamp-1"].elapsed.value * Fraction(16, 9)
    assert steps["cure-3"].elapsed.value == 24 * Fraction(16, 9)


def test_a_shop_too_cold_for_the_glue_is_said_with_the_piece():
    built = wide(2, with_clamps(30, shop_temperature="50"))
    assert any("needs 55.4 °F (13 °C) at least" in problem.words for problem in built.problems)
    assert built.steps, "the rest is worked out all the same"


def test_the_plan_of_a_panel_travels_with_the_first_of_its_glue_ups_and_no_other():
    with_plan = [step.key for step in wide(1, with_clamps(30)).steps if step.panel]
    assert with_plan == ["glue-up-1"]
    assert not [step for step in build(a_top(depth="5", length="30", widest_board="6")).steps if step.panel]


@settings(max_examples=60)
@given(
    boards=st.integers(2, 40), crew=st.integers(1, 4), length=st.integers(24, 144), clamps=st.integers(1, 120),
    benches=st.integers(1, 4),
)  # fmt: skip
def test_stages_never_hold_more_clamps_or_benches_than_the_shop_has_unless_one_alone_does(
    boards: int, crew: int, length: int, clamps: int, benches: int
) -> None:
    top = a_top(length=str(length), depth=str(2 * boards), boards_by="so many boards of one width",
                board_count=boards, crew=crew)  # fmt: skip
    steps = {step.key: step for step in build(top, with_clamps(clamps, benches)).steps}
    spread = [key for key in steps if key.startswith("glue-up-")]
    before: dict[str, set[str]] = {}
    for key, step in steps.items():
        direct = {wait.step for wait in step.after}
        assert direct <= steps.keys()
        before[key] = direct.union(*(before.get(one, set()) for one in direct))
    for key in spread:
        held = [one for one in spread if one in before[key] and steps[one].until not in before[key]]
        if held:
            assert sum(steps[one].clamps for one in (*held, key)) <= clamps
            assert sum(steps[one].bench for one in (*held, key)) <= benches
        apart = [one for one in spread if one != key and one not in before[key] and key not in before[one]]
        assert not apart, "the same hands glue up one after another"


@pytest.mark.parametrize("crew", [1, 2, 3])
def test_the_joint_of_all_stages_is_the_joint_of_the_panel(crew: int) -> None:
    built = wide(crew, with_clamps(30))
    feet = sum(work.quantity.value for step in built.steps if step.kind is TaskKind.GLUE_UP for work in step.work)
    (joint,) = built.joints
    assert feet == joint.count * joint.length.in_feet
