"""A week of the plan by person, what calls, and what is in use."""

from datetime import date, timedelta

from domain.part import TaskKind
from domain.person import Person
from domain.plan import Resources
from domain.plan.loads import loads
from domain.plan.week import week
from domain.task import key_of
from plan_builders import MONDAY, a_plan, a_task, at, hours, wait

TWO = Resources(clamps=24, benches=1, people=(Person(7, "Nell"), Person(9, "Odo")))


def a_glue_up(**more: object):
    return a_task("glue", 60, kind=TaskKind.GLUE_UP, crew=2, clamps=10, until=key_of(1, "off"), **more)


def a_week():
    return a_plan(
        a_glue_up(),
        a_task("clamp", 180, "glue", kind=TaskKind.CLAMP),
        a_task("off", 30, "clamp", kind=TaskKind.UNCLAMP),
        a_task("cut", 600, "glue", kind=TaskKind.CUT),
        resources=TWO,
    )


def test_two_at_a_glue_up_both_have_it_and_each_knows_with_whom() -> None:
    shown = week(a_week(), date(2026, 6, 1))
    nell, odo = shown.rows
    assert (nell.id, nell.name, odo.id, odo.name) == (7, "Nell", 9, "Odo")
    both = [spell for row in shown.rows for day in row.days for spell in day if spell.planned.task.name == "glue"]
    assert [spell.mates for spell in both] == [("Odo",), ("Nell",)]


def test_work_that_is_broken_off_overnight_stands_on_each_of_its_days() -> None:
    shown = week(a_week(), date(2026, 6, 1))
    cut = [spell for row in shown.rows for day in row.days for spell in day if spell.planned.task.name == "cut"]
    assert [spell.goes_on for spell in cut] == [True, False]
    assert sum((spell.end - spell.start for spell in cut), timedelta()) >= hours(10)


def test_clamps_that_come_off_are_called_on_their_day() -> None:
    shown = week(a_week(), date(2026, 6, 1))
    assert [(call.planned.task.name, call.words) for call in shown.calls[0]] == [("clamp", "clamps off")]
    assert shown.closed[5:] == ("closed", "closed")


def test_without_names_people_are_counted() -> None:
    shown = week(a_plan(a_task("sand", 30), resources=Resources(hands=2)), date(2026, 6, 1))
    assert [(row.id, row.name) for row in shown.rows] == [(0, "Person 1"), (0, "Person 2")]


def test_loads_say_what_is_in_use_from_edge_to_edge() -> None:
    """Ten clamps from the glue-up at 08:00 until they are off: 1 h, 3 h in clamps, 30 min of taking them off."""
    found = {load.name: load for load in loads(a_week(), MONDAY, MONDAY + timedelta(days=7))}
    assert found["clamps"].there == 24
    assert found["clamps"].steps[0][0] == at("2026-06-01 08:00")
    assert found["clamps"].steps[-1][1] >= at("2026-06-01 12:30")
    assert {count for _, _, count in found["clamps"].steps} == {10}
    assert found["people at work"].there == 2
    assert found["people at work"].most == 2


def test_a_window_that_closes_calls_too() -> None:
    shown = week(
        a_plan(
            a_task("one", 60, kind=TaskKind.COAT),
            a_task("two", 60, wait("one", hours(2), hours(24)), kind=TaskKind.COAT),
            resources=TWO,
        ),
        date(2026, 6, 1),
    )
    assert "window closes" in [call.words for day in shown.calls for call in day]


def test_a_window_that_will_be_missed_says_so_on_the_wall() -> None:
    coat = {"kind": TaskKind.COAT, "splittable": False}
    first = a_task("First coat", 60, finished_at=at("2026-06-05 14:00"), **coat)
    second = a_task("Second coat", 60, wait("First coat", hours(4), hours(24)), **coat)
    shown = week(a_plan(first, second, now=at("2026-06-05 15:00")), date(2026, 6, 5))
    assert "window closes before it is done" in [call.words for day in shown.calls for call in day]
