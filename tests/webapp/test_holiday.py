"""Public holidays as a list to tick, and the closed days that come of it."""

from datetime import date

import pytest
from fastapi.testclient import TestClient

from conftest import NOW, Clock, page_of
from plan_shop import reading, set_up
from webapp.store.shop import add_closings, load_closed_days
from webapp.store.shop import load_closings as closings

ASKED = {"region": "US-NY", "year": "2026"}


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    """A shop on Monday, 1 June 2026, open Monday to Friday."""
    clock.at = NOW
    set_up(client)
    return client


def closed_of(client: TestClient) -> dict[date, str]:
    with reading(client) as db:
        return dict(load_closed_days(db))


def ticks_of(client: TestClient, **asked: str) -> dict[str, bool]:
    page = page_of(client.get("/shop/holidays", params=asked))
    return {node.attributes["name"]: "checked" in node.attributes for node in page.css(".holidays input")}


def test_holidays_are_listed_from_today_on_and_nothing_is_kept_by_looking(shop: TestClient) -> None:
    ticks = ticks_of(shop, **ASKED)
    assert list(ticks) == sorted(ticks)
    assert ticks["day_2026-07-03"]
    assert not ticks["day_2026-07-04"]  # a Saturday, on which this shop has no hours
    assert "day_2026-05-25" not in ticks
    page = page_of(shop.get("/shop/holidays", params=ASKED)).css_first("main").text()
    assert "6 of that year are over" in page
    assert "your own" in page
    assert closed_of(shop) == {}


def test_only_the_ticked_days_are_closed_under_their_names_and_undo_takes_them_back(shop: TestClient) -> None:
    ticked = {"day_2026-07-03": "yes", "day_2026-12-25": "yes"}
    assert shop.post("/shop/holidays", data=ASKED | ticked).status_code == 303
    assert closed_of(shop) == {
        date(2026, 7, 3): "Independence Day (observed)",
        date(2026, 12, 25): "Christmas Day",
    }
    assert "day_2026-07-03" not in ticks_of(shop, **ASKED)
    undo = page_of(shop.get("/history")).css_first("form").attributes["action"]
    shop.post(undo, data={"back": "/shop/hours"})
    assert closed_of(shop) == {}


def test_a_day_that_is_closed_already_keeps_its_reason(shop: TestClient) -> None:
    with shop.app.state.database.write("Closed", at=NOW) as db:  # type: ignore[attr-defined]
        add_closings(db, [date(2026, 7, 3)], "inventory")
    shop.post("/shop/holidays", data=ASKED | {"day_2026-07-03": "yes", "day_2026-09-07": "yes"})
    with reading(shop) as db:
        assert [(each.day, each.why) for each in closings(db)] == [
            (date(2026, 7, 3), "inventory"),
            (date(2026, 9, 7), "Labor Day"),
        ]


def test_the_shops_own_region_and_the_running_year_are_there_at_once(shop: TestClient) -> None:
    assert ticks_of(shop) == {}
    typed = {"name": "Invented", "zone": "America/New_York", "unit": "in", "precision": "16", "currency": "$",
             "paper": "letter", "hands": "2", "clamps": "9", "benches": "1", "region": "New York",
             "version": "1"}  # fmt: skip
    assert shop.post("/shop", data=typed).status_code == 303
    assert ticks_of(shop) == ticks_of(shop, **ASKED)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"region": "Narnia"}, "is no region that is known here"),
        ({"year": "MMXXVI"}, "is not a whole number"),
        ({"year": "1066"}, "must be from 2000 to 2100"),
        ({"region": ""}, "Say the state or country first"),
        ({}, "No day is ticked"),
    ],
)
def test_what_cannot_be_is_said(shop: TestClient, typed: dict[str, str], words: str) -> None:
    reply = shop.post("/shop/holidays", data=ASKED | typed)
    assert reply.status_code == 422
    assert words in page_of(reply).css_first("#problems").text()
    assert closed_of(shop) == {}
