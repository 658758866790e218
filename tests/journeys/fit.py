"""What makes a page fit to use: no serious axe finding, nothing wider than the screen, big enough to tap."""

import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urljoin, urlsplit

from playwright.sync_api import Browser, Error, Page
from selectolax.lexbor import LexborHTMLParser

from journeys.conftest import PHONE, open_page
from server import Server

AXE = (Path(__file__).parent.parent / "vendor" / "axe-4.14.1.min.js").read_text()

SERIOUS = """async () => {
    const slight = axe._audit.rules.filter(rule => ['minor', 'moderate'].includes(rule.impact));
    const rules = Object.fromEntries(slight.map(rule => [rule.id, {enabled: false}]));
    const found = await axe.run(document, {resultTypes: ['violations'], rules, preload: false});
    return found.violations.filter(one => ['serious', 'critical'].includes(one.impact));
}"""
"""A rule has one impact for all its findings: those of minor and moderate ones are not looked for, which halves the
time. Nothing is preloaded, as no page plays a film."""

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


def serious_findings(page: Page) -> list[str]:
    """Return what axe-core finds serious or critical on the page as it stands."""
    page.evaluate(AXE)
    return [
        f"{finding['id']}: {node['html'][:150]}: {node['failureSummary'][:200]}"
        for finding in page.evaluate(SERIOUS)
        for node in finding["nodes"]
    ]


def walked(browser: Browser, server: Server, viewport: dict[str, int], scheme: str) -> tuple[set[str], list[str]]:
    """Open one page of each kind that links from the start reach; return their paths and all that is unfit."""
    page = open_page(browser, viewport=viewport, color_scheme=scheme)
    known, paths, faults = set(), set(), []
    waiting = ["/"]
    while waiting:
        path = waiting.pop(0)
        if (kind := kind_of(path)) in known:
            continue
        known.add(kind)
        if (html := opened(page, server.address + path)) is None:
            continue
        paths.add(path)
        faults += [f"{path}: {fault}" for fault in faults_of(page, tapped=viewport == PHONE)]
        waiting += [link for link in links_of(html, path) if link not in waiting]
    faults += page.faults  # type: ignore[attr-defined]
    page.context.close()
    return paths, faults


def kind_of(path: str) -> str:
    """Return a path without what tells one page of its kind from another."""
    return re.sub(r"=[^&]*", "=", re.sub(r"\d+", "N", re.sub(r"/working/.*", "/working", path)))


def opened(page: Page, address: str) -> str | None:
    """Go to an address and return its HTML as it was sent; None for a file that is no page."""
    try:
        reply = page.goto(address)
    except Error as error:
        if "Download is starting" in error.message:
            return None
        raise
    assert reply is not None
    assert reply.status == 200, f"{address} answers {reply.status}"
    return reply.text() if "text/html" in reply.headers["content-type"] else None


def links_of(html: str, path: str) -> Iterator[str]:
    for anchor in LexborHTMLParser(html).css("a[href]"):
        parts = urlsplit(urljoin(path, anchor.attributes["href"] or ""))
        if not parts.scheme and not parts.netloc:
            yield parts.path + (f"?{parts.query}" if parts.query else "")


def faults_of(page: Page, *, tapped: bool) -> Iterator[str]:
    """Yield what is unfit about the page as it stands. tapped: by fingers."""
    yield from serious_findings(page)
    if (wider := page.evaluate(SIDEWAYS)) > 0:
        yield f"{wider} px wider than the screen"
    if tapped:
        yield from page.evaluate(TOO_SMALL, TAPPED)
    if (headings := page.locator("h1").count()) != 1:
        yield f"{headings} first-level headings"
