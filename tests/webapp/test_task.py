"""What a maker says of one task beyond its time: who does it, how sure its time is, when it must begin, what it waits
for at which end."""

from datetime import date, time, timedelta
from urllib.parse import quote

import pytest
from fastapi.testclient import TestClient
from selectolax.lexbor import LexborHTMLParser

from conftest import Clock, page_of
from domain.hours import ExtraHours
from domain.person import Person
from domain.task import Clock as TaskClock
from domain.task import End, OwnLink
from plan_shop import NOW, a_job, links, recorded, set_up, shop_time, writing
from webapp.store import person as person_store
from webapp.store import shop as shop_store

SAND = "/jobs/1/plan/task"


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    """A shop with a job on Monday, 1 June 2026, 08:00; two people are named."""
    clock.at = NOW
    set_up(client)
    a_job(client)
    with writing(client) as db:
        for name in ("Sample One", "Sample Two"):
            person_store.add_person(db, Person(0, name))
    return client


def task_page(client: TestClient, key: str = "p1.sand") -> LexborHTMLParser:
    return page_of(client.get(f"{SAND}?key={quote(key)}"))


def facts_of(page: LexborHTMLParser) -> str:
    return " ".join(page.css_first(".task-facts").text(separator=" ").split())


def said(client: TestClient, version: int = 0, **typed: str) -> int:
    """Save the form of a task and return the status of the reply."""
    fields = {"key": "p1.sand", "name": "", "takes": "", "crew": "", "not_before": "", "version": str(version)}
    return client.post(SAND, data=fields | typed).status_code


def test_a_task_is_given_to_people_and_taken_from_them_again(shop: TestClient) -> None:
    assert said(shop, who_2="yes") == 303
    assert recorded(shop, 1, "p1.sand")[0].who == (2,)
    page = task_page(shop)
    assert "checked" in page.css_first("#who_2").attributes
    assert "checked" not in page.css_first("#who_1").attributes
    assert "Given to Sample Two" in facts_of(page)
    assert said(shop, version=1) == 303
    assert recorded(shop, 1, "p1.sand")[0].who == ()


def test_a_tick_taken_away_stays_away_when_something_else_is_wrong(shop: TestClient) -> None:
    said(shop, who_2="yes")
    reply = shop.post(SAND, data={"key": "p1.sand", "crew": "many", "version": "1"})
    assert reply.status_code == 422
    assert "checked" not in page_of(reply).css_first("#who_2").attributes


def test_the_second_of_two_tabs_sees_whom_the_first_one_gave_it_to(shop: TestClient) -> None:
    said(shop, who_2="yes")
    reply = shop.post(SAND, data={"key": "p1.sand", "who_1": "yes", "version": "0"})
    assert reply.status_code == 409
    cells = [[cell.text() for cell in row.css("th, td")] for row in page_of(reply).css("tbody tr")]
    assert ["Given to Sample One", "yes", "(empty)"] in cells
    assert ["Given to Sample Two", "(empty)", "yes"] in cells


def test_a_task_that_was_given_to_somebody_who_left_is_anybodys_when_it_is_saved_again(shop: TestClient) -> None:
    said(shop, who_2="yes")
    shop.post("/shop/people/2/remove")
    assert said(shop, version=1, takes="3 h") == 303
    assert recorded(shop, 1, "p1.sand")[0].who == ()


