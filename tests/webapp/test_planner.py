"""The search for a better plan beside the pages: what it finds is kept, and nothing it suffers is felt."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from fractions import Fraction
from multiprocessing import active_children
from threading import Event
from time import monotonic, sleep
from typing import Any

import pytest
from fastapi.testclient import TestClient

from conftest import Clock, page_of
from domain.plan.kept import KeptPlan
from domain.schedule.cost import cost
from domain.schedule.generate import Generator
from domain.schedule.problem import Problem
from domain.schedule.schedule import Aim, Progress, Proof, Schedule
from domain.schedule.solve import Effort
from domain.search import SearchState
from plan_shop import HTMX, NOW, a_job, form_of, record, set_up
from searches_apart import endless, killed
from webapp.apart import BrokeOff, solve_apart
from webapp.planner import CHANGED, Planner
from webapp.store.history import load_actions
from webapp.store.kept_plan import load_kept_plan
from webapp.store.plan import load_plan_facts

WAIT = 20.0


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    clock.at = NOW
    set_up(client)
    a_job(client, tops=2)
    return client


class Led:
    """A search that finds one other plan, then waits until it is told to go on."""

    def __init__(self, then: Callable[[], None] = lambda: None) -> None:
        self.found, self.go_on, self.then = Event(), Event(), then

    def __call__(
        self, problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort, stop: Callable[[], bool]
    ) -> Iterator[Progress]:
        assert start is not None
        yield self._progress(problem, start, aim, 0)
        backwards = [-float(activity.work) for activity in problem.activities]
        yield self._progress(problem, Generator(problem).schedule(backwards), aim, 1)
        self.found.set()
        while not self.go_on.wait(0.01):
            if stop():
                return
        self.then()

    def _progress(self, problem: Problem, schedule: Schedule, aim: Aim, done: int) -> Progress:
        found = cost(problem, schedule, aim)
        if done:  # whatever it is, it counts as better here
            found = type(found)(0, 0, 0, 0)
        return Progress(schedule, found, (), Proof.NONE, Fraction(done, 2), "a test")


def lead(client: TestClient, solve: Any) -> Planner:
    app: Any = client.app
    app.state.planner.close()
    app.state.planner = Planner(app.state.database, app.state.settings.now, solve=solve)
    planner: Planner = app.state.planner
    return planner


def until(is_true: Callable[[], bool]) -> None:
    end = monotonic() + WAIT
    while not is_true():
        assert monotonic() < end, "waited too long"
        sleep(0.01)


def state(planner: Planner) -> SearchState | None:
    return planner.told.state if planner.told else None


def kept(client: TestClient) -> KeptPlan | None:
    app: Any = client.app
    with app.state.database.read() as db:
        return load_kept_plan(db)


def search(client: TestClient) -> None:
    reply = client.post("/jobs/1/plan/search", data=form_of(client, "/jobs/1/plan", "/jobs/1/plan/search"))
    assert reply.status_code == 303


def test_the_best_so_far_is_kept_as_soon_as_it_is_found_and_followed(shop: TestClient) -> None:
    led = Led()
    planner = lead(shop, led)
    search(shop)
    assert led.found.wait(WAIT)
    until(lambda: (planner.told is not None) and planner.told.moved > 0)
    found = kept(shop)
    app: Any = shop.app
    with app.state.database.read() as db:
        known = load_plan_facts(db, NOW)
    assert found is not None
    assert found.facts == known.fingerprint
    led.go_on.set()
    until(lambda: state(planner) is SearchState.DONE)


def test_progress_is_shown_and_the_search_can_be_stopped_with_the_best_so_far_kept(shop: TestClient) -> None:
    led = Led()
    planner = lead(shop, led)
    search(shop)
    assert led.found.wait(WAIT)
    shown = page_of(shop.get("/jobs/1/plan"))
    assert shown.css_first("#solving progress") is not None
    piece = shop.get("/jobs/1/plan/search", headers=HTMX)
    assert 'id="solving"' in piece.text
    assert shop.get("/jobs/1/plan/search").status_code == 303
    before = kept(shop)
    stop = form_of(shop, "/jobs/1/plan", "/jobs/1/plan/search/stop")
    assert shop.post("/jobs/1/plan/search/stop", data=stop).status_code == 303
    assert state(planner) is SearchState.STOPPED
    assert kept(shop) == before
    assert "stopped, best so far kept" in page_of(shop.get("/jobs/1/plan")).css_first("#solving").text().lower()


def test_the_plan_as_it_was_can_be_had_back(shop: TestClient) -> None:
    app: Any = shop.app
    with app.state.database.read() as db:
        was = {key: each.start for key, each in load_plan_facts(db, NOW).plan()[0].tasks.items()}
    led = Led()
    planner = lead(shop, led)
    search(shop)
    led.go_on.set()
    until(lambda: state(planner) is SearchState.DONE)
    back = form_of(shop, "/jobs/1/plan", "/jobs/1/plan/search/back")
    assert shop.post("/jobs/1/plan/search/back", data=back).status_code == 303
    found = kept(shop)
    assert found is not None
    assert {key: each.start for key, each in found.tasks.items()} == was


def test_what_is_changed_meanwhile_is_never_overwritten(shop: TestClient) -> None:
    led = Led()
    planner = lead(shop, led)

    def solve(problem: Problem, **asked: Any) -> Iterator[Progress]:
        found = led(problem, **asked)
        yield next(found)
        record(shop, 1, "p1.mill", started_at=NOW - timedelta(minutes=30))
        yield from found

    planner = lead(shop, solve)
    search(shop)
    until(lambda: state(planner) is SearchState.STOPPED)
    assert planner.told is not None
    assert planner.told.words == CHANGED


def test_a_solver_that_is_killed_leaves_the_last_good_plan_and_says_so(shop: TestClient) -> None:
    def solve(problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort, stop: Callable[[], bool]) -> Any:
        return solve_apart(problem, aim=aim, start=start, effort=effort, stop=stop, by=killed)

    planner = lead(shop, solve)
    before = page_of(shop.get("/jobs/1/plan")).css_first("table.tasks").text()
    search(shop)
    until(lambda: state(planner) is SearchState.FAILED)
    shown = page_of(shop.get("/jobs/1/plan"))
    assert "broke off, best so far kept" in shown.css_first("#solving").text().lower()
    assert shown.css_first("table.tasks").text() == before


def test_a_solver_that_fails_says_so(shop: TestClient) -> None:
    def fail() -> None:
        raise BrokeOff("ZeroDivisionError: invented")

    led = Led(then=fail)
    planner = lead(shop, led)
    search(shop)
    led.go_on.set()
    until(lambda: state(planner) is SearchState.FAILED)
    assert "ZeroDivisionError" in page_of(shop.get("/jobs/1/plan")).css_first("#solving").text()


def test_a_real_search_runs_in_a_process_of_its_own_and_ends(shop: TestClient) -> None:
    app: Any = shop.app
    planner = Planner(app.state.database, app.state.settings.now, effort=Effort(rounds=20, solver=0))
    planner.ask()
    until(lambda: state(planner) is SearchState.DONE)
    assert planner.told is not None
    assert "1 job planned" in planner.told.words
    assert kept(shop) is not None
    planner.close()


def test_closing_the_app_ends_the_search(shop: TestClient) -> None:
    def solve(problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort, stop: Callable[[], bool]) -> Any:
        return solve_apart(problem, aim=aim, start=start, effort=effort, stop=stop, by=endless)

    planner = lead(shop, solve)
    search(shop)
    until(lambda: bool(active_children()))
    planner.close()
    assert active_children() == []


def test_the_plan_of_the_day_is_kept_once_a_day_and_is_no_action_of_anybody(shop: TestClient, clock: Clock) -> None:
    app: Any = shop.app
    with app.state.database.read() as db:
        actions = len(load_actions(db))
    planner = app.state.planner
    planner.keep_daily()
    first = kept(shop)
    assert first is not None
    record(shop, 1, "p1.mill", started_at=NOW, finished_at=NOW)
    planner.keep_daily()
    assert kept(shop) == first
    clock.at = NOW + timedelta(days=1)
    planner.keep_daily()
    assert kept(shop) != first
    with app.state.database.read() as db:
        assert len(load_actions(db)) == actions + 1  # the record's
