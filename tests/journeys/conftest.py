"""Debian's Chromium, driven by Playwright; pages in the sizes people use."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Request, expect, sync_playwright

from demo_file import filled_today
from server import Server, serving

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
DESK = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}
PATIENCE = 30_000
"""Milliseconds until something that is awaited counts as not coming, on a busy machine."""

expect.set_options(timeout=PATIENCE)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Without a browser its tests are skipped, and fail where a browser is promised."""
    for item in items:
        if "journeys" in Path(item.fspath).parts:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if CHROMIUM is None:
        if os.environ.get("CI") == "true":
            pytest.fail("Chromium is not installed, and CI promises it")
        pytest.skip("Chromium is not installed: apt install chromium")
    with sync_playwright() as playwright:
        quiet = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=[*quiet, "--disable-sync", "--no-first-run"], timeout=4 * PATIENCE
        )
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The demo shop, served for all tests that only look."""
    with serving(filled_today(tmp_path_factory.mktemp("demo")), "--demo", ready=True) as server:
        yield server


@pytest.fixture
def empty_shop(tmp_path: Path) -> Iterator[Server]:
    with serving(tmp_path, ready=True) as server:
        yield server


def open_page(browser: Browser, **options: Any) -> Page:
    """Return a page in a context of its own that fails the test on a script error or a policy violation."""
    context = browser.new_context(viewport=options.pop("viewport", DESK), **options)
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    under_way: list[Request] = []
    page.on("request", lambda request: under_way.append(request))
    for ended in ("requestfinished", "requestfailed"):
        page.on(ended, lambda request: under_way.remove(request) if request in under_way else None)
    page.under_way = under_way  # type: ignore[attr-defined]
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda said: faults.append(said.text) if "Content Security Policy" in said.text else None)
    page.faults = faults  # type: ignore[attr-defined]
    return page
