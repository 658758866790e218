"""From tasks to a plan that is checked and drawn: one job, ten, thirty; its odds; a tap while a search runs.

Targets: one job of 80 to 100 tasks 50 ms; ten 100 ms; thirty 300 ms; 1,000 replays of one job 500 ms; a tap 150 ms.
"""

import gc
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from time import perf_counter

import pytest
from fastapi.testclient import TestClient

from benchmarks.big_job import NOW, a_job_of_100_parts, recompute
from benchmarks.shop_problem import shop_problem
from domain.plan import Resources, plan
from domain.plan.chart import chart
from domain.promise import Spread, odds
from domain.schedule.generate import first
from domain.shop_calendar import ShopCalendar
from domain.task import Task
from plan_builders import DAY
from plan_shop import HTMX, form_of
from webapp.app import create_app
from webapp.chart import draw
from webapp.demo import fill_when_empty
from webapp.settings import Settings

CALENDAR = ShopCalendar("America/New_York", (DAY,) * 5 + ((), ()))
THERE = Resources(hands=2, clamps=24, benches=2)
TAPS = 12


@pytest.fixture(scope="module")
def tasks() -> Iterator[tuple[Task, ...]]:
    found = tuple(each.task for each in recompute(a_job_of_100_parts()).plan.tasks.values())
    gc.collect()
    gc.freeze()
    yield found
    gc.unfreeze()


def book(tasks: Sequence[Task], jobs: int) -> list[Task]:
    """Return the tasks of so many alike jobs."""
    return [_of(task, job) for job in range(1, jobs + 1) for task in tasks]


def _of(task: Task, job: int) -> Task:
    def key(old: str) -> str:
        return f"{job}/{old.partition('/')[2]}" if old else ""

    links = tuple(replace(link, before=key(link.before)) for link in task.links)
    return replace(task, key=key(task.key), job_id=job, job_name=f"Job {job}", links=links, until=key(task.until))


@pytest.mark.parametrize("jobs", [1, 10, 26])
def test_a_complete_plan_checked_and_drawn(benchmark, tasks, jobs, say):
    these = book(tasks, jobs)
    promised = {job: date(2026, 9, 1) + timedelta(days=14 * job) for job in range(1, jobs + 1)}

    def made():
        found = plan(these, CALENDAR, NOW, THERE, promised)
        return found, draw(chart(found, found.of_job(1)), CALENDAR, promised[1])

    found, _ = benchmark.pedantic(made, rounds=8 if jobs < 20 else 3, warmup_rounds=1)
    assert found.is_checked
    assert found.unmet == ()
    if benchmark.stats:
        best, usual = (1000 * benchmark.stats[name] for name in ("min", "median"))
        say(f"{jobs} jobs, {len(these)} tasks, planned, checked, drawn: {best:.0f} ms at best, {usual:.0f} usually")


def test_1000_replays_of_one_job(benchmark, say):
    problem = shop_problem(1)
    schedule = first(problem)
    spreads = [
        Spread(each.work * Fraction(4, 5), Fraction(each.work), each.work * Fraction(19, 10))
        if each.crew
        else Spread(*[Fraction(each.work)] * 3)
        for each in problem.activities
    ]
    found = benchmark.pedantic(odds, args=(problem, schedule, spreads), rounds=5, warmup_rounds=1)
    assert len(found.finishes[0]) == 1000
    if benchmark.stats:
        say(f"1,000 replays of {len(problem.activities)} activities: {1000 * benchmark.stats['median']:.0f} ms usually")


def test_a_tap_while_a_search_runs(benchmark, tmp_path: Path, say):
    """On the demo's three live jobs: start a task, take it back, the slowest of them told too."""
    app = create_app(Settings(folder=tmp_path, demo=True, now=lambda: NOW))
    fill_when_empty(app.state.database, at=NOW)
    with TestClient(app, base_url="http://127.0.0.1", client=("127.0.0.1", 5000), follow_redirects=False) as client:
        client.get("/today")
        client.post("/jobs/2/plan/search", data=form_of(client, "/jobs/2/plan", "/jobs/2/plan/search"))
        took = []

        def tap():
            for number in range(TAPS):
                page = client.get("/today").text
                action = "/jobs/2/plan/start" if number % 2 == 0 else "/jobs/2/plan/take-back"
                form = form_of(client, "/today", action) if action in page else None
                if form is None:
                    continue
                begun = perf_counter()
                reply = client.post(action, data=form, headers=HTMX)
                took.append(perf_counter() - begun)
                assert reply.status_code == 200

        benchmark.pedantic(tap, rounds=1)
        assert app.state.planner.told is not None
        state = app.state.planner.told.state.value
        app.state.planner.stop()
    took.sort()
    say(f"{len(took)} taps while a search runs ({state}): {1000 * took[len(took) // 2]:.0f} ms usually, "
        f"{1000 * took[-1]:.0f} at worst")  # fmt: skip
