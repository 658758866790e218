"""Today in a real browser: taps without a reload, where the keyboard goes on, a page left open, and no scripts."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from journeys.conftest import PHONE, open_page
from server import Server, serving


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Server]:
    """The demo shop in a folder of its own, to be worked in."""
    with serving(tmp_path, "--demo") as server:
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
    expect(page.locator("#can-start")).to_be_focused()
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
    page.wait_for_load_state("networkidle")
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
    page.locator(f"[id='{start}']").click()
    assert page.url.startswith(f"{bench.address}/today?done=")
    page.locator(f"[id='{finish}']").click()
    expect(page.locator("#done")).to_contain_text("finished")
    page.locator("#done button").click()
    expect(page.locator(".hands-on").locator(f"[id='{finish}']")).to_be_visible()


def test_a_figure_of_today_opens_beside_the_lists(browser: Browser, bench: Server) -> None:
    page = open_page(browser, viewport=PHONE)
    page.goto(f"{bench.address}/today")
    page.locator("a.figure").first.click()
    expect(page.locator("#working h2")).to_be_focused()
    expect(page.locator("#working")).to_contain_text("setting up once")
