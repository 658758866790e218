"""What needs a decision on a job's plan, and remedies carried out with one tap, through the store and the pages."""

from datetime import UTC, date, datetime, time
from urllib.parse import quote

import pytest
from fastapi.testclient import TestClient

from conftest import Clock, page_of
from domain.schedule.schedule import Aim
from plan_shop import FILM, NOW, a_job, done, form_of, reading, record, recorded, set_up
from webapp.store import shop as shop_store

FRIDAY = datetime(2026, 6, 5, 19, 0, tzinfo=UTC)
"""15:00 in the shop."""


@pytest.fixture
def shop(client: TestClient, clock: Clock) -> TestClient:
    clock.at = NOW
    set_up(client)
    a_job(client)
    return client


def offers(client: TestClient) -> dict[str, dict[str, str]]:
    """Return the forms of the remedies offered, by what their buttons say."""
    forms = page_of(client.get("/jobs/1/plan")).css('form[action="/jobs/1/plan/remedy"]')
    return {
        (form.css_first("button").text() or "").strip(): {
            field.attributes["name"] or "": field.attributes.get("value") or "" for field in form.css("input")
        }
        for form in forms
    }


def test_the_aim_is_said_and_changed_with_one_tap(shop: TestClient) -> None:
    assert "every job is finished as soon as it can be" in shop.get("/jobs/1/plan").text
    reply = shop.post("/jobs/1/plan/aim", data=form_of(shop, "/jobs/1/plan", "/jobs/1/plan/aim"))
    assert reply.status_code == 303
    with reading(shop) as db:
        assert shop_store.load_shop(db).aim is Aim.CALM
    assert "people stay with one job" in shop.get("/jobs/1/plan").text


def test_a_pin_is_let_go(shop: TestClient) -> None:
    record(shop, 1, "p1.mill", pinned_at=datetime(2026, 6, 8, 12, 0, tzinfo=UTC))
    page = shop.get(f"/jobs/1/plan/sooner?key={quote('p1.mill')}")
    form = page_of(page).css_first('form[action="/jobs/1/plan/remedy"]')
    fields = {field.attributes["name"]: field.attributes.get("value") or "" for field in form.css("input")}
    assert shop.post("/jobs/1/plan/remedy", data=fields).status_code == 303
    assert recorded(shop, 1, "p1.mill")[0].pinned_at is None


def test_extra_hours_are_worked_for_a_window(shop: TestClient) -> None:
    fields = {**form_of(shop, "/jobs/1/plan", "/jobs/1/plan/aim"), "remedy": "work", "on": "2026-06-06"}
    reply = shop.post("/jobs/1/plan/remedy", data={**fields, "starts": "08:00", "ends": "12:00"})
    assert reply.status_code == 303
    with reading(shop) as db:
        (extra,) = shop_store.load_extra_hours(db)
    assert (extra.day, extra.starts, extra.ends) == (date(2026, 6, 6), time(8), time(12))
    assert extra.why == "For Invented bar"


@pytest.mark.parametrize(
    "fields",
    [
        {"remedy": "work", "on": "soon", "starts": "08:00", "ends": "12:00"},
        {"remedy": "work", "on": "2026-06-06", "starts": "12:00", "ends": "08:00"},
        {"remedy": "hold", "key": "1/gone", "until": "2026-06-06T08:00:00+00:00"},
        {"remedy": "hold", "key": "1/p1.mill", "until": "2026-06-06T08:00"},
        {"remedy": "sand", "before": "1/p1.mill", "key": "1/p1.mill"},
        {"remedy": "promise", "job": "7", "on": "2026-06-06"},
        {"remedy": "magic"},
        {},
    ],
)
def test_a_remedy_that_is_none_is_refused(shop: TestClient, fields: dict[str, str]) -> None:
    assert shop.post("/jobs/1/plan/remedy", data=fields).status_code == 404


def test_what_would_help_is_offered_and_works(shop: TestClient, clock: Clock) -> None:
    done(shop, 1, f"{FILM}.coat-1", at=datetime(2026, 6, 5, 18, 0, tzinfo=UTC))
    clock.at = FRIDAY
    before = offers(shop)
    first = next(iter(before))
    assert shop.post("/jobs/1/plan/remedy", data=before[first]).status_code == 303
    assert first not in offers(shop)
