"""The finish page: coats with what each takes, faces by piece, whole cans and what is left."""

from fastapi.testclient import TestClient

from builders import a_piece, a_top
from conftest import page_of
from domain.pieces.piece import Piece, PlacedPiece
from priced_job import AT, a_job, a_priced_job, store_of
from webapp.store.piece import add_piece


def add(client: TestClient, job_id: int, name: str, piece: Piece) -> None:
    with store_of(client).write("Piece added", at=AT, job_id=job_id) as db:
        add_piece(db, job_id, PlacedPiece(0, name, 1, piece))


def test_coats_faces_and_cans_of_a_job_stand_together(client: TestClient) -> None:
    # Source: finishes.csv, waterborne polyurethane, from memory: next coat not before 4 h, without scuffing until 12 h,
    # full cure 21 days at the longest
    page = page_of(client.get(f"/jobs/{a_priced_job(client)}/finish"))
    text = page.css_first("main").text()
    assert page.css_first(".card h2").text() == "Waterborne polyurethane"
    assert [row.css_first("th").text().strip() for row in page.css(".card table")[0].css("tbody tr")] == [
        "First", "Second", "Third",
    ]  # fmt: skip
    second = page.css(".card table")[0].css("tbody tr")[1].text()
    assert "4 h after" in second
    assert "12 h after" in second
    assert "21 days" in text
    assert "1 × top face; 1 × underside" in text
    assert "quart can" in text


def test_every_figure_of_the_page_opens(client: TestClient) -> None:
    job_id = a_priced_job(client)
    links = [link.attributes["href"] for link in page_of(client.get(f"/jobs/{job_id}/finish")).css("a.figure")]
    assert len(links) > 12
    for link in links:
        assert client.get(link).status_code == 200, link


def test_the_colour_goes_on_first_and_the_first_coat_waits_for_it(client: TestClient) -> None:
    # Source: finishes.csv and how-to pages: an oil stain dries up to 72 h under a waterborne finish
    job_id = a_job(client)
    add(client, job_id, "Island", a_top(colour="Oil stain"))
    card = next(card for card in page_of(client.get(f"/jobs/{job_id}/finish")).css(".card") if "stain" in card.text())
    rows = [row.text(separator=" ").strip() for row in card.css_first("table").css("tbody tr")]
    assert rows[0].startswith("Colour")
    assert rows[1].startswith("First")
    assert "72 h" in rows[1]


def test_a_finish_without_a_price_is_named_with_the_way_out(client: TestClient) -> None:
    page = page_of(client.get(f"/jobs/{a_job(client)}/finish"))
    assert any("No price for Waterborne polyurethane" in warning.text() for warning in page.css(".warning"))


def test_a_top_coated_on_one_face_is_warned_about(client: TestClient) -> None:
    job_id = a_job(client)
    add(client, job_id, "Island", a_top(finish_underside=False))
    warnings = [warning.text() for warning in page_of(client.get(f"/jobs/{job_id}/finish")).css(".warning")]
    assert any(words.startswith("Island: top is coated on one face only") for words in warnings)


def test_a_job_left_raw_says_what_would_stand_here(client: TestClient) -> None:
    typed = {"name": "Raw", "client_name": "A. Invented"}
    job_id = int(client.post("/jobs/new", data=typed).headers["location"].split("/")[2].partition("?")[0])
    add(client, job_id, "Raw shelf", a_piece("shelf", finish="none"))
    assert page_of(client.get(f"/jobs/{job_id}/finish")).css_first(".empty h2").text() == "Nothing gets a finish"
    assert client.get("/jobs/999/finish").status_code == 404