def test_how_long_it_takes_has_a_best_and_a_worst_around_the_usual(shop: TestClient) -> None:
    assert said(shop, takes="3 h", best="2 h", worst="5 h") == 303
    record = recorded(shop, 1, "p1.sand")[0]
    assert (record.best, record.minutes, record.worst) == (120, 180, 300)
    page = task_page(shop)
    assert page.css_first("#best").attributes["value"] == "2 h"
    assert "When all goes well 2 h When it does not 5 h" in facts_of(page)


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"takes": "3 h", "best": "4 h"}, "best", "“4 h” is longer than it usually takes, 3 h."),
        ({"takes": "3 h", "worst": "2 h"}, "worst", "“2 h” is less than it usually takes, 3 h."),
        ({"worst": "1 min"}, "worst", "less than it usually takes, 2 h 9 min."),
        ({"best": "2 days"}, "best", "say it in hours"),
        ({"pinned_at": "yesterday"}, "pinned_at", "is not a date and time"),
        ({"pinned_at": "2031-06-01T08:00"}, "pinned_at", "more than two years away"),
        ({"not_before": "2026-06-05T08:00", "pinned_at": "2026-06-04T08:00"}, "pinned_at", "Empty one of the two"),
    ],
)
def test_what_cannot_be_is_said_and_kept(shop: TestClient, typed: dict[str, str], field: str, words: str) -> None:
    reply = shop.post(SAND, data={"key": "p1.sand", "version": "0"} | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first(f"#{field}").attributes["value"] == typed[field]
    assert recorded(shop, 1, "p1.sand")[1] == 0


def test_a_task_of_ones_own_without_a_usual_time_has_no_best(shop: TestClient) -> None:
    reply = shop.post("/jobs/1/plan/new", data={"name": "Sample panel", "kind": "other", "best": "1 h"})
    assert reply.status_code == 422
    assert "Say how long it takes as a rule" in page_of(reply).css_first("#takes-problem").text()


def test_a_task_is_pinned_to_an_instant_of_the_shops_own_clock(shop: TestClient) -> None:
    assert said(shop, pinned_at="2026-06-04T10:00") == 303
    assert recorded(shop, 1, "p1.sand")[0].pinned_at == shop_time("2026-06-04 10:00")
    page = task_page(shop)
    assert page.css_first("#pinned_at").attributes["value"] == "2026-06-04T10:00"
    assert "Pinned to Thu 10:00" in facts_of(page)
    assert page.css_first("#pin-warning") is None


def test_a_pin_outside_hours_is_warned_of_and_kept_until_somebody_works_then(shop: TestClient) -> None:
    assert said(shop, pinned_at="2026-06-06T10:00") == 303
    warning = task_page(shop).css_first("#pin-warning").text()
    assert "pinned to Sat 10:00, when the shop is closed; it next opens Mon 8 Jun 08:00" in warning
    with writing(shop) as db:
        shop_store.add_extra_hours(db, ExtraHours(0, date(2026, 6, 6), time(8), time(12)))
    assert task_page(shop).css_first("#pin-warning") is None


def test_a_pin_that_is_over_is_said_to_hold_nothing(shop: TestClient, clock: Clock) -> None:
    said(shop, pinned_at="2026-06-01T10:00")
    clock.at = NOW + timedelta(hours=5)
    assert "which is over, and it has not begun" in task_page(shop).css_first("#pin-warning").text()


def test_a_task_of_ones_own_is_given_and_pinned_as_it_is_added(shop: TestClient) -> None:
    typed = {"name": "Show the sample", "kind": "other", "takes": "1 h", "who_1": "y", "pinned_at": "2026-06-04T10:00"}
    assert shop.post("/jobs/1/plan/new", data=typed).status_code == 303
    record = recorded(shop, 1, "own.1")[0]
    assert (record.who, record.pinned_at) == ((1,), shop_time("2026-06-04 10:00"))


@pytest.mark.parametrize(
    ("ends", "leaves", "reaches", "words"),
    [
        ("finish-start", End.FINISH, End.START, "then at least 2 h of shop hours: you said so"),
        ("start-start", End.START, End.START, "begins at least 2 h of shop hours after it has begun"),
        ("finish-finish", End.FINISH, End.FINISH, "is finished at least 2 h of shop hours after it is finished"),
        ("start-finish", End.START, End.FINISH, "is finished at least 2 h of shop hours after it has begun"),
    ],
)
def test_a_wait_may_be_for_either_end_on_either_clock(
    shop: TestClient, ends: str, leaves: End, reaches: End, words: str
) -> None:
    typed = {"key": "p1.sand", "before": "p1.mill", "at_least": "2 h", "ends": ends, "clock": "shop hours"}
    assert shop.post("/jobs/1/plan/link", data=typed).status_code == 303
    assert links(shop, 1) == (
        OwnLink("p1.mill", "p1.sand", timedelta(hours=2), None, TaskClock.ATTENDED, leaves, reaches),
    )
    assert words in " ".join(task_page(shop).css_first("#waits").text().split())


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"ends": "middle"}, "ends", "choose one of the list"),
        ({"clock": "moonlight"}, "clock", "is not one of: shop hours, day and night"),
        ({"clock": "shop hours", "at_least": "2 days"}, "at_least", "say it in hours"),
    ],
)
def test_a_wait_that_cannot_be_is_said_where_it_was_chosen(
    shop: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    reply = shop.post("/jobs/1/plan/link", data={"key": "p1.sand", "before": "p1.mill"} | typed)
    assert reply.status_code == 422
    assert words in page_of(reply).css_first(f"#{field}-problem").text()
    assert links(shop, 1) == ()
