"""Every page that the demo's links reach is fit to use at the desk by day (test_every_page_on_a_phone.py: by night)."""

import re

from playwright.sync_api import Browser

from journeys.conftest import DESK
from journeys.fit import walked
from server import Server

KINDS = {
    "/", "/today", "/jobs", "/jobs/measure", "/jobs/pieces", "/jobs/take-off", "/jobs/price", "/jobs/quotes",
    "/jobs/plan", "/jobs/order", "/orders", "/prices", "/shop", "/shop/practice", "/history", "/backups", "/help",
}  # fmt: skip


def test_every_page_is_fit_to_use_and_the_walk_reaches_every_kind(browser: Browser, demo: Server) -> None:
    paths, faults = walked(browser, demo, DESK, "light")
    assert not faults, "\n".join(faults)
    assert not KINDS - {re.sub(r"/\d+", "", path) for path in paths}
