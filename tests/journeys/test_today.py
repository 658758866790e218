"""Today in a real browser: taps without a reload, where the keyboard goes on, a page left open, and no scripts."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from conftest import Clock
from demo_file import filled_today
from domain.person import Person
from journeys.conftest import PHONE, open_page
from journeys.press import at_rest, follow
from journeys.shop_clock import glueing, served
from plan_shop import a_job, set_up, shop_time, writing
from server import Server, serving
from webapp.store.person import add_person


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Server]:
    """The demo shop in a folder of its own, to be worked in."""
    with serving(filled_today(tmp_path), "--demo", ready=True) as server:
        yield server


def first_start(page: Page) -> tuple[str, str]:
    """Return the id of the first start button, and of the finish button that takes its place."""
    button = page.locator("button[id^=start-]").first
    started = button.get_attribute("id") or ""
    return started, started.replace("start-", "finish-", 1)


def test_a_tap_changes_the_lists_in_place_and_the_keyboard_goes_on(browser: Browser, bench: Server) -> None:
    page = open_page(browser, viewport=PHONE)
    page.goto(f"{bench.address}/today")
    page.evaluate("window.sameDocument = true")
    start, finish = first_start(page)
    page.locator(f"[id='{start}']").click()
    expect(page.locator(f"[id='{finish}']")).to_be_focused()
    expect(page.locator("#done")).to_contain_text("started")
    page.keyboard.press("Enter")
    expect(page.locator("#done")).to_contain_text("finished")
    expect(page.locator("#next")).to_be_focused()
    expect(page.locator("#done-today")).to_be_visible()
    assert page.evaluate("window.sameDocument")
    page.locator("#done button").click()
    expect(page.locator(".hands-on").locator(f"[id='{finish}']")).to_be_visible()
    assert page.faults == []  # type: ignore[attr-defined]


def test_three_quick_taps_are_one(browser: Browser, bench: Server) -> None:
    page = open_page(browser, viewport=PHONE)
    page.goto(f"{bench.address}/today")
    start, _ = first_start(page)
    page.locator(f"[id='{start}']").click(click_count=3)
    expect(page.locator("#done")).to_contain_text("started")
    at_rest(page)
    page.goto(f"{bench.address}/history")
    assert page.get_by_text("started", exact=False).count() == 1


def test_a_poll_leaves_the_focus_where_it_is(browser: Browser, bench: Server) -> None:
    page = open_page(browser)
    page.clock.install()
    page.goto(f"{bench.address}/today")
    button = page.locator("button[id^=start-]").nth(1)
    button.focus()
    where = button.get_attribute("id")
    key = button.locator("xpath=..").locator("[name=form_key]")
    before = key.get_attribute("value")
    with page.expect_response("**/today/lists"):
        page.clock.run_for(61_000)
    expect(key).not_to_have_attribute("value", before or "")
    assert page.evaluate("document.activeElement.id") == where
    assert page.faults == []  # type: ignore[attr-defined]


def test_a_page_left_open_says_when_the_app_is_gone_and_goes_on_when_it_is_back(browser: Browser, demo: Server) -> None:
    page = open_page(browser)
    page.clock.install()
    page.goto(f"{demo.address}/today")
    page.route("**/today/lists", lambda route: route.abort())
    page.clock.run_for(61_000)
    expect(page.locator("#trouble-bar")).to_have_text(
        "Benchday does not answer, so what you see may be out of date. Is it still running?"
    )
    page.unroute("**/today/lists")
    page.clock.run_for(61_000)
    expect(page.locator("#trouble-bar")).to_be_hidden()


def test_without_scripts_a_tap_leads_back_to_today(browser: Browser, bench: Server) -> None:
    page = open_page(browser, viewport=PHONE, java_script_enabled=False)
    page.goto(f"{bench.address}/today")
    start, finish = first_start(page)
    follow(page.locator(f"[id='{start}']"))
    assert page.url.startswith(f"{bench.address}/today?done=")
    follow(page.locator(f"[id='{finish}']"))
    expect(page.locator("#done")).to_contain_text("finished")
    follow(page.locator("#done button"))
    expect(page.locator(".hands-on").locator(f"[id='{finish}']")).to_be_visible()


def test_a_figure_of_today_opens_beside_the_lists(browser: Browser, bench: Server) -> None:
    page = open_page(browser, viewport=PHONE)
    page.goto(f"{bench.address}/today")
    page.locator("a.figure").first.click()
    expect(page.locator("#working h2")).to_be_focused()
    expect(page.locator("#working")).to_contain_text("setting up once")


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_tap_three_hours_late_moves_the_plan_and_today_follows(
    browser: Browser, tmp_path: Path, clock: Clock, scripts: bool
) -> None:
    clock.at = shop_time("2026-06-01 10:00")
    with served(tmp_path, clock) as shop:
        glueing(shop)
        page = open_page(browser, viewport=PHONE, java_script_enabled=scripts)
        page.goto(f"{shop.address}/jobs/1/plan")
        expect(page.locator("[id='p1.unclamp-1']")).to_contain_text("13:4")
        clock.at = shop_time("2026-06-01 13:41")
        page.goto(f"{shop.address}/today")
        expect(page.locator("#late")).to_be_visible()
        page.get_by_role("button", name="Finish: Bar top: glue-up").first.click()
        expect(page.locator("#done")).to_contain_text("finished 13:41")
        expect(page.locator(".timer .rings").first).to_contain_text("Clamps off 16:41")
        page.goto(f"{shop.address}/jobs/1/plan")
        expect(page.locator("[id='p1.unclamp-1']")).to_contain_text("16:4")


def test_a_finish_that_was_forgotten_is_told_with_its_own_time(browser: Browser, tmp_path: Path, clock: Clock) -> None:
    clock.at = shop_time("2026-06-01 13:30")
    with served(tmp_path, clock) as shop:
        glueing(shop)
        page = open_page(browser, viewport=PHONE)
        page.goto(f"{shop.address}/today")
        follow(page.get_by_role("link", name="At another time: Bar top: glue-up"))
        page.get_by_label("Finished").fill("2026-06-01T10:41")
        follow(page.locator("main form button").first)
        expect(page).to_have_url(re.compile(r"/today\?done="))
        expect(page.locator(".timer .rings").first).to_contain_text("Clamps off 13:41")


def test_a_person_has_a_page_of_their_own_and_what_they_start_is_theirs(
    browser: Browser, tmp_path: Path, clock: Clock
) -> None:
    clock.at = shop_time("2026-06-01 08:00")
    with served(tmp_path, clock) as shop:
        set_up(shop.client)
        a_job(shop.client)
        a_job(shop.client, "Another bar")
        with writing(shop.client) as db:
            add_person(db, Person(0, "Ada"))
            add_person(db, Person(0, "Bo"))
        page = open_page(browser, viewport=PHONE)
        page.goto(f"{shop.address}/today")
        page.get_by_role("navigation", name="Whose list").get_by_role("link", name="Bo", exact=True).click()
        expect(page.locator("h1")).to_have_text("Today: Bo")
        expect(page.locator(".turn")).to_have_count(1)
        page.locator("[id^=fits] button[id^=start-], #turn-2 button[id^=start-]").last.click()
        expect(page.locator("#done")).to_contain_text("started")
        expect(page.locator("#turn-2")).to_contain_text("Now")
        expect(page.locator(".turn")).to_have_count(1)
        assert page.locator("#today-lists").get_attribute("hx-get") == "/today/lists?person=2"
        page.goto(f"{shop.address}/today?person=1")
        expect(page.locator("#turn-1")).not_to_contain_text("Now")
        page.goto(f"{shop.address}/today?person=77")
        expect(page.locator("#today-lists [role=alert]")).to_contain_text("not in the shop any more")
