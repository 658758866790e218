"""The plan people follow: the same facts give the same plan, changed ones move as little of it as they can."""

from dataclasses import replace
from datetime import date, timedelta

from domain.part import TaskKind
from domain.person import Person
from domain.plan import Resources
from domain.plan.kept import as_schedule, changes, fingerprint, kept_plan
from domain.plan.planned import HeldBy
from domain.task import Link
from plan_builders import CALENDAR, MONDAY, a_plan, a_task, at, hours
from webapp.store.codec import from_json, to_json

TWO = Resources(hands=2, clamps=12, benches=1)
TASKS = (
    a_task("mill", 120),
    a_task("glue", 40, "mill", kind=TaskKind.GLUE_UP, splittable=False, clamps=8, bench=1, until="1/unclamp"),
    a_task("press", 180, "glue", kind=TaskKind.CLAMP),
    a_task("unclamp", 20, "press", kind=TaskKind.UNCLAMP),
    a_task("sand", 240, "unclamp"),
    a_task("rails", 200, job=2),
    a_task("doors", 300, "rails", job=2),
    a_task("drawers", 100, "rails", job=2),
)


def facts_of(tasks, resources=TWO, promised=None):
    return fingerprint(tasks, CALENDAR, resources, promised or {}, {})


def a_kept(tasks=TASKS, **more):
    resources = more.get("resources", TWO)
    return kept_plan(a_plan(*tasks, **{"resources": TWO, **more}), facts=facts_of(tasks, resources))


def test_the_same_facts_give_the_plan_that_was_kept():
    kept = a_kept()
    again = a_plan(*TASKS, kept=kept)
    assert changes(kept, again) == ()
    assert again.is_checked
    a_little_later = a_plan(*TASKS[:5], kept=a_kept(TASKS[:5]), now=MONDAY - hours(1))
    assert changes(a_kept(TASKS[:5]), a_little_later) == ()


def test_a_plan_that_was_kept_is_followed_even_where_another_would_do_as_well():
    # The search may have put the second job first: what it found stays, though a plan made anew starts otherwise.
    kept = a_kept()
    later = replace(kept.tasks["2/drawers"], start=at("2026-06-03 09:00"), finish=at("2026-06-03 10:40"))
    other = replace(kept, tasks={**kept.tasks, "2/drawers": later})
    followed = a_plan(*TASKS, kept=other)
    assert followed.tasks["2/drawers"].start == at("2026-06-03 09:00")
    assert followed.is_checked


def test_a_finished_task_moves_nothing_that_need_not_move():
    kept = a_kept()
    done = replace(TASKS[0], started_at=MONDAY, finished_at=at("2026-06-01 09:30"))
    early = [done, *TASKS[1:5], replace(TASKS[5], started_at=MONDAY), *TASKS[6:]]
    found = a_plan(*early, kept=kept, now=at("2026-06-01 09:30"))
    assert changes(kept, found) == ()
    assert found.tasks["1/glue"].holder.kind is HeldBy.STEADY


def test_a_task_that_takes_longer_moves_only_what_waits_for_it():
    kept = a_kept()
    running = [replace(TASKS[0], started_at=MONDAY), *TASKS[1:5], replace(TASKS[5], started_at=MONDAY), *TASKS[6:]]
    found = a_plan(*running, kept=kept, now=at("2026-06-01 10:30"))
    moved = changes(kept, found)
    assert {each.key for each in moved} <= {"1/glue", "1/press", "1/unclamp", "1/sand"}
    (glue,) = (each for each in moved if each.key == "1/glue")
    assert (glue.was, glue.will) == (at("2026-06-01 10:00"), at("2026-06-01 10:30"))
    assert found.is_checked


def test_people_keep_what_was_given_to_them():
    people = (Person(7, "Ada"), Person(9, "Ben"))
    there = Resources(people=people, clamps=12, benches=1)
    kept = a_kept(resources=there)
    found = a_plan(*TASKS, kept=kept, resources=there)
    assert changes(kept, found) == ()
    assert {person for each in found.tasks.values() for person in each.who} <= {7, 9}
    new_job = (*TASKS, a_task("fit", 60, job=3))
    with_more = a_plan(*new_job, kept=kept, resources=there)
    assert [each.key for each in changes(kept, with_more)] == []


def test_a_window_that_would_be_missed_moves_what_was_kept():
    first = a_task("First coat", 40, kind=TaskKind.COAT, splittable=False)
    second = a_task("Second coat", 40, Link("1/First coat", hours(4), hours(12)), kind=TaskKind.COAT, splittable=False)
    kept = a_kept((first, second))
    later = a_plan(
        replace(first, started_at=at("2026-06-01 10:00"), finished_at=at("2026-06-01 10:40")), second, kept=kept,
        now=at("2026-06-01 10:40"),
    )  # fmt: skip
    assert later.tasks["1/Second coat"].start == at("2026-06-01 14:40")
    assert later.windows[0].is_met


def test_the_fingerprint_leaves_out_what_time_it_is_and_what_words_things_have():
    assert facts_of(TASKS) == facts_of(TASKS)
    assert facts_of([replace(TASKS[0], name="Mill the boards"), *TASKS[1:]]) == facts_of(TASKS)
    assert facts_of([replace(TASKS[0], crew=2), *TASKS[1:]]) != facts_of(TASKS)
    assert facts_of(TASKS, replace(TWO, clamps=11)) != facts_of(TASKS)


def test_a_kept_plan_travels_as_text_and_back():
    kept = a_kept()
    assert from_json(type(kept), to_json(kept)) == kept
    assert as_schedule(kept, a_plan(*TASKS).model).start == a_plan(*TASKS).schedule.start


def test_what_was_not_planned_before_comes_when_it_can():
    kept = a_kept(TASKS[:5])
    found = a_plan(*TASKS, kept=kept)
    assert changes(kept, found) == ()
    assert found.tasks["2/rails"].start - MONDAY < timedelta(days=1)


def test_what_was_kept_stays_where_another_order_wins_one_job_a_day_and_costs_another_two():
    one = Resources(hands=1)
    short, long = a_task("Short", 540, job=1), a_task("Long", 960, job=2)
    soon = {1: date(2026, 6, 30), 2: date(2026, 6, 15)}
    kept = kept_plan(a_plan(replace(short, pinned_at=MONDAY), long, resources=one, promised=soon), facts="")
    assert a_plan(short, long, resources=one, promised=soon).tasks["2/Long"].start == MONDAY
    again = a_plan(short, long, resources=one, promised=soon, kept=kept)
    assert changes(kept, again) == ()
