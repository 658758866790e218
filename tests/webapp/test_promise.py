"""The promise of a job on its page: dates with their odds, what moves them, what to hold back."""

from datetime import date, timedelta

import pytest
from fastapi.testclient import TestClient

from conftest import Clock, page_of
from domain.job import JobState
from domain.practice import ShopPractice
from domain.promise.learnt import ENOUGH, learnt
from plan_builders import CALENDAR, MONDAY, a_task, hours
from plan_shop import NOW, a_job, record, set_up
from webapp.routes.promise import working_day


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    clock.at = NOW
    set_up(client)
    return client


def words(client: TestClient, job_id: int = 1) -> str:
    return " ".join(page_of(client.get(f"/jobs/{job_id}/promise")).css_first("main").text().split())


def test_the_page_names_two_days_what_moves_them_and_a_day_to_promise(shop: TestClient) -> None:
    a_job(shop)
    said = words(shop)
    assert "in half of all cases" in said
    assert "in 9 of 10" in said
    assert "Suggested contingency" in said or "What makes the difference" in said
    assert page_of(shop.get("/jobs/1/promise")).css_first("svg.promise-chart") is not None


def test_every_figure_of_the_page_opens(shop: TestClient) -> None:
    a_job(shop)
    links = [link.attributes["href"] for link in page_of(shop.get("/jobs/1/promise")).css("a.figure")]
    assert len(links) > 2
    for address in links:
        assert shop.get(address or "").status_code == 200, address


def test_what_is_promised_too_soon_is_said_to_hold_in_few_cases(shop: TestClient) -> None:
    a_job(shop, promised_on=date(2026, 6, 2))
    assert "Promised is Tue 2 Jun 2026: it holds in 0 % of cases." in words(shop)


def test_an_enquiry_is_planned_beside_the_open_jobs(shop: TestClient) -> None:
    a_job(shop)
    other = a_job(shop, "Invented shelf", state=JobState.ENQUIRY)
    assert "Finished by" in words(shop, other)


def test_three_times_typed_with_a_task_are_where_its_spread_comes_from(shop: TestClient) -> None:
    a_job(shop)
    record(shop, 1, "p1.mill", best=10, worst=900)
    said = words(shop)
    assert "1 task: typed with the task" in said
    assert "Bar top: mill boards" in said.partition("What makes the difference")[2]


def test_a_shop_without_hours_is_told_so(client: TestClient) -> None:
    a_job(client)
    assert "no working hours" in words(client)


def test_nobody_hands_over_on_a_closed_day() -> None:
    assert working_day(date(2026, 6, 6), CALENDAR) == date(2026, 6, 8)


def test_spreads_are_learnt_from_work_that_was_timed_and_from_nothing_else() -> None:
    """Eight tasks of an hour that took 30 to 100 minutes; those nobody timed teach nothing."""
    took = (30, 40, 50, 60, 60, 60, 70, 100)
    timed = [
        a_task(f"sand {number}", 60, started_at=MONDAY, finished_at=MONDAY + timedelta(minutes=minutes))
        for number, minutes in enumerate(took)
    ]
    known = learnt([*timed, a_task("later", 60)], CALENDAR, ShopPractice())
    spread = known.of(timed[0])
    assert (spread.best * 60, spread.worst * 60) == (30, 100)
    assert spread.mean * 60 * len(took) == sum(took)
    assert "8 finished tasks" in spread.source
    few = learnt(timed[: ENOUGH - 1], CALENDAR, ShopPractice())
    assert few.of(timed[0]).source == "shop practice"


def test_work_marked_to_take_just_what_was_planned_teaches_nothing() -> None:
    alike = [a_task(f"sand {number}", 60, started_at=MONDAY, finished_at=MONDAY + hours(1)) for number in range(20)]
    assert learnt(alike, CALENDAR, ShopPractice()).of(alike[0]).source == "shop practice"
