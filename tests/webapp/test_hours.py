from datetime import UTC, date, datetime, time

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


EXTRA = {"extra_day": "2026-06-06", "extra_starts": "08:00", "extra_ends": "12:00", "extra_why": "before the install"}


def test_extra_hours_open_the_shop_on_one_day_and_on_a_closed_one_too(client: TestClient) -> None:
    client.post("/shop/hours/usual")
    client.post("/shop/closed", data={"day": "2026-06-06", "why": "fair"})
    assert client.post("/shop/extra", data=EXTRA).status_code == 303
    calendar = calendar_of(client)
    morning, other = date(2026, 6, 6), date(2026, 6, 13)
    assert calendar.hours(morning) == ((time(8), time(12)),)  # type: ignore[attr-defined]
    assert calendar.hours(other) == ()  # type: ignore[attr-defined]
    assert "before the install" in page_of(client.get("/shop/hours")).css_first("#extra").text()


def test_extra_hours_stand_beside_those_of_the_day(client: TestClient) -> None:
    client.post("/shop/hours/usual")
    client.post("/shop/extra", data=EXTRA | {"extra_day": "2026-06-04", "extra_starts": "17:00", "extra_ends": "20:00"})
    hours = calendar_of(client).hours(date(2026, 6, 4))  # type: ignore[attr-defined]
    assert hours == ((time(8), time(12)), (time(13), time(17)), (time(17), time(20)))


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"extra_day": ""}, "extra_day", "is empty"),
        ({"extra_ends": "07:00"}, "extra_ends", "Try 19:00"),
        ({"extra_day": "2026-06-04"}, "extra_starts", "On Thursday 2026-06-04 the shop is open already from 13:00"),
        ({"extra_starts": "11:00", "extra_ends": "14:00"}, "extra_starts", "from 08:00 to 12:00"),
    ],
)
def test_extra_hours_that_cannot_be_are_said_and_kept(
    client: TestClient, typed: dict[str, str], field: str, words: str
) -> None:
    client.post("/shop/hours/usual")
    client.post("/shop/extra", data=EXTRA)
    reply = client.post("/shop/extra", data=EXTRA | {"extra_starts": "13:00", "extra_ends": "15:00"} | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    assert page.css_first("#extra_why").attributes["value"] == "before the install"


def test_extra_hours_are_changed_removed_and_brought_back(client: TestClient) -> None:
    client.post("/shop/hours/usual")
    client.post("/shop/extra", data=EXTRA)
    client.post("/shop/extra/1", data=EXTRA | {"extra_ends": "11:00", "version": "1"})
    saturday = date(2026, 6, 6)
    assert calendar_of(client).hours(saturday) == ((time(8), time(11)),)  # type: ignore[attr-defined]
    assert client.post("/shop/extra/1", data=EXTRA | {"version": "1"}).status_code == 409
    client.post("/shop/extra/1/remove")
    assert calendar_of(client).hours(saturday) == ()  # type: ignore[attr-defined]
    undo = page_of(client.get("/history")).css_first("form").attributes["action"]
    client.post(undo, data={"back": "/shop/hours"})
    assert calendar_of(client).hours(saturday) == ((time(8), time(11)),)  # type: ignore[attr-defined]
