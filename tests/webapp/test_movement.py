"""The movement page: each wide part of a job, its slots, its gap at the wall, and the cross-grain places."""

from fastapi.testclient import TestClient

from builders import a_piece, a_top
from conftest import page_of
from domain.pieces.built_up_edge import AcrossTop
from domain.pieces.piece import Piece, PlacedPiece
from priced_job import AT, store_of
from webapp.store.piece import add_piece


def a_job(client: TestClient) -> int:
    typed = {"name": "Pantry", "client_name": "A. Invented"}
    return int(client.post("/jobs/new", data=typed).headers["location"].split("/")[2].partition("?")[0])


def add(client: TestClient, job_id: int, name: str, piece: Piece) -> None:
    with store_of(client).write("Piece added", at=AT, job_id=job_id) as db:
        add_piece(db, job_id, PlacedPiece(0, name, 1, piece))


def test_a_top_shows_how_it_moves_and_what_to_do(client: TestClient) -> None:
    job_id = a_job(client)
    add(client, job_id, "Island", a_top(species="White oak", depth="25 1/2"))
    page = page_of(client.get(f"/jobs/{job_id}/movement"))
    text = page.css_first("main").text()
    assert "Built at 8 %: grows about 1/4 in till the damp season" in text.replace("\N{NO-BREAK SPACE}", " ")
    assert "Screw it fast along the front only." in text
    assert "at the back wall leave 5/16 in, not 1/8 in" in text.replace("\N{NO-BREAK SPACE}", " ")
    assert page.css_first(".chosen th").text().startswith("flat-sawn")


def test_every_figure_of_the_page_opens(client: TestClient) -> None:
    job_id = a_job(client)
    add(client, job_id, "Island", a_top(species="White oak"))
    add(client, job_id, "Pantry door", a_piece("door", made_of="solid wood", thickness="1/2"))
    links = [link.attributes["href"] for link in page_of(client.get(f"/jobs/{job_id}/movement")).css("a.figure")]
    assert len(links) > 15
    for link in links:
        assert client.get(link).status_code == 200, link


def test_cross_grain_places_stand_in_one_list(client: TestClient) -> None:
    job_id = a_job(client)
    add(client, job_id, "Island", a_top())
    across = AcrossTop.LONG_GRAIN.value
    add(client, job_id, "Its edge", a_piece("built_up_edge", end_grain_front=True, across=across))
    listed = [item.text() for item in page_of(client.get(f"/jobs/{job_id}/movement")).css("#across li")]
    assert any(words.startswith("Its edge: the front strip lies across the grain") for words in listed)
    assert any(words.startswith("Island moves") for words in listed)


def test_a_measured_wall_is_named_and_its_cover_looked_at(client: TestClient) -> None:
    job_id = a_job(client)
    add(client, job_id, "Island", a_top(species="White oak", length="107 3/4"))
    run = {"name": "North wall", "left": "wall", "right": "wall", "back": "108", "middle": "108", "front": "108",
           "depth_left": "25 1/2", "cover": "tile"}  # fmt: skip
    assert client.post(f"/jobs/{job_id}/measure/new", data=run).status_code == 303
    text = page_of(client.get(f"/jobs/{job_id}/movement")).css_first("main").text()
    assert "North wall" in text
    assert "the tile covers" in text


def test_a_shop_in_a_damper_place_sees_more_movement(client: TestClient) -> None:
    job_id = a_job(client)
    add(client, job_id, "Island", a_top(species="White oak"))
    before = client.get(f"/jobs/{job_id}/movement").text
    client.post("/shop/practice/damp_humidity", data={"damp_humidity": "75", "version": "0"})
    after = page_of(client.get(f"/jobs/{job_id}/movement")).css_first(".moving strong").text()
    assert after not in before


def test_a_job_without_wide_solid_parts_says_what_would_stand_here(client: TestClient) -> None:
    page = page_of(client.get(f"/jobs/{a_job(client)}/movement"))
    assert page.css_first(".empty h2").text() == "Nothing wide moves here"
    assert client.get("/jobs/999/movement").status_code == 404
