from dataclasses import replace
from fractions import Fraction

import pytest
from fastapi.testclient import TestClient

from conftest import page_of
from domain.adhesive import adhesive_families
from domain.finish import colour_families, finish_families
from domain.length import Length
from domain.lumber import grade_names
from domain.wood import Cut, species, species_names
from webapp.forms.moisture import Air, Question
from webapp.links import link
from webapp.routes.moisture import moisture_page

AIR = {"scale": "F", "temperature": "70", "humidity": "50"}


@pytest.mark.parametrize("page", ["", "/species", "/adhesives", "/finishes", "/grades", "/moisture"])
def test_every_page_of_the_handbook_opens(client: TestClient, page: str) -> None:
    assert client.get(f"/handbook{page}").status_code == 200


def test_every_wood_has_the_place_its_figures_link_to(client: TestClient) -> None:
    page = page_of(client.get("/handbook/species"))
    for name in species_names():
        row = page.css_first("#" + link(species(name).where).split("#")[1])
        assert row is not None, name
        mark = row.css_first("td[data-label='How sure'] a").attributes["href"]
        assert page.css_first(mark) is not None


def test_a_row_shows_what_the_table_says(client: TestClient) -> None:
    # Source: Wood Handbook (FPL-GTR-190, 2010), Tables 5-3b and 13-5: white oak SG 0.68, 1360 lbf, CT 0.00365;
    # 12 in × 0.00365 × (10.9 − 6.2) = 0.206 in between the usual seasons
    row = page_of(client.get("/handbook/species")).css_first("#white-oak")
    assert [cell.text(strip=True) for cell in row.css("td.number")][:3] == ["0.68 SG", "1,360 lbf", "0.206 in"]
    working = client.get(row.css("a.figure")[1].attributes["href"])
    assert "0.00365" in working.text
    assert "Table 13-5" in working.text


def test_woods_are_put_in_order_with_the_unknown_last(client: TestClient) -> None:
    page = page_of(client.get("/handbook/species", params={"sort": "hardness"}))
    shown = [cell.text(strip=True) for cell in page.css("td[data-label=Hardness]")]
    known = [int(text.removesuffix(" lbf").replace(",", "")) for text in shown if text != "not known"]
    assert known == sorted(known)
    assert shown[-1] == "not known"


def test_glues_finishes_and_grades_are_all_there_and_labels_govern(client: TestClient) -> None:
    glues, finishes = client.get("/handbook/adhesives"), client.get("/handbook/finishes")
    assert [card.css_first("h2").text() for card in page_of(glues).css(".family")] == list(adhesive_families())
    found = [card.css_first("h2").text() for card in page_of(finishes).css(".family")]
    assert found == [*finish_families(), *colour_families()]
    assert "govern" in glues.text
    assert "self-heat" in finishes.text
    assert [row.text() for row in page_of(client.get("/handbook/grades")).css("tr[id] th")] == list(grade_names())


def test_a_family_leads_to_where_its_label_is_typed(client: TestClient) -> None:
    practice = page_of(client.get("/shop/practice"))
    for page in ("adhesives", "finishes"):
        for card in page_of(client.get(f"/handbook/{page}")).css(".family"):
            address = card.css("a")[-1].attributes["href"]
            assert practice.css_first("#" + address.split("#")[1]) is not None, address


def test_wood_settles_where_the_handbook_table_says(client: TestClient) -> None:
    # Source: Wood Handbook (2010), Table 4-2: 70 °F and 50 % is 9.2 %
    page = page_of(client.get("/handbook/moisture", params=AIR))
    assert page.css_first(".working-value").text() == "9.25 % MC"
    assert "9.24 % MC" in client.get("/handbook/moisture", params=AIR | {"scale": "C", "temperature": "21.111"}).text


def test_a_width_moves_between_two_seasons(client: TestClient) -> None:
    asked = AIR | {
        "humidity": "30", "temperature_then": "70", "humidity_then": "65", "wood": "White oak", "cut": "flat-sawn",
        "width": "25 1/2",
    }  # fmt: skip
    page = page_of(client.get("/handbook/moisture", params=asked))
    # 25.5 in × 0.00365 × (11.964 − 6.172) % MC, both moistures by Eq. 4-5 as in Table 4-2
    assert page.css_first(".answer strong").text() == "It grows by 0.539 in"
    back = asked | {"humidity": "65", "humidity_then": "30"}
    assert "It shrinks by 0.539 in" in client.get("/handbook/moisture", params=back).text


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"temperature": "hot"}, "temperature", "is not a number"),
        ({"temperature": "300"}, "temperature", "from 30 to 210"),
        ({"humidity": "150"}, "humidity", "is not a share from 0 to 100 %"),
        ({"humidity_then": "40"}, "temperature_then", "is empty"),
        ({"wood": "Moon oak"}, "wood", "is not in the species table"),
        ({"width": "3", "temperature_then": "70", "humidity_then": "40"}, "wood", "Say which wood"),
        ({"cut": "sideways"}, "cut", "is not one of"),
        ({"width": "4 km"}, "width", "is not a size"),
    ],
)
def test_air_that_cannot_be_is_said_and_kept(client: TestClient, typed: dict[str, str], field: str, words: str) -> None:
    reply = client.get("/handbook/moisture", params=AIR | typed)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first(f"#{field}-problem").text()
    if field != "humidity":
        assert page.css_first("#humidity").attributes["value"] == "50"


def test_a_wood_whose_movement_nobody_knows_is_said_so() -> None:
    silent = replace(species("White oak"), tangential_coefficient=None, tangential_shrinkage=None)
    air = Air(Fraction(70), Fraction(1, 2))
    found = moisture_page(Question("F", air, air, silent, Cut.FLAT, Length.of(5)), "in")
    assert (found.unknown, found.change) == (True, None)
