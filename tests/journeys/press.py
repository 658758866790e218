"""Clicks that lead to another page, changes that are sent meanwhile, and paper.

A click is over before the page it leads to begins to come: what is read, printed or clicked next would still be of
the old one. An `expect` waits by itself; nothing else does.
"""

import subprocess
from pathlib import Path

from playwright.sync_api import Locator, Page

QUIET = 10
"""Looks in a row, 50 ms apart, that find nothing under way."""


def follow(what: Locator) -> None:
    """Click what leads to another page, with scripts and without, and wait until that is whole, its styles included."""
    with what.page.expect_navigation(wait_until="load"):
        what.click()


def at_rest(page: Page) -> None:
    """Wait until the page asks nothing of the server and has nothing in line. Raises AssertionError if it never is."""
    quiet = 0
    for _ in range(60 * QUIET):
        quiet = 0 if page.under_way or page.locator(".htmx-request").count() else quiet + 1  # type: ignore[attr-defined]
        if quiet == QUIET:
            return
        page.wait_for_timeout(50)
    raise AssertionError("the page never comes to rest")


def printed(page: Page, paper: Path) -> str:
    """Print the page as a browser does and return the text on the paper."""
    page.wait_for_load_state("load")
    page.pdf(path=paper, prefer_css_page_size=True, print_background=True)
    return subprocess.run(["pdftotext", "-layout", str(paper), "-"], capture_output=True, text=True, check=True).stdout
