"""The same walk on a phone by night, in a file of its own so that another worker of the tests can take it."""

import re

from playwright.sync_api import Browser

from journeys.conftest import PHONE
from journeys.fit import walked
from journeys.test_every_page import KINDS
from server import Server


def test_every_page_is_fit_to_use_on_a_phone_by_night(browser: Browser, demo: Server) -> None:
    paths, faults = walked(browser, demo, PHONE, "dark")
    assert not faults, "\n".join(faults)
    assert not KINDS - {re.sub(r"/\d+", "", path) for path in paths}
