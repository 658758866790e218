"""Drawings as a screen reader, a phone and a printer get them."""

from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from journeys.conftest import DESK, PHONE, open_page
from journeys.fit import SIDEWAYS, serious_findings
from server import Server

PAGE = "/jobs/2/drawings"
SMALLEST_TEXT = """() => Math.min(...[...document.querySelectorAll('figure.drawing svg')]
    .filter(svg => svg.getBoundingClientRect().width)
    .flatMap(svg => [...svg.querySelectorAll('text')].map(text => {
        const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
        return parseFloat(getComputedStyle(text).fontSize) * scale;
    })))"""
OVERLAPS = """() => [...document.querySelectorAll('figure.drawing svg')]
    .filter(svg => svg.getBoundingClientRect().width)
    .flatMap(svg => {
        const texts = [...svg.querySelectorAll('text')].map(text => [text.textContent, text.getBoundingClientRect()]);
        return texts.flatMap(([words, a], place) => texts.slice(place + 1)
            .filter(([, b]) => a.left + 2 < b.right && b.left + 2 < a.right)
            .filter(([, b]) => a.top + 3 < b.bottom && b.top + 3 < a.bottom)
            .map(([other]) => `${svg.querySelector('title').textContent}: ${words} / ${other}`));
    })"""
OUTSIDE = """() => [...document.querySelectorAll('figure.drawing svg')]
    .filter(svg => svg.getBoundingClientRect().width)
    .flatMap(svg => {
        const sheet = svg.getBoundingClientRect();
        return [...svg.querySelectorAll('text')].filter(text => {
            const box = text.getBoundingClientRect();
            return box.left < sheet.left - 1 || box.right > sheet.right + 1
                || box.top < sheet.top - 1 || box.bottom > sheet.bottom + 1;
        }).map(text => `${svg.querySelector('title').textContent}: ${text.textContent}`);
    })"""


def images(page: Page) -> list[dict[str, Any]]:
    """Return what a screen reader finds of the drawings: their names and descriptions."""
    session = page.context.new_cdp_session(page)
    session.send("Accessibility.enable")
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    return [
        {"name": node["name"]["value"], "description": node.get("description", {}).get("value", "")}
        for node in nodes
        if not node["ignored"] and node["role"]["value"] == "image"
    ]


@pytest.mark.parametrize("viewport", [DESK, PHONE], ids=["desk", "phone"])
def test_a_screen_reader_gets_each_drawing_once_with_its_words(
    browser: Browser, demo: Server, viewport: dict[str, int]
) -> None:
    page = open_page(browser, viewport=viewport)
    page.goto(demo.address + PAGE)
    found = images(page)
    assert [one["name"] for one in found[:2]] == ["Long top from above", "Long top, front edge, section"]
    assert len({one["name"] for one in found}) == len(found) == page.locator("figure.drawing").count()
    assert found[0]["description"].startswith("108 in long, 25 1/2 in deep and 1 1/2 in thick")
    assert all(one["description"].endswith(".") for one in found)
    words = page.locator("figure.drawing details").first
    assert not words.locator("li").first.is_visible()
    words.locator("summary").focus()
    page.keyboard.press("Enter")
    expect(words.locator("li").first).to_be_visible()
    said = words.locator("li").all_inner_texts()
    assert said[2:4] == ["Board A1: about 5 5/16 in wide, at the back.", "Board A2: about 5 5/16 in wide."]
    assert words.locator("summary").get_attribute("aria-label") == "In words: Long top from above"
    assert page.faults == []  # type: ignore[attr-defined]
    page.context.close()


@pytest.mark.parametrize(
    ("viewport", "scheme"), [(DESK, "light"), (DESK, "dark"), (PHONE, "light"), (PHONE, "dark")],
    ids=["desk by day", "desk by night", "phone by day", "phone by night"],
)  # fmt: skip
def test_drawings_are_read_without_trouble(
    browser: Browser, demo: Server, viewport: dict[str, int], scheme: str
) -> None:
    page = open_page(browser, viewport=viewport, color_scheme=scheme)
    page.goto(demo.address + PAGE)
    assert serious_findings(page) == []
    assert page.evaluate(SIDEWAYS) <= 0
    assert page.evaluate(SMALLEST_TEXT) >= 11
    assert page.evaluate(OVERLAPS) == []
    assert page.evaluate(OUTSIDE) == []
    ink, paper = (
        page.locator("figure.drawing svg:visible .outline").first.evaluate("one => getComputedStyle(one).stroke"),
        page.locator("figure.drawing .drawing-box").first.evaluate("one => getComputedStyle(one).backgroundColor"),
    )
    assert contrast(ink, paper) >= 7
    page.context.close()


def contrast(one: str, other: str) -> float:
    """Return the contrast of two colours. Source: WCAG 2.2, relative luminance and contrast ratio."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    parts = [int(part) / 255 for part in colour.removeprefix("rgb(").removesuffix(")").split(", ")]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_paper_has_one_drawing_to_a_sheet_at_its_scale(browser: Browser, demo: Server) -> None:
    page = open_page(browser)
    page.goto(demo.address + PAGE + "/print")
    sheets = page.locator(".drawing-sheet").count()
    page.emulate_media(media="print")
    # Letter less its margins, 7.1 in at 96 to the inch: nothing is shrunk, so the scale on it is true.
    page.set_viewport_size({"width": 681, "height": 900})
    shown = page.locator(".drawing-sheet svg:visible")
    assert shown.count() == sheets
    for number in range(sheets):
        drawn = shown.nth(number)
        assert drawn.evaluate("one => one.getBoundingClientRect().width") == pytest.approx(
            float(drawn.get_attribute("width") or 0), abs=0.1
        )
    assert not page.locator(".screen-only").is_visible()
    pdf = page.pdf(prefer_css_page_size=True)
    assert pdf.count(b"/Type /Page\n") == sheets
    page.context.close()
