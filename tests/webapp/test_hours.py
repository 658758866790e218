from datetime import UTC, date, datetime

import pytest
from fastapi.testclient import TestClient

from conftest import Clock, page_of
from webapp.store import shop as store

MONDAY = {"day_0": "yes", "starts": "08:00", "ends": "12:00"}


def calendar_of(client: TestClient) -> object:
    with client.app.state.database.read() as db:  # type: ignore[attr-defined]
        return store.load_calendar(db)


def hours_of(client: TestClient) -> list[str]:
    return [link.text() for link in page_of(client.get("/shop/hours")).css(".stretches a")]


def test_without_hours_there_is_no_calendar_and_the_page_says_so(client: TestClient) -> None:
    assert calendar_of(client) is None
    assert "cannot place hands-on work" in page_of(client.get("/shop/hours")).css_first(".empty").text()


def test_one_button_gives_a_week_to_start_from(client: TestClient) -> None:
    assert client.post("/shop/hours/usual").status_code == 303
    assert hours_of(client) == ["08:00 to 12:00", "13:00 to 17:00"] * 5
    assert "40 h" in page_of(client.get("/shop/hours")).css_first("caption").text()
    calendar = calendar_of(client)
    assert calendar.is_open(datetime(2026, 6, 1, 9, tzinfo=UTC))  # type: ignore[attr-defined]
    client.post("/shop/hours/usual")
    assert len(hours_of(client)) == 10


def test_hours_are_added_on_every_day_that_is_ticked(client: TestClient) -> None:
    client.post("/shop/hours", data=MONDAY | {"day_5": "yes"})
    page = page_of(client.get("/shop/hours"))
    rows = {row.css_first("th").text(): row.css_first("td").text().strip() for row in page.css(".week tbody tr")}
    assert rows["Monday"] == rows["Saturday"] == "08:00 to 12:00"
    assert rows["Tuesday"] == "closed"


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"starts": "25:00"}, "starts", "is not a time of day. Try 08:00"),
        ({"ends": "5:00"}, "ends", "Try 17:00"),
        ({"ends": "08:00"}, "ends", "is not after 08:00"),
        ({"ends": ""}, "ends", "is empty"),
        ({"day_0": ""}, "day_0", "No day is ticked"),
    ],
)
def test_hours_that_cannot_be_are_said_and_kept(
    client: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    reply = client.post("/shop/hours", data=MONDAY | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("#starts").attributes["value"] == (MONDAY | typed)["starts"]
    assert hours_of(client) == []


def test_hours_that_overlap_are_refused(client: TestClient) -> None:
    client.post("/shop/hours", data=MONDAY)
    reply = client.post("/shop/hours", data=MONDAY | {"starts": "11:00", "ends": "13:00"})
    assert reply.status_code == 422
    assert "Monday is open already from 08:00 to 12:00" in reply.text


def test_a_stretch_is_changed_removed_and_brought_back(client: TestClient) -> None:
    client.post("/shop/hours", data=MONDAY)
    client.post("/shop/hours/1", data={"starts": "07:00", "ends": "12:00", "version": "1"})
    assert hours_of(client) == ["07:00 to 12:00"]
    assert client.post("/shop/hours/1", data={"starts": "06:00", "ends": "12:00", "version": "1"}).status_code == 409
    client.post("/shop/hours/1/remove")
    assert hours_of(client) == []
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    client.post(undo, data={"back": "/shop/hours"})
    assert hours_of(client) == ["07:00 to 12:00"]


def test_closed_days_are_added_for_a_while_and_known_to_the_calendar(client: TestClient) -> None:
    client.post("/shop/hours/usual")
    client.post("/shop/closed", data={"day": "2026-12-24", "until": "2026-12-26", "why": "holiday"})
    assert "Thu 24 Dec 2026" in client.get("/shop/hours").text
    calendar = calendar_of(client)
    assert calendar.closed[date(2026, 12, 25)] == "holiday"  # type: ignore[attr-defined]
    reply = client.post("/shop/closed", data={"day": "2026-12-25", "until": "", "why": ""})
    assert reply.status_code == 422
    assert "closed already" in reply.text


@pytest.mark.parametrize(
    ("day", "until", "words"),
    [
        ("2026-02-30", "", "is not a day in the calendar"),
        ("2026-03-02", "2026-03-01", "is before 2026-03-02"),
        ("2026-01-01", "2026-12-31", "closes the shop for 365 days"),
        ("", "", "is empty"),
    ],
)
def test_closings_that_cannot_be_are_said(client: TestClient, day: str, until: str, words: str) -> None:
    reply = client.post("/shop/closed", data={"day": day, "until": until, "why": "rest"})
    assert reply.status_code == 422
    assert words in reply.text
    assert page_of(reply).css_first("#why").attributes["value"] == "rest"


def test_a_closed_day_is_moved_and_one_in_the_past_is_not_listed(client: TestClient, clock: Clock) -> None:
    client.post("/shop/closed", data={"day": "2026-07-03", "why": "holiday"})
    client.post("/shop/closed/1", data={"day": "2026-07-06", "why": "moved", "version": "1"})
    assert "Mon 6 Jul 2026" in client.get("/shop/hours").text
    clock.at = datetime(2026, 8, 1, 12, tzinfo=UTC)
    page = client.get("/shop/hours").text
    assert "6 Jul 2026" not in page
    assert "1 closed day in the past" in page
