"""The hand-over note on screen and on paper."""

from fastapi.testclient import TestClient

from builders import a_top
from conftest import page_of
from domain.pieces.piece import PlacedPiece
from priced_job import AT, a_job, store_of
from webapp.demo import fill_when_empty
from webapp.store.piece import add_piece


def test_without_a_plan_the_note_gives_lengths_of_time(client: TestClient) -> None:
    page = page_of(client.get(f"/jobs/{a_job(client)}/hand-over"))
    text = page.css_first("main").text()
    assert "no date yet" in text
    assert "21 days from the last coat" in text
    assert "Nothing is planned yet" in page.css_first(".warning").text()


def test_every_length_of_time_opens(client: TestClient) -> None:
    links = page_of(client.get(f"/jobs/{a_job(client)}/hand-over")).css("a.figure")
    assert links
    for link in links:
        assert client.get(link.attributes["href"]).status_code == 200


def test_the_paper_has_the_shops_name_the_client_and_what_governs(client: TestClient) -> None:
    shop = {"name": "Invented Joinery", "zone": "America/Denver", "unit": "in", "precision": "16", "currency": "$",
            "paper": "letter", "hands": "1", "clamps": "0", "benches": "1", "version": "0"}  # fmt: skip
    client.post("/shop", data=shop)
    page = page_of(client.get(f"/jobs/{a_job(client)}/hand-over/print"))
    assert page.css_first(".shop-name").text() == "Invented Joinery"
    assert page.css_first("h1").text() == "Caring for your pantry"
    text = page.css_first("main").text()
    assert "For A. Invented" in text
    assert "product that was used govern" in text
    assert page.css("a.figure") == []


def test_an_oil_brings_the_caution_about_rags(client: TestClient) -> None:
    job_id = a_job(client)
    with store_of(client).write("Piece added", at=AT, job_id=job_id) as db:
        add_piece(db, job_id, PlacedPiece(0, "Island", 1, a_top(finish="Hardwax oil", coats=2, species="Black cherry")))
    text = page_of(client.get(f"/jobs/{job_id}/hand-over/print")).css_first("main").text()
    assert "spread used rags flat outdoors" in text
    assert "Darkens strongly in the first months of light." in text
    assert "Island: across the grain, in the damp season it grows about 3/16" in text.replace("\N{NO-BREAK SPACE}", " ")


def test_a_job_without_pieces_has_nothing_to_hand_over(client: TestClient) -> None:
    typed = {"name": "Empty", "client_name": "A. Invented"}
    job_id = int(client.post("/jobs/new", data=typed).headers["location"].split("/")[2].partition("?")[0])
    page = page_of(client.get(f"/jobs/{job_id}/hand-over"))
    assert page.css_first(".empty h2").text() == "Nothing to hand over yet"
    assert client.get(f"/jobs/{job_id}/hand-over/print").status_code == 200
    assert client.get("/jobs/999/hand-over").status_code == 404


def test_dates_follow_the_plan_and_say_so(client: TestClient) -> None:
    fill_when_empty(store_of(client), at=AT)
    page = page_of(client.get("/jobs/2/hand-over"))
    assert ", as planned" in page.css_first(".dates").text()
    assert "may still move" in page.css_first(".warning").text()
    assert "stood so on" in page_of(client.get("/jobs/2/hand-over/print")).css_first("main").text()
