"""Every page that the demo's links reach: no serious axe finding, nothing wider than the screen, big enough to tap."""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from urllib.parse import urljoin, urlsplit

import httpx
import pytest
from playwright.sync_api import Browser, Page
from selectolax.lexbor import LexborHTMLParser

from journeys.conftest import DESK, PHONE, open_page
from server import Server

AXE = (Path(__file__).parent.parent / "vendor" / "axe-4.14.1.min.js").read_text()

SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
TAPPED = "button, a.button, nav a, input:not([type=hidden]), select, summary.tap"
TOO_SMALL = """(tapped) => [...document.querySelectorAll(tapped)]
    .filter(one => one.offsetParent !== null)
    .map(one => {
        const label = one.labels && one.labels[0];
        const box = one.getBoundingClientRect();
        const words = label && one.type === 'checkbox' ? label.getBoundingClientRect().height : 0;
        const height = Math.max(box.height, words);
        return {height, what: one.outerHTML.slice(0, 120)};
    })
    .filter(one => one.height && one.height < 43.5)
    .map(one => one.height + ' px: ' + one.what)"""


@cache
def kinds_of_page(address: str) -> tuple[str, ...]:
    """Return one path per kind of page, found by following links from the start."""
    found: dict[str, str] = {}
    waiting = ["/"]
    with httpx.Client(base_url=address, follow_redirects=True, timeout=60) as client:
        while waiting:
            path = waiting.pop(0)
            kind = re.sub(r"=[^&]*", "=", re.sub(r"\d+", "N", re.sub(r"/working/.*", "/working", path)))
            if kind in found:
                continue
            reply = client.get(path)
            found[kind] = path if "text/html" in reply.headers["content-type"] else ""
            assert reply.status_code == 200, f"{path} answers {reply.status_code}"
            if found[kind]:
                waiting += [link for link in links_of(reply.text, path) if link not in waiting]
    return tuple(sorted(path for path in found.values() if path))


def links_of(html: str, path: str) -> Iterator[str]:
    for anchor in LexborHTMLParser(html).css("a[href]"):
        parts = urlsplit(urljoin(path, anchor.attributes["href"] or ""))
        if not parts.scheme and not parts.netloc:
            yield parts.path + (f"?{parts.query}" if parts.query else "")


def serious_findings(page: Page) -> list[str]:
    """Return what axe-core finds serious or critical on the page as it stands."""
    page.evaluate(AXE)
    result = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{finding['id']}: {node['html'][:150]}: {node['failureSummary'][:200]}"
        for finding in result["violations"]
        if finding["impact"] in ("serious", "critical")
        for node in finding["nodes"]
    ]


@pytest.mark.parametrize(
    ("viewport", "scheme"), [(DESK, "light"), (PHONE, "dark")], ids=["desk by day", "phone by night"]
)
def test_every_page_is_fit_to_use(browser: Browser, demo: Server, viewport: dict[str, int], scheme: str) -> None:
    page = open_page(browser, viewport=viewport, color_scheme=scheme)
    faults = []
    for path in kinds_of_page(demo.address):
        page.goto(demo.address + path)
        faults += [f"{path}: {finding}" for finding in serious_findings(page)]
        if (wider := page.evaluate(SIDEWAYS)) > 0:
            faults.append(f"{path}: {wider} px wider than the screen")
        if viewport == PHONE:
            faults += [f"{path}: {small}" for small in page.evaluate(TOO_SMALL, TAPPED)]
        if page.locator("h1").count() != 1:
            faults.append(f"{path}: {page.locator('h1').count()} first-level headings")
    faults += page.faults  # type: ignore[attr-defined]
    page.context.close()
    assert not faults, "\n".join(faults)


def test_the_walk_reaches_every_kind_of_page(demo: Server) -> None:
    ends = {re.sub(r"/\d+", "", path) for path in kinds_of_page(demo.address)}
    expected = {
        "/", "/today", "/jobs", "/jobs/measure", "/jobs/pieces", "/jobs/take-off", "/jobs/price", "/jobs/quotes",
        "/jobs/plan", "/jobs/order", "/orders", "/prices", "/shop", "/shop/practice", "/history", "/backups", "/help",
    }  # fmt: skip
    assert not expected - ends
