"""Impossible wishes: the smallest set of them, in words with dates, and remedies that really work."""

from dataclasses import replace
from datetime import date, time

import pytest

from domain.part import TaskKind
from domain.person import Absence, Person
from domain.plan import Plan, Resources
from domain.plan.asked import asked_of
from domain.plan.conflict import Conflict, asked_near, conflicts, contradiction
from domain.plan.late import late
from domain.plan.remedy import Hold, Sand, Unpin, Work, apply
from domain.schedule.contradiction import smallest
from domain.schedule.wish import wishes_of, without
from domain.task import Task
from plan_builders import a_plan, a_task, at, hours, wait

FRIDAY = at("2026-06-05 15:00")
COAT = {"kind": TaskKind.COAT, "splittable": False}
FIRST = a_task("First coat", 60, finished_at=at("2026-06-05 14:00"), **COAT)
SECOND = a_task("Second coat", 60, wait("First coat", hours(4), hours(24)), **COAT)
SCUFF = a_task("Scuff", 45, wait("First coat", hours(4)), kind=TaskKind.SAND)


def found_in(plan: Plan, scuffs: dict[str, Task] | None = None) -> Conflict:
    (found,) = conflicts(plan, asked_of(plan), scuffs=scuffs)
    return found


def weekend() -> Plan:
    return a_plan(FIRST, SECOND, now=FRIDAY)


def pinned_apart() -> Plan:
    first = replace(FIRST, finished_at=None, pinned_at=at("2026-06-09 08:00"))
    return a_plan(first, replace(SECOND, not_before=at("2026-06-15 08:00")), now=FRIDAY)


def test_a_window_that_closes_over_a_weekend_is_told_with_its_dates() -> None:
    found = found_in(weekend())
    assert found.words == (
        "“Second coat” must follow “First coat” by tomorrow 14:00, but nobody works from 17:00 to Mon 08:00."
    )
    assert found.is_proved


def test_each_remedy_offered_really_works() -> None:
    plan = weekend()
    offered = [one.remedy for one in found_in(plan, {SECOND.key: SCUFF}).remedies]
    assert {type(one) for one in offered} == {Work, Sand}
    for remedy in offered:
        again = apply(remedy, asked_of(plan)).plan()
        assert again.is_checked
        assert all(window.is_met for window in again.windows), remedy
    assert Work(date(2026, 6, 6), time(8), time(9)) in offered


def test_what_was_pinned_is_let_go_with_one_tap() -> None:
    plan = pinned_apart()
    found = found_in(plan)
    assert "“First coat” is pinned to Tue 08:00" in found.words
    assert "“Second coat” is held back until Mon 15 Jun 08:00" in found.words
    remedies = [one.remedy for one in found.remedies]
    assert remedies
    assert set(remedies) <= {Unpin(FIRST.key), Hold(SECOND.key, FRIDAY)}
    for remedy in remedies:
        assert all(window.is_met for window in apply(remedy, asked_of(plan)).plan().windows)


@pytest.mark.parametrize("make", [weekend, pinned_apart])
def test_any_one_wish_given_up_lets_the_others_be(make) -> None:
    plan = make()
    (window,) = (one for one in plan.windows if not one.is_met)
    found = contradiction(plan, window)
    assert found is not None
    assert len(found.wishes) > 1
    part = asked_near(plan, window)
    here = {part.there(wish): wish for wish in wishes_of(part.problem)}
    wishes = [here[wish] for wish in found.wishes]
    others = [wish for wish in here.values() if wish not in wishes]
    only_these = without(part.problem, *(wish for wish in others if wish.kind.name != "LEAST"))
    assert smallest(only_these, wishes).wishes
    for one in wishes:
        rest = [wish for wish in wishes if wish != one]
        assert not smallest(without(only_these, one), rest).wishes, one


def test_a_plan_without_trouble_has_nothing_to_decide() -> None:
    plan = a_plan(a_task("Saw", 60))
    assert conflicts(plan, asked_of(plan)) == ()


def test_a_late_job_says_what_it_hangs_on_and_what_wins_days() -> None:
    tasks = [a_task("Saw", 600), a_task("Plane", 600), a_task("Fit", 600, "Saw", "Plane")]
    plan = a_plan(*tasks, resources=Resources(hands=1), promised={1: date(2026, 6, 2)})
    (one,) = late(plan, asked_of(plan))
    assert one.words.startswith("Job 1: Ready Thu 4 Jun, 2 days after the promise of Tue 2 Jun. It hangs on “")
    assert one.wins
    for win in one.wins:
        again = apply(win.remedy, asked_of(plan)).plan()
        assert (again.jobs[1].days_late or 0) < (one.job.days_late or 0)
        assert win.gains.startswith("Wins 1 day")


def test_a_job_in_time_is_not_late() -> None:
    plan = a_plan(a_task("Saw", 60), promised={1: date(2026, 6, 2)})
    assert late(plan, asked_of(plan)) == ()


def test_nobody_works_is_said_where_people_of_different_hours_are_all_gone() -> None:
    away = Absence(1, 2, at("2026-06-10 08:00"), at("2026-06-11 08:00"), "school")
    there = Resources(people=(Person(1, "Ann"), Person(2, "Ben")), absences=(away,))
    plan = a_plan(FIRST, SECOND, now=FRIDAY, resources=there)
    assert "but nobody works from 17:00 to Mon 08:00" in found_in(plan).words
