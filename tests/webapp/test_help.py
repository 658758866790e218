from pathlib import Path

from fastapi.testclient import TestClient

from conftest import page_of
from domain.caution import CAUTIONS


def test_every_caution_stands_in_full_with_its_source(client: TestClient) -> None:
    shown = page_of(client.get("/help")).css(".caution")
    assert len(shown) == len(CAUTIONS)
    for caution, card in zip(CAUTIONS, shown, strict=True):
        assert caution.title == card.css_first("h3").text()
        assert caution.words == card.css_first("p").text()
        assert caution.source in card.css_first(".soft").text()


def test_help_says_where_the_data_lies(client: TestClient, tmp_path: Path) -> None:
    code = [node.text() for node in page_of(client.get("/help")).css("code")]
    assert code == [str((tmp_path / "benchday.sqlite").resolve()), str((tmp_path / "backups").resolve())]


def test_every_place_that_help_names_is_on_its_page(client: TestClient) -> None:
    page = page_of(client.get("/help"))
    for anchor in page.css(".on-page a"):
        assert page.css_first(anchor.attributes["href"]) is not None
