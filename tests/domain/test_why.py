"""Why a task stands where it does: true of every task of small random shops, and said in words a maker trusts."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from domain.length import Length
from domain.part import TaskKind
from domain.person import Absence, Person, Skill
from domain.plan import Plan, Resources, explain
from domain.plan.asked import asked_of
from domain.plan.binding import binding
from domain.plan.conflict import conflicts
from domain.plan.held import HeldBy
from domain.plan.kept import kept_plan
from domain.plan.moved import moved, spans
from domain.plan.remedy import apply
from domain.plan.sooner import sooner
from domain.shop import ClampsOf
from domain.task import Task
from holder_truth import could_start_sooner
from plan_builders import CALENDAR, MONDAY, a_plan, a_task, at, hours, wait
from shop_cases import shops, tasks


def drawn(data: st.DataObject) -> Plan:
    """Return the plan of a small random shop, told by what it was made from."""
    return a_plan(*data.draw(tasks()), resources=data.draw(shops()))


OWN_FACTS = (HeldBy.FACT, HeldBy.NOTHING, HeldBy.PINNED, HeldBy.STEADY)


@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_without_all_that_holds_it_a_task_could_start_sooner_and_without_less_it_could_not(data: st.DataObject) -> None:
    plan = drawn(data)
    assert plan.is_checked
    for key in plan.tasks:
        found = binding(plan, key)
        event(" and ".join(sorted(holder.kind.name for holder in found)))
        if found[0].kind in OWN_FACTS:
            continue
        assert could_start_sooner(plan, key, found), (key, found)
        for one in found:
            rest = tuple(other for other in found if other is not one)
            assert not could_start_sooner(plan, key, rest), (key, found, one)


@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_what_would_bring_a_task_forward_does_so(data: st.DataObject) -> None:
    plan = drawn(data)
    asked, key = asked_of(plan), data.draw(st.sampled_from(list(plan.tasks)))
    for way in sooner(plan, asked, key):
        event(type(way.remedy).__name__)
        again = apply(way.remedy, asked).plan()
        assert again.tasks[key].start < plan.tasks[key].start
        assert again.is_checked


def words(*tasks: Task, of: str, **more: object) -> str:
    return explain(a_plan(*tasks, **more), f"1/{of}")  # type: ignore[arg-type]


GLUE = {"kind": TaskKind.GLUE_UP, "splittable": False}


def test_short_clamps_are_told_with_who_has_them_until_when() -> None:
    top = a_task("Glue the top", 60, clamps=8, until="1/Top in clamps", **GLUE)
    clamps = a_task("Top in clamps", 180, "Glue the top", kind=TaskKind.CLAMP)
    side = a_task("Glue the side", 60, clamps=8, **GLUE)
    assert words(top, clamps, side, of="Glue the side") == "Needs 8 clamps of 12: “Glue the top” has 8 until 12:00."


def test_clamps_that_are_long_enough_are_counted() -> None:
    there = Resources(hands=2, clamps=12, clamps_of=(ClampsOf(Length.of(24), 8), ClampsOf(Length.of(50), 4)))
    long = {"clamps": 4, "clamp_length": Length.of(40), **GLUE}
    one = a_task("Glue the top", 60, **long)
    other = a_task("Glue the side", 60, **long)
    assert "Needs 4 clamps that open 40 in of 4: “Glue the top” has 4 until 09:00" in words(
        one, other, of="Glue the side", resources=there
    )


def test_people_are_told_by_their_names() -> None:
    there = Resources(
        people=(Person(1, "Ann", frozenset({Skill.MACHINES})), Person(2, "Ben", frozenset({Skill.BENCH})))
    )
    first, then = (a_task(name, 120, kind=TaskKind.MILL) for name in ("Mill the top", "Mill the side"))
    assert words(first, then, of="Mill the side", resources=there) == "Ann is on “Mill the top” until 10:00."


def test_a_task_of_another_job_is_told_with_its_job() -> None:
    first, then = a_task("Mill", 120, job=2), a_task("Saw", 240)
    plan = a_plan(first, then, resources=Resources(hands=1))
    assert explain(plan, "1/Saw") == "The only pair of hands is on “Mill” of Job 2 until 10:00."


def test_somebody_ill_is_told_with_the_day_of_their_return() -> None:
    away = Absence(1, 1, MONDAY, at("2026-06-03 08:00"), "ill")
    there = Resources(people=(Person(1, "Ann"),), absences=(away,))
    assert words(a_task("Saw", 60), of="Saw", resources=there) == (
        "Nobody who can do it is there until Wed 08:00: Ann is away until Wed 3 Jun, ill."
    )


def test_a_closed_day_is_told_by_its_name() -> None:
    closed = replace(CALENDAR, closed={date(2026, 6, 2): "Stocktaking"})
    cure = a_task("Glue cures", 600, kind=TaskKind.CURE)
    assert words(cure, a_task("Plane", 60, "Glue cures"), of="Plane", calendar=closed) == (
        "“Glue cures” is finished 18:00; nobody is there until Wed 08:00: closed Tue 2 Jun, Stocktaking."
    )


def test_dust_and_wet_finish_are_told_apart() -> None:
    coat = a_task("First coat", 60, kind=TaskKind.COAT, splittable=False, wet_for=hours(2), started_at=MONDAY)
    assert words(coat, a_task("Sand the side", 30, kind=TaskKind.SAND), of="Sand the side") == (
        "No dust while “First coat” is wet, until 11:00."
    )


def test_a_pin_and_a_wish_to_hold_back_are_told_with_their_times() -> None:
    pinned = a_task("Fetch the stone", 60, pinned_at=at("2026-06-02 10:00"))
    held = a_task("Saw", 60, not_before=at("2026-06-02 13:00"))
    assert words(pinned, of="Fetch the stone") == "Pinned to tomorrow 10:00."
    assert words(held, of="Saw") == "Held back until tomorrow 13:00."


def test_a_task_that_starts_late_for_the_sake_of_a_window_says_whose() -> None:
    first = a_task("First coat", 60, kind=TaskKind.COAT, splittable=False)
    then = a_task("Second coat", 60, wait("First coat", hours(30), hours(40)), kind=TaskKind.COAT, splittable=False)
    later = replace(then, not_before=at("2026-06-05 08:00"))
    assert words(first, later, of="First coat") == (
        "Starts no sooner, so that “Second coat” is done before its window closes."
    )


def test_the_first_of_three_coats_before_a_weekend_waits_for_the_window_of_the_second_not_for_time() -> None:
    coat = {"kind": TaskKind.COAT, "splittable": False}
    first, second = (
        a_task("First coat", 40, **coat),
        a_task("Second coat", 40, wait("First coat", hours(12), hours(24)), **coat),
    )
    third = a_task("Third coat", 40, wait("Second coat", hours(12), hours(24)), **coat)
    plan = a_plan(first, second, third, now=at("2026-06-05 10:00"))
    assert plan.say(plan.tasks["1/First coat"].start) == "Mon 08:00"
    assert explain(plan, "1/First coat") == "Starts no sooner, so that “Second coat” is done before its window closes."


def test_what_took_the_time_there_was_is_told_and_not_the_night_after_it() -> None:
    only = {"kind": TaskKind.MILL, "splittable": False, "started_at": MONDAY}
    plan = a_plan(a_task("Mill", 450, **only), a_task("Saw", 60, splittable=False), resources=Resources(hands=1))
    assert plan.say(plan.tasks["1/Saw"].start) == "tomorrow 08:00"
    assert explain(plan, "1/Saw") == (
        "The only pair of hands is on “Mill” until 16:30; "
        "it is done in one go, and there is time for that from tomorrow 08:00."
    )


@pytest.mark.parametrize(
    ("tasks", "key", "offer"),
    [
        (
            (a_task("Glue the top", 60, clamps=8, **GLUE), a_task("Glue the side", 60, clamps=8, **GLUE)),
            "1/Glue the side",
            "Borrow or rent 4 clamps",
        ),
        (
            (a_task("Boards come", 2880, kind=TaskKind.DELIVERY), a_task("Mill", 60, "Boards come")),
            "1/Mill",
            "Order now, and have “Boards come” here by tomorrow 08:00",
        ),
        ((a_task("Saw", 60, not_before=at("2026-06-03 08:00")),), "1/Saw", "Hold “Saw” back no longer"),
        ((a_task("Saw", 60, pinned_at=at("2026-06-03 08:00")),), "1/Saw", "Unpin “Saw”, so that it can move"),
        (
            (a_task("Cut", 240, crew=2), a_task("Saw", 60, crew=1)),
            "1/Saw",
            "Have one more person there 08:00 to 09:00",
        ),
        (
            (a_task("Glue cures", 600, kind=TaskKind.CURE), a_task("Plane", 60, "Glue cures")),
            "1/Plane",
            "Work today from 18:00 to 19:00",
        ),
    ],
)
def test_what_would_help_is_said_as_a_maker_would(tasks: tuple[Task, ...], key: str, offer: str) -> None:
    plan = a_plan(*tasks)
    assert offer in [way.words for way in sooner(plan, asked_of(plan), key)]


def test_what_moves_is_told_the_old_beside_the_new() -> None:
    plan = a_plan(a_task("Saw", 60), a_task("Sand", 60, "Saw"))
    later = a_plan(a_task("Saw", 60, not_before=at("2026-06-02 08:00")), a_task("Sand", 60, "Saw"))
    found = moved(spans(plan), later)
    assert [(task.name, task.was, task.will) for task in found.tasks] == [
        ("Saw", MONDAY, at("2026-06-02 08:00")),
        ("Sand", at("2026-06-01 09:00"), at("2026-06-02 09:00")),
    ]
    assert [(job.was, job.will, job.days) for job in found.jobs] == [(date(2026, 6, 1), date(2026, 6, 2), 1)]
    assert not moved(spans(plan), plan)


def test_nothing_is_offered_against_a_wait_that_nobody_can_shorten() -> None:
    plan = a_plan(a_task("Glue cures", 90, kind=TaskKind.CURE), a_task("Plane", 60, "Glue cures"))
    assert sooner(plan, asked_of(plan), "1/Plane") == ()


def test_what_could_start_sooner_but_stays_for_the_plan_people_follow_says_so() -> None:
    one = Resources(hands=1)
    mill, saw, glue = a_task("Mill", 60), a_task("Saw", 240, "Mill"), a_task("Glue", 60, "Mill")
    kept = kept_plan(a_plan(mill, saw, replace(glue, links=(wait("Saw", hours(0)),)), resources=one), facts="")
    plan = a_plan(mill, glue, resources=one, kept=kept)
    assert plan.tasks["1/Glue"].start == at("2026-06-01 14:00")
    assert explain(plan, "1/Glue") == "Could start 09:00, but stays where the plan had it, so that less moves."


def test_somebody_ill_and_a_closed_day_after_it_are_both_told() -> None:
    away = Absence(1, 1, at("2026-06-02 00:00"), at("2026-06-03 00:00"), "ill")
    there = Resources(people=(Person(1, "Ann"),), absences=(away,))
    shut = replace(CALENDAR, closed={date(2026, 6, 3): "Stocktaking"})
    cure = a_task("Glue cures", 1560, kind=TaskKind.CURE)
    assert words(cure, a_task("Plane", 60, "Glue cures"), of="Plane", resources=there, calendar=shut) == (
        "“Glue cures” is finished tomorrow 10:00; nobody who can do it is there until Thu 08:00: "
        "Ann is away until Wed 3 Jun, ill and closed Wed 3 Jun, Stocktaking."
    )


def test_where_there_is_too_little_time_before_a_closed_day_nobody_is_said_to_be_gone() -> None:
    shut = replace(CALENDAR, closed={date(2026, 6, 2): "Stocktaking"})
    there = Resources(people=(Person(1, "Ann"),))
    cure = a_task("Glue cures", 480, kind=TaskKind.CURE)
    plane = a_task("Plane", 120, "Glue cures", splittable=False)
    assert words(cure, plane, of="Plane", resources=there, calendar=shut) == (
        "“Glue cures” is finished 16:00; it is done in one go, and there is time for that from Wed 08:00: "
        "closed Tue 2 Jun, Stocktaking."
    )


def test_a_coat_put_off_for_the_window_of_the_next_names_who_is_ill_meanwhile() -> None:
    """There was time for it today in the dust alone: that it is not done tomorrow is for who is ill then."""
    ill = Absence(1, 1, at("2026-06-02 00:00"), at("2026-06-03 00:00"), "ill")
    there = Resources(people=(Person(1, "Ann"), Person(2, "Ben", frozenset({Skill.MACHINES}))), absences=(ill,))
    coat = {"kind": TaskKind.COAT, "splittable": False}
    dusty = a_task("Mill", 540, kind=TaskKind.MILL)
    first = a_task("First coat", 60, wet_for=hours(1), **coat)
    second = a_task("Second coat", 60, wait("First coat", hours(4), hours(12)), **coat)
    found = words(dusty, first, second, of="First coat", resources=there)
    assert found.endswith("; nobody who can do it is there until Wed 08:00: Ann is away until Wed 3 Jun, ill."), found


def test_more_clamps_are_asked_for_than_there_are_only_where_some_are_missing_and_work_is_still_to_be_done() -> None:
    there = Resources(hands=2, clamps=6)
    over = a_task("Glue the side", 60, clamps=8, finished_at=MONDAY, until="1/Side in clamps", **GLUE)
    clamps = a_task("Side in clamps", 180, "Glue the side", kind=TaskKind.CLAMP)
    plan = a_plan(over, clamps, a_task("Glue the top", 60, clamps=8, **GLUE), resources=there)
    assert [unmet.key for unmet in plan.unmet] == ["1/Glue the top"]
    (found,) = conflicts(plan, asked_of(plan))
    assert [one.words for one in found.remedies] == ["Borrow or rent 2 clamps"]


def test_a_window_that_a_night_would_keep_is_no_reason() -> None:
    """Begun five minutes sooner it is done five minutes sooner, on the morning after, and the next is in time."""
    mill, plane = a_task("Mill", 30), a_task("Plane", 240, wait("Mill", hours(6)))
    sand = a_task("Sand", 30, wait("Plane", hours(0), hours(8)))
    plan = a_plan(mill, plane, sand, resources=Resources(hands=1))
    assert [one.kind for one in binding(plan, "1/Plane")] == [HeldBy.LINK]
