"""From layouts to the saw and back to the rack: a demo job is laid out, searched, bought, cut, and the next one uses
what was left."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from demo_file import filled_today
from journeys.conftest import open_page
from journeys.press import follow
from server import Server, serving

JOB, WOOD = "Window seat with drawers", "4/4 White ash FAS"
LONG_ENOUGH = 240_000
"""Milliseconds that a search may take on a busy machine."""

WIDTHS, LENGTHS = ("9 7/8", "11 1/4", "12 3/8", "13", "14 5/8"), ("11' 2", "12'", "12' 9", "13' 5")
BOARDS = "mark\twood\tthickness\twidth\tlength\tgrade\tprice\n" + "\n".join(
    f"T{number}\tWhite ash\t4/4\t{WIDTHS[number % 5]}\t{LENGTHS[number % 4]}\tFAS\t4.{10 + number}"
    for number in range(1, 61)
)
"""Sixty invented boards of a yard, wide and long, so that something is left of them."""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Server]:
    with serving(filled_today(tmp_path), "--demo", ready=True) as server:
        yield server


@pytest.mark.parametrize("scripts", [True, False], ids=["with scripts", "without scripts"])
def test_a_job_is_laid_out_searched_bought_cut_and_the_next_uses_its_offcuts(
    browser: Browser, shop: Server, scripts: bool
) -> None:
    page = open_page(browser, java_script_enabled=scripts)
    open_job(page, shop, JOB)
    see_layouts_with_bounds(page)
    search_for_better(page, scripts=scripts)
    buy_by_layouts(page)
    paste_the_yard(page, shop)
    marks = cut_the_ash(page, shop)
    next_job_uses(page, shop, marks)
    assert not page.faults  # type: ignore[attr-defined]
    page.context.close()


def open_job(page: Page, shop: Server, name: str) -> None:
    page.goto(shop.address)
    follow(page.get_by_role("link", name=name).first)
    go(page, "Boards")


def go(page: Page, name: str) -> None:
    follow(page.get_by_role("navigation", name="This job").get_by_role("link", name=name, exact=True))
    expect(page.get_by_role("heading", level=1)).to_be_visible()


def material(page: Page, title: str) -> Locator:
    return page.get_by_role("region", name=title, exact=True)


def see_layouts_with_bounds(page: Page) -> None:
    expect(page.get_by_role("heading", level=1)).to_have_text("Boards and sheets")
    ash = material(page, WOOD)
    expect(ash).to_contain_text(re.compile("No layout (buys less|needs fewer) than|This layout buys"))
    expect(ash.get_by_role("img", name=re.compile(r"^No\. 1")).first).to_be_visible()
    words = ash.get_by_text("In words").first
    words.click()
    expect(ash).to_contain_text(re.compile(r"Cut 1: (rip|crosscut) .* from the (near edge|left end)"))


def search_for_better(page: Page, *, scripts: bool) -> None:
    """Start the search and see it end: by itself with scripts, by looking again without."""
    search = page.get_by_role("region", name="Better layouts")
    follow(search.get_by_role("button", name="Look for better layouts"))
    again = search.get_by_role("link", name="Look again")
    for _ in range(0 if scripts else LONG_ENOUGH // 1000):
        if not again.count():
            break
        page.wait_for_timeout(1000)
        follow(again)
    expect(search).to_contain_text("Nothing left to look for", timeout=LONG_ENOUGH)
    expect(search.get_by_role("progressbar")).to_have_count(0)


def buy_by_layouts(page: Page) -> None:
    """Go to the factor and back; the order then asks for the sizes of the layout."""
    follow(page.get_by_role("button", name="Back to the factor"))
    expect(page.get_by_role("region", name="How this job buys")).to_contain_text("added to net")
    follow(page.get_by_role("button", name="Buy by these layouts"))
    expect(page.get_by_role("region", name="How this job buys")).to_contain_text("as laid out")


def paste_the_yard(page: Page, shop: Server) -> None:
    page.goto(f"{shop.address}/rack/paste")
    page.get_by_label("List of boards").fill(BOARDS)
    page.get_by_label("Where it is").select_option("at the yard")
    page.get_by_label("Supplier").fill("Test yard")
    follow(page.get_by_role("button", name="Look at it first"))
    follow(page.get_by_role("button", name=re.compile("60")))
    expect(page.get_by_role("main")).to_contain_text("T60")


def cut_the_ash(page: Page, shop: Server) -> list[str]:
    """See pasted boards used one by one, ordered by mark, brought here and cut; return the marks of the offcuts."""
    open_job(page, shop, JOB)
    ash = material(page, WOOD)
    used = ash.get_by_role("row", name=re.compile(r"^T\d+, "))
    expect(used.first).to_contain_text("at the yard, Test yard")
    boards = [row.get_by_role("rowheader").inner_text().partition(",")[0] for row in used.all()]
    go(page, "Order")
    for mark in boards:
        expect(page.get_by_role("main")).to_contain_text(f"{mark}, ")
    go(page, "Boards")
    follow(material(page, WOOD).get_by_role("button", name=re.compile("They are here")))
    expect(material(page, WOOD)).to_contain_text("on the rack, set aside")
    follow(material(page, WOOD).get_by_role("link", name=re.compile("These are cut")))
    kept = page.get_by_role("checkbox", name=re.compile("^Keep the offcut"))
    many = kept.count()
    assert many > 0
    follow(page.get_by_role("button", name="They are cut"))
    expect(material(page, WOOD)).to_contain_text("All of it is cut")
    expect(page.get_by_role("status")).to_contain_text("put on the rack")
    page.goto(f"{shop.address}/rack?words={JOB}")
    expect(page.get_by_role("main")).to_contain_text("left of T")
    return re.findall(r"\bR\d+\b", page.get_by_role("main").inner_text())


def next_job_uses(page: Page, shop: Server, marks: list[str]) -> None:
    page.goto(f"{shop.address}/jobs/new")
    page.get_by_label("Job", exact=True).fill("Next one")
    page.get_by_label("Client", exact=True).fill("Test Client")
    follow(page.get_by_role("button", name="Save"))
    go(page, "Pieces")
    another = page.get_by_role("link", name="Add a piece")
    follow(another.or_(page.get_by_role("link", name=re.compile("first piece"))).first)
    follow(page.get_by_role("link", name=re.compile("^Part list")))
    page.get_by_label("Name", exact=True).fill("Cleats")
    page.get_by_label("Parts").fill("Cleat, 1, 3/4, 1 1/2, 10, White ash")
    follow(page.get_by_role("button", name="Save"))
    go(page, "Boards")
    taken = material(page, WOOD).get_by_role("row", name=re.compile("an offcut"))
    expect(taken).to_have_count(1)
    assert taken.get_by_role("rowheader").inner_text().partition(",")[0] in marks
    expect(material(page, WOOD)).to_contain_text("All of it comes from what the shop has")
