"""Two browsers: the desk on this machine, a phone that comes by the machine's address in its network.

On a machine in no network the phone's part cannot be played in a browser. Then it is checked here that the app refuses
to start for phones, and that its guard goes by the address a request comes from, as tests/webapp/test_device.py does.
"""

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Page, expect

from conftest import DESK
from demo_file import filled_today
from journeys.conftest import PHONE, open_page
from journeys.fit import SIDEWAYS, TAPPED, TOO_SMALL, serious_findings
from journeys.press import follow
from server import CHECKOUT, Server, serving
from webapp.app import create_app
from webapp.lan import own_addresses
from webapp.settings import Settings


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Server | None]:
    """The demo, also in the network this machine is in; None when it is in none."""
    if not own_addresses():
        command = [sys.executable, "-m", "webapp", "--lan", "--port", "0", "--data", str(tmp_path)]
        assert subprocess.run(command, cwd=CHECKOUT, capture_output=True).returncode == 1
        app = create_app(Settings(folder=tmp_path, lan=("192.168.1.20",)))
        with TestClient(app, base_url="http://127.0.0.1", client=DESK) as desk:
            assert desk.get("/today").status_code == 200
            phone = TestClient(app, base_url="http://192.168.1.20", client=("192.168.1.31", 40_000))
            assert phone.get("/today").status_code == 403
        yield None
        return
    with serving(filled_today(tmp_path), "--demo", "--lan", ready=True) as server:
        yield server


def a_phone(browser: Browser) -> Page:
    return open_page(browser, viewport=PHONE, color_scheme="dark", is_mobile=True, has_touch=True)


def faults_of(page: Page) -> list[str]:
    """Return what is unfit about the page as it stands on a phone."""
    faults = [*serious_findings(page), *page.evaluate(TOO_SMALL, TAPPED)]
    if page.evaluate(SIDEWAYS) > 0:
        faults.append("wider than the screen")
    return faults


def test_a_phone_is_let_in_works_is_forgotten_and_loses_nothing_it_typed(browser: Browser, shop: Server | None) -> None:
    if shop is None:
        return
    port = shop.address.rpartition(":")[2]
    at_lan = f"http://{own_addresses()[0]}:{port}"
    desk, phone = open_page(browser), a_phone(browser)

    phone.goto(f"{at_lan}/jobs/new")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Let this phone in")
    assert faults_of(phone) == []

    desk.goto(f"{shop.address}/shop/devices")
    follow(desk.get_by_role("button", name="Let a phone in"))
    assert serious_findings(desk) == []
    expect(desk.get_by_role("img", name=f"QR code that opens {at_lan} on a phone")).to_be_visible()
    code = desk.locator("#code").inner_text()
    assert re.fullmatch(r"\d{4} \d{4}", code)

    phone.get_by_label("Code at the desk").fill("12 34")
    follow(phone.get_by_role("button", name="Let this phone in"))
    expect(phone.locator("#code-problem")).to_contain_text("8 digits")
    phone.get_by_label("Code at the desk").fill(code)
    phone.get_by_label("Name of this phone").fill("Bench")
    follow(phone.get_by_role("button", name="Let this phone in"))
    expect(phone).to_have_url(f"{at_lan}/jobs/new")
    expect(desk.locator("#waiting")).to_contain_text("“Bench” is let in")
    assert phone.evaluate("document.cookie") == ""
    assert phone.evaluate("window.isSecureContext") is False

    phone.goto(f"{at_lan}/phone")
    assert faults_of(phone) == []
    follow(phone.get_by_role("link", name="Open Today"))
    expect(phone.get_by_role("heading", level=1)).to_have_text("Today")
    phone.goto(f"{at_lan}/backups")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Only at the desk")

    phone.goto(f"{at_lan}/jobs/new")
    phone.get_by_label("Job", exact=True).fill("Larder, typed at the bench")
    phone.get_by_label("Client", exact=True).fill("A. Invented")
    desk.goto(f"{shop.address}/shop/devices")
    follow(desk.get_by_role("button", name="Forget it: Bench"))
    expect(desk.get_by_role("button", name="Let it in again: Bench")).to_be_visible()
    assert serious_findings(desk) == []
    follow(phone.get_by_role("button", name="Save"))
    expect(phone.get_by_role("heading", level=1)).to_have_text("Let this phone in")

    follow(desk.get_by_role("button", name="Let a phone in"))
    phone.get_by_label("Code at the desk").fill(desk.locator("#code").inner_text())
    follow(phone.get_by_role("button", name="Let this phone in"))
    expect(phone.get_by_role("heading", level=1)).to_have_text("This phone is let in")
    assert faults_of(phone) == []
    follow(phone.get_by_role("button", name="Save it now"))
    expect(phone.get_by_role("heading", level=1)).to_contain_text("Larder, typed at the bench")

    phone.goto(f"{at_lan}/today")
    desk.goto(f"{shop.address}/shop/devices")
    follow(desk.get_by_role("button", name="Forget it: Phone"))
    phone.locator("form[hx-post] button").last.click()
    expect(phone.locator("#done")).to_contain_text("Not saved: this phone is not known here any more")
    expect(phone.locator("#done")).to_be_in_viewport()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Today")
    assert desk.faults == phone.faults == []  # type: ignore[attr-defined]
    phone.context.close()
    desk.context.close()


def test_the_square_is_read_on_paper_too(browser: Browser, shop: Server | None) -> None:
    if shop is None:
        return
    page = open_page(browser, color_scheme="dark")
    page.goto(f"{shop.address}/shop/devices")
    follow(page.get_by_role("button", name="Let a phone in"))
    page.emulate_media(media="print")
    expect(page.locator(".qr .light")).to_have_css("fill", "rgb(255, 255, 255)")
    expect(page.locator(".qr .dark")).to_have_css("fill", "rgb(0, 0, 0)")
    expect(page.locator("#code")).to_be_visible()
    expect(page.get_by_role("heading", name="Phones that are let in")).to_be_hidden()
    page.context.close()
