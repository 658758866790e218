"""From an empty shop to paper: a pantry is measured, built up from pieces, priced, quoted, planned and ordered.

Everything is reached by clicking and typing, with scripts and without.
"""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from journeys.conftest import open_page
from journeys.press import at_rest, follow, printed
from server import Server


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without scripts"])
def test_from_an_empty_shop_to_quote_plan_and_order(
    browser: Browser, empty_shop: Server, tmp_path: Path, scripts: bool
) -> None:
    page = open_page(browser, java_script_enabled=scripts)
    page.goto(empty_shop.address)
    start_a_job(page)
    set_up_the_shop(page)
    measure_the_room(page)
    add_the_pieces(page)
    read_the_take_off(page)
    price_it(page)
    quote_it(page, tmp_path / "quote.pdf")
    order_it(page, tmp_path / "order.pdf")
    plan_it(page)
    work_today(page)
    assert not page.faults  # type: ignore[attr-defined]
    page.context.close()


def start_a_job(page: Page) -> None:
    follow(page.get_by_role("link", name="Start the first job"))
    page.get_by_label("Job", exact=True).fill("Pantry, north wall")
    page.get_by_label("Promised for").fill("2027-03-01")
    page.get_by_label("Client", exact=True).fill("Test Client")
    follow(page.get_by_role("button", name="Save"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Pantry, north wall")


def go(page: Page, name: str) -> None:
    """Go to a page of this job by its navigation."""
    follow(page.get_by_role("navigation", name="This job").get_by_role("link", name=name, exact=True))
    expect(page.get_by_role("heading", level=1)).to_be_visible()


def set_up_the_shop(page: Page) -> None:
    follow(page.get_by_role("navigation", name="Shop", exact=True).get_by_role("link", name="Shop"))
    page.get_by_label("Name of the shop").fill("Test Cabinets")
    page.get_by_label("Time zone").select_option("America/New_York")
    page.get_by_label("Hands").fill("2")
    page.get_by_label("Clamps", exact=True).fill("24")
    follow(page.get_by_role("button", name="Save"))
    area = page.get_by_role("navigation", name="What the shop sets")
    follow(area.get_by_role("link", name="Hours"))
    follow(page.get_by_role("button", name=re.compile("Monday to Friday")))
    follow(area.get_by_role("link", name="Operations"))
    follow(page.get_by_role("button", name=re.compile("starting values", re.IGNORECASE)))
    follow(page.get_by_role("navigation", name="Shop", exact=True).get_by_role("link", name="Jobs"))
    follow(page.get_by_role("link", name="Pantry, north wall"))


def measure_the_room(page: Page) -> None:
    go(page, "Measure")
    follow(page.get_by_role("link", name="Type the first run"))
    page.get_by_label("Run", exact=True).fill("North wall")
    for label, text in {
        "1 · Width at the back": "108 3/8", "2 · Width at the middle": "9' 1/2", "3 · Width at the front": "2759 mm",
        "4 · Depth at the left": "25 1/2", "5 · Depth at the centre": '25-5/8"', "6 · Depth at the right": "25.5",
    }.items():  # fmt: skip
        page.get_by_label(label).fill(text)
    page.get_by_label("What hides the gap").select_option(label="a bead along the wall")
    follow(page.get_by_role("button", name="Save"))
    expect(page.get_by_role("main")).to_contain_text("Cut it 108 1/8 in wide")


def add_the_pieces(page: Page) -> None:
    follow(page.get_by_role("link", name="Make a top for this run"))
    page.get_by_label("Name", exact=True).fill("Long top")
    page.get_by_label("Length", exact=True).fill("9'")
    page.get_by_label("Widest board").fill("a lot")
    follow(page.get_by_role("button", name="Save"))
    expect(page.get_by_role("alert")).to_contain_text("a lot")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Long top")
    page.get_by_label("Widest board").fill("5 1/2")
    page.get_by_label("Finish", exact=True).select_option("Hardwax oil")
    page.get_by_label("Coated at the client's, after install").check()
    follow(page.get_by_role("button", name="Save"))
    go(page, "Pieces")
    follow(page.get_by_role("link", name="Built-up edge for Long top"))
    follow(page.get_by_role("button", name="Save"))
    go(page, "Pieces")
    follow(page.get_by_role("link", name="Add a piece"))
    follow(page.get_by_role("link", name=re.compile("^Base cabinet")))
    page.get_by_label("Name", exact=True).fill("Drawer base")
    page.get_by_label("How many").fill("2")
    follow(page.get_by_role("button", name="Save"))
    go(page, "Pieces")
    follow(page.get_by_role("link", name="Drawer for Drawer base"))
    page.get_by_label("Name", exact=True).fill("Drawers")
    page.get_by_label("How many").fill("4")
    follow(page.get_by_role("button", name="Save"))
    go(page, "Pieces")
    for name in ("Long top", "Drawer base", "Drawers"):
        expect(page.get_by_role("main")).to_contain_text(name)


def read_the_take_off(page: Page) -> None:
    go(page, "Take-off")
    expect(page.get_by_role("main")).to_contain_text("8/4 Hard maple (sugar maple) FAS")
    board_feet = page.locator("a.figure", has_text="bf").first
    board_feet.click()
    expect(page.locator("body")).to_contain_text("How we got")
    expect(page.locator("body")).to_contain_text("Source:")
    at_rest(page)
    if (back := page.get_by_role("link", name="Back", exact=True)).count():  # without scripts it is a page of its own
        follow(back)


def price_it(page: Page) -> None:
    """Type every missing price where it is missed, then the job's terms."""
    go(page, "Price")
    missing = page.get_by_role("region", name="Prices still missing").get_by_role("listitem")
    for item in missing.all():
        item.get_by_label("Price of one").fill("24.50")
        holds = item.get_by_label("It holds")
        if not holds.input_value():
            holds.fill("10")
        item.get_by_label("Supplier").fill("Test yard")
    follow(page.get_by_role("button", name="Put these into the price book"))
    expect(page.get_by_role("region", name="Prices still missing")).to_have_count(0)
    terms = page.get_by_role("region", name="Terms of this job")
    terms.get_by_label("Shop rate").fill("65")
    terms.get_by_label("Overhead", exact=False).and_(terms.get_by_role("textbox")).fill("12")
    terms.get_by_label("Profit is").select_option("margin")
    terms.get_by_role("textbox", name=re.compile("^Profit")).fill("20")
    terms.get_by_role("textbox", name=re.compile("^Profit")).blur()
    if (save := page.get_by_role("button", name="Save the terms")).count():
        follow(save)
    at_rest(page)
    expect(page.get_by_role("region", name="What stands in the way of a price")).to_have_count(0)
    expect(total_of(page)).not_to_contain_text("$0.00")


def total_of(page: Page) -> Locator:
    return page.get_by_role("region", name="What it comes to").get_by_role("row", name=re.compile("^Total"))


def quote_it(page: Page, paper: Path) -> None:
    """Freeze a quote, look at its paper, and take the client's yes."""
    total = total_of(page).get_by_role("cell").inner_text()
    go(page, "Quote")
    follow(page.get_by_role("link", name="Freeze this estimate into a quote"))
    follow(page.get_by_role("button", name="Freeze this quote"))
    expect(page.get_by_role("main")).to_contain_text(total)
    follow(page.get_by_role("link", name=re.compile("Print")).first)
    text = printed(page, paper)
    assert total in text
    assert "Test Client" in text
    assert "Long top" in text
    assert "$65" not in text, "inner costs are not the client's to read"
    follow(page.get_by_role("link", name="Back"))
    follow(page.get_by_role("button", name="The client accepts"))
    expect(page.get_by_role("main")).to_contain_text("accepted")


def order_it(page: Page, paper: Path) -> None:
    """Make an order of all that is lacking, print it, and receive it."""
    go(page, "Order")
    expect(page.get_by_role("main")).to_contain_text("8/4 FAS Hard maple")
    follow(page.get_by_role("button", name="Make this an order"))
    follow(page.get_by_role("button", name="Ordered today"))
    expect(page.get_by_role("main")).to_contain_text("on order")
    follow(page.get_by_role("link", name="Order on paper"))
    text = printed(page, paper)
    assert "Test yard" in text
    assert "hard maple" in text.lower()
    assert "Drawer slide pair" in text
    follow(page.get_by_role("link", name="Back"))
    follow(page.get_by_role("button", name="Everything came"))
    expect(page.get_by_role("main")).to_contain_text("all here")


def plan_it(page: Page) -> None:
    """See when it can be ready, and why."""
    follow(page.get_by_role("link", name="All orders of this job"))
    go(page, "Plan")
    expect(page.get_by_role("main")).to_contain_text(re.compile("Ready .* before the promise"))
    expect(page.get_by_role("img", name=re.compile("Chart|plan", re.IGNORECASE)).first).to_be_visible()


def work_today(page: Page) -> None:
    """Start something at the bench and finish it: one tap each, and one to take it back."""
    follow(page.get_by_role("navigation", name="Shop", exact=True).get_by_role("link", name="Today"))
    start = page.get_by_role("button", name=re.compile("^Start: ")).first
    task = (start.get_attribute("aria-label") or "").removeprefix("Start: ")
    start.click()
    finish = page.get_by_role("button", name=f"Finish: {task}", exact=True)
    finish.click()
    expect(page.get_by_role("region", name="Done today")).to_contain_text(task)
    page.get_by_role("status").get_by_role("button", name="Undo").click()
    expect(finish).to_be_visible()
