"""From how far a top moves to the note its client takes home, in a real browser."""

import pytest
from playwright.sync_api import Browser, expect

from journeys.conftest import DESK, PHONE, open_page
from journeys.fit import SIDEWAYS, serious_findings
from journeys.press import follow
from server import Server

MOVEMENT, FINISH, NOTE = "/jobs/2/movement", "/jobs/2/finish", "/jobs/2/hand-over"
WOODS = "/wood-choice?wood_1=White+oak&wood_2=Sassafras&wood_3=Teak&wood_4=Black+cherry&job=2"


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("path", [MOVEMENT, FINISH, NOTE, f"{NOTE}/print", WOODS])
def test_pages_of_movement_and_finish_are_sound_on_a_phone(
    browser: Browser, demo: Server, path: str, scheme: str
) -> None:
    page = open_page(browser, viewport=PHONE, color_scheme=scheme)
    page.goto(demo.address + path)
    assert page.locator("h1").count() == 1
    assert page.evaluate(SIDEWAYS) <= 0
    assert serious_findings(page) == []


def test_a_slot_opens_to_the_air_of_the_house(browser: Browser, demo: Server) -> None:
    page = open_page(browser, viewport=DESK)
    page.goto(demo.address + MOVEMENT)
    page.get_by_role("link", name="Wood in the house, driest season").click()
    expect(page.locator("#working")).to_contain_text("Eq. 4-5")
    expect(page.locator("#working")).to_contain_text("relative humidity")


def test_woods_are_put_side_by_side_without_a_script(browser: Browser, demo: Server) -> None:
    page = open_page(browser, viewport=DESK, java_script_enabled=False)
    page.goto(f"{demo.address}/wood-choice")
    page.get_by_label("Wood 1").select_option("White oak")
    page.get_by_label("Wood 2").select_option("Teak")
    follow(page.get_by_role("button", name="Put them side by side"))
    assert page.locator(".woods-beside thead th").all_inner_texts() == ["White oak", "Teak"]


def test_the_note_fits_two_sheets(browser: Browser, demo: Server) -> None:
    page = open_page(browser, viewport=DESK)
    page.goto(f"{demo.address}{NOTE}/print")
    paper = page.pdf(prefer_css_page_size=True)
    assert paper.count(b"/Type /Page\n") == 2
