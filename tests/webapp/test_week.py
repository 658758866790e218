"""The next seven days by person: on screen, on paper, and as a feed for each."""

from datetime import date

import pytest
from fastapi.testclient import TestClient
from icalendar import Calendar

from conftest import page_of
from domain.person import Person
from plan_shop import a_job, set_up, writing
from webapp.store.person import add_person
from webapp.store.shop import add_closings


@pytest.fixture
def shop(client: TestClient) -> TestClient:
    set_up(client)
    a_job(client)
    with writing(client) as db:
        for name in ("Nell (invented)", "Odo (invented)"):
            add_person(db, Person(0, name))
    return client


def test_each_person_has_their_days_in_words_and_in_a_drawing(shop: TestClient) -> None:
    shown = page_of(shop.get("/week"))
    assert [heading.text() for heading in shown.css("h2")] == ["Nell (invented)", "Odo (invented)", "By itself"]
    drawing = shown.css_first("svg.week-chart")
    assert drawing is not None
    assert "Nell (invented)" in (drawing.attributes["aria-label"] or "")
    names = {link.text() for link in shown.css(".person-week .task-link")}
    assert "Bar top: mill boards" in names


def test_the_sheet_for_the_wall_has_a_row_a_person_and_one_for_what_comes_by_itself(shop: TestClient) -> None:
    rows = page_of(shop.get("/week/print")).css(".wall-week tbody th")
    assert [row.text() for row in rows] == ["Nell (invented)", "Odo (invented)", "By itself"]


@pytest.mark.parametrize("day", ["2026-06-08", "2026-06-05", "1950-01-01", "soon", ""])
def test_any_day_can_be_asked_for_and_what_is_none_is_today(shop: TestClient, day: str) -> None:
    heading = page_of(shop.get(f"/week?day={day}")).css_first("h1")
    assert heading is not None
    expected = {"2026-06-08": "Mon 8 Jun 2026", "2026-06-05": "Fri 5 Jun 2026"}.get(day, "Mon 1 Jun 2026")
    assert heading.text() == f"Seven days from {expected}"


def test_each_person_has_a_calendar_feed_of_their_own(shop: TestClient) -> None:
    """Source: RFC 5545, read back with icalendar."""
    feeds = [Calendar.from_ical(shop.get(f"/people/{number}/plan.ics").content) for number in (1, 2)]
    assert [str(feed["name"]) for feed in feeds] == ["Plan of Nell (invented)", "Plan of Odo (invented)"]
    both = [{str(event["uid"]) for event in feed.walk("VEVENT")} for feed in feeds]
    assert both[0]
    assert both[0] | both[1] <= {
        str(event["uid"]) for event in Calendar.from_ical(shop.get("/plan.ics").content).walk("VEVENT")
    }
    assert shop.get("/people/77/plan.ics").status_code == 404


def test_without_hours_the_week_says_what_is_missing(client: TestClient) -> None:
    shown = page_of(client.get("/week"))
    assert "no working hours" in shown.css_first("main").text()
    assert page_of(client.get("/week/print")).css_first("h1") is not None


def test_a_closed_day_is_named_on_the_page_and_on_the_wall(shop: TestClient) -> None:
    with writing(shop) as db:
        add_closings(db, [date(2026, 6, 3)], "an invented fair")
    for address in ("/week?day=2026-06-01", "/week/print?day=2026-06-01"):
        assert "an invented fair" in page_of(shop.get(address)).css_first("main").text()
