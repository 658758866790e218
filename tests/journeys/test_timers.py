"""Timers in a real browser: they ring by the server's time, until seen, through sleep, restarts and wrong clocks."""

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from conftest import Clock
from journeys.conftest import PHONE, open_page
from journeys.shop_clock import Served, glueing, served
from plan_shop import shop_time

WRONG = "2019-01-01T03:00:00"
"""What the clock of the phone says."""

COUNT_TONES = """
window.tones = 0;
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (...when) { window.tones += 1; return start.apply(this, when); };
"""


@pytest.fixture
def shop(tmp_path: Path, clock: Clock) -> Iterator[Served]:
    """A shop at 13:00 with a top in clamps until 13:41."""
    clock.at = shop_time("2026-06-01 13:00")
    with served(tmp_path, clock) as shop:
        glueing(shop, until="10:41")
        yield shop


def open_today(browser: Browser, shop: Served) -> Page:
    """Return today's page on a phone whose clock is wrong and stands still until a test moves it."""
    page = open_page(browser, viewport=PHONE)
    page.add_init_script(COUNT_TONES)
    page.clock.install(time=WRONG)
    page.goto(f"{shop.address}/today")
    return page


def pass_by(page: Page, shop: Served, minutes: int) -> None:
    """Let time pass for the shop and the phone, which sleeps meanwhile."""
    shop.clock.at += timedelta(minutes=minutes)
    page.clock.fast_forward(minutes * 60_000)


def test_a_timer_counts_by_the_servers_time_and_rings_until_somebody_has_seen_it(
    browser: Browser, shop: Served
) -> None:
    page = open_today(browser, shop)
    expect(page.locator(".timer .left").first).to_have_text("in 41:00")
    expect(page.locator("#ringing")).to_be_hidden()
    pass_by(page, shop, 42)
    expect(page.locator("#ringing p")).to_have_text("Clamps off 13:41: Bar top: in clamps")
    expect(page).to_have_title(re.compile("^● Clamps off 13:41"))
    page.reload()
    expect(page.locator("#ringing p")).to_have_text("Clamps off 13:41: Bar top: in clamps")
    page.get_by_role("button", name="Seen").click()
    expect(page.locator("#ringing")).to_be_hidden()
    expect(page).to_have_title("Today · Benchday")
    page.reload()
    expect(page.locator("#bell")).to_be_visible()
    expect(page.locator("#ringing")).to_be_hidden()
    assert page.faults == []  # type: ignore[attr-defined]


def test_a_timer_rings_with_the_app_gone_and_the_page_says_since_when_it_is_old(browser: Browser, shop: Served) -> None:
    page = open_today(browser, shop)
    page.route("**/today/lists*", lambda route: route.abort())
    page.clock.fast_forward(42 * 60_000)
    expect(page.locator("#ringing p")).to_have_text("Clamps off 13:41: Bar top: in clamps")
    expect(page.locator("[data-as-of]")).to_have_text("As of 13:00, 42 min ago: Benchday does not answer since.")


def test_sound_is_asked_for_once_and_remembered(browser: Browser, shop: Served) -> None:
    page = open_today(browser, shop)
    page.get_by_role("button", name="Sound on").click()
    expect(page.get_by_role("button", name="Sound off")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("[data-bell-words]")).to_have_text("Timers ring while this page is open.")
    page.wait_for_function("window.tones >= 3")
    assert page.evaluate("window.tones") == 3, "a first ring, so that one knows how it sounds"
    page.reload()
    expect(page.get_by_role("button", name="Sound off")).to_be_visible()
    page.locator("h1").click()
    expect(page.locator("[data-bell-words]")).to_have_text("Timers ring while this page is open.")
    pass_by(page, shop, 42)
    expect(page.locator("#ringing")).to_be_visible()
    page.wait_for_function("window.tones >= 3")
    page.get_by_role("button", name="Sound off").click()
    before = page.evaluate("window.tones")
    page.clock.run_for(30_000)
    assert page.evaluate("window.tones") == before


def test_a_wait_that_is_over_before_its_time_does_not_ring(browser: Browser, shop: Served) -> None:
    page = open_today(browser, shop)
    page.get_by_role("button", name="Over already: Bar top: in clamps").click()
    expect(page.locator("#done")).to_contain_text("finished")
    pass_by(page, shop, 42)
    expect(page.locator("[data-as-of]")).to_have_text("As of 13:42.")
    expect(page.locator("#ringing")).to_be_hidden()


def test_timers_are_the_same_after_a_restart_and_ring(browser: Browser, tmp_path: Path, clock: Clock) -> None:
    clock.at = shop_time("2026-06-01 13:00")
    with served(tmp_path, clock) as shop:
        glueing(shop, until="10:41")
        page = open_today(browser, shop)
        before = page.locator("[data-rings]").first.get_attribute("data-rings")
        port = int(shop.address.rpartition(":")[2])
        page.clock.run_for(1_000)
    clock.at += timedelta(minutes=30)
    with served(tmp_path, clock, port=port) as shop:
        page.clock.fast_forward(30 * 60_000)
        expect(page.locator(".timer .left").first).to_contain_text("in 11:")
        assert page.locator("[data-rings]").first.get_attribute("data-rings") == before
        pass_by(page, shop, 12)
        expect(page.locator("#ringing p")).to_have_text("Clamps off 13:41: Bar top: in clamps")


def test_without_scripts_a_timer_says_its_times_and_has_an_alarm_for_the_phone(browser: Browser, shop: Served) -> None:
    page = open_page(browser, viewport=PHONE, java_script_enabled=False)
    page.goto(f"{shop.address}/today")
    timer = page.locator(".timer").first
    expect(timer).to_contain_text("Clamps off 13:41 in 41 min")
    expect(page.locator("#bell")).to_be_hidden()
    alarm = timer.get_by_role("link", name="Alarm for the phone")
    reply = page.request.get(f"{shop.address}{alarm.get_attribute('href')}")
    assert "BEGIN:VALARM" in reply.text()


def test_a_page_gone_back_to_is_brought_up_to_date(browser: Browser, shop: Served) -> None:
    page = open_page(browser, viewport=PHONE)
    page.goto(f"{shop.address}/today")
    page.goto(f"{shop.address}/help")
    shop.clock.at += timedelta(minutes=10)
    page.go_back()
    expect(page.locator("[data-as-of]")).to_have_text("As of 13:10.")
    expect(page.locator(".timer .left").first).to_contain_text("in 3")
