"""The price page in a browser: totals follow while a person types on, and no change is lost on the way."""

import httpx
from playwright.sync_api import Browser, Page, expect

from journeys.conftest import open_page
from journeys.press import at_rest
from server import Server

COST = {"new-cost-kind": "travel", "new-cost-description": "Trips", "new-cost-amount": "84", "new-cost-on_quote": "yes"}


def a_job_with_a_cost(server: Server) -> None:
    with httpx.Client(base_url=server.address, headers={"Origin": server.address}) as client:
        assert client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"}).status_code == 303
        assert client.post("/jobs/1/costs", data=COST).status_code == 303


def the_price(browser: Browser, server: Server) -> Page:
    a_job_with_a_cost(server)
    page = open_page(browser)
    page.goto(f"{server.address}/jobs/1/price")
    return page


def test_changes_made_while_the_last_one_is_still_being_sent_are_all_kept(browser: Browser, empty_shop: Server) -> None:
    page = the_price(browser, empty_shop)
    ticks = page.locator("#cost-1 input[type=checkbox]")
    ticks.evaluate_all("ticks => ticks.forEach(tick => tick.click())")
    at_rest(page)
    page.reload()
    assert [tick.is_checked() for tick in ticks.all()] == [True, True, False]
    assert not page.faults  # type: ignore[attr-defined]
    page.context.close()


def test_the_total_follows_and_what_is_being_typed_stays(browser: Browser, empty_shop: Server) -> None:
    page = the_price(browser, empty_shop)
    page.locator("#cost-1-amount").fill("100")
    page.locator("#shop_rate").fill("7")
    expect(page.locator("#totals .grand td")).to_have_text("$100.00")
    page.keyboard.type("5")
    expect(page.locator("#shop_rate")).to_have_value("75")
    expect(page.locator("#shop_rate")).to_be_focused()
    assert not page.faults  # type: ignore[attr-defined]
    page.context.close()


def test_a_price_that_is_none_is_said_beside_the_field_and_kept(browser: Browser, empty_shop: Server) -> None:
    page = the_price(browser, empty_shop)
    page.locator("#cost-1-amount").fill("8,5")
    page.keyboard.press("Tab")
    expect(page.locator("#cost-1-problems")).to_contain_text("Amount: “8,5”")
    expect(page.locator("#cost-1-amount")).to_have_value("8,5")
    expect(page.locator("#totals .grand td")).to_have_text("$84.00")
    page.context.close()
