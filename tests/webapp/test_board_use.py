"""What a job really took of its woods, recorded on its page, and the yield that follows."""

from fractions import Fraction

import pytest
from fastapi.testclient import TestClient

from conftest import NOW, page_of
from domain.board_use import BoardUse, suggested_yield
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.order import Order, OrderLine, Receipt
from domain.pieces.piece import PlacedPiece
from domain.pieces.top import Top
from domain.rack import RackPiece
from webapp.job_document import read
from webapp.store.board_use import load_board_uses
from webapp.store.database import Database
from webapp.store.order import add_order
from webapp.store.piece import add_piece
from webapp.store.rack import add_rack_pieces
from webapp.store.take_off import load_take_off

HTMX = {"HX-Request": "true"}


def database_of(client: TestClient) -> Database:
    database: Database = client.app.state.database  # type: ignore[attr-defined]
    return database


def add_a_job(client: TestClient, job_id: int) -> None:
    """Add a job with a usual top."""
    client.post("/jobs/new", data={"name": f"Pantry {job_id}", "client_name": "A. Invented"})
    with database_of(client).write("Piece", at=NOW, job_id=job_id) as db:
        add_piece(db, job_id, PlacedPiece(0, "Top", 1, Top()))


@pytest.fixture
def pantry(client: TestClient) -> TestClient:
    add_a_job(client, 1)
    return client


def wood_of(client: TestClient, job_id: int = 1) -> tuple[Material, Fraction]:
    """Return the wood of a job's top and its net [bf]."""
    with database_of(client).read() as db:
        line = next(line for line in load_take_off(db, job_id).lines if line.material.kind is MaterialKind.LUMBER)
    return line.material, line.net.value


def uses_of(client: TestClient) -> tuple[BoardUse, ...]:
    with database_of(client).read() as db:
        return load_board_uses(db)


def record(client: TestClient, used: str, job_id: int = 1, **more: str) -> int:
    posted = {"material": wood_of(client, job_id)[0].key, "used": used, "version": "1"} | more
    return client.post(f"/jobs/{job_id}/board-use", data=posted).status_code


def test_a_job_without_boards_says_where_to_start(client: TestClient) -> None:
    client.post("/jobs/new", data={"name": "Empty", "client_name": "A. Invented"})
    assert page_of(client.get("/jobs/1/board-use")).css_first(".empty a").attributes["href"] == "/jobs/1/pieces"
    assert client.get("/jobs/9/board-use").status_code == 404


def test_what_was_cut_up_is_recorded_with_the_net_of_that_moment(pantry: TestClient) -> None:
    wood, net = wood_of(pantry)
    assert record(pantry, "60", note="counted at the saw") == 303
    (use,) = uses_of(pantry)
    assert (use.job_id, use.job, use.material, use.net) == (1, "Pantry 1", wood, net)
    assert (use.used, use.note) == (60, "counted at the saw")
    page = page_of(pantry.get("/jobs/1/board-use"))
    assert "a single job says little of the next" in page.css_first("dl").text()
    assert page.css_first("[name=used]").attributes["value"] == "60"
    assert "cut up: 60 bf" in pantry.get("/history").text


def test_the_pieces_changing_afterwards_is_said(pantry: TestClient) -> None:
    record(pantry, "60")
    with database_of(pantry).write("Piece", at=NOW, job_id=1) as db:
        add_piece(db, 1, PlacedPiece(0, "Other top", 1, Top()))
    assert "The pieces have changed" in page_of(pantry.get("/jobs/1/board-use")).css_first(".warning").text()
    assert record(pantry, "130") == 303
    (use,) = uses_of(pantry)
    assert use.net == wood_of(pantry)[1]


def test_a_use_below_the_net_of_the_parts_leaves_in_a_document_and_comes_back(pantry: TestClient) -> None:
    used = wood_of(pantry)[1] * 3 / 4
    assert record(pantry, str(used)) == 303
    document, problems = read(pantry.get("/jobs/1/job.json").text)
    assert problems == []
    assert document is not None
    assert [use.used for use in document.board_uses] == [used]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("", "Board feet cut up is empty"),
        ("-5", "out of range"),
        ("lots", "is not a number"),
        ("1", "less than half of what is in the parts"),
        ("9999999", "out of range"),
        ("<b>", "is not a number"),
    ],
)
def test_what_cannot_have_been_cut_up_is_said_and_kept(pantry: TestClient, typed: str, words: str) -> None:
    posted = {"material": wood_of(pantry)[0].key, "used": typed, "note": "kept"}
    reply = pantry.post("/jobs/1/board-use", data=posted)
    assert reply.status_code == 422
    page = page_of(reply)
    assert words in page.css_first("#used-problem").text()
    assert page.css_first("#used").attributes["value"] == typed
    assert page.css_first("#note").attributes["value"] == "kept"
    assert uses_of(pantry) == ()


def test_a_wood_that_is_not_in_the_job_is_not_found(pantry: TestClient) -> None:
    for action in ("board-use", "board-use/remove"):
        assert pantry.post(f"/jobs/1/{action}", data={"material": "lumber|x|8/4|FAS", "used": "9"}).status_code == 404
    assert pantry.post("/jobs/1/board-use/remove", data={"material": wood_of(pantry)[0].key}).status_code == 404


def test_the_second_of_two_tabs_is_told(pantry: TestClient) -> None:
    record(pantry, "60")
    assert record(pantry, "62") == 303
    assert record(pantry, "64") == 409
    assert record(pantry, "64", version="2") == 303
    assert [use.used for use in uses_of(pantry)] == [64]


def test_what_was_recorded_is_forgotten_and_comes_back_by_undo(pantry: TestClient) -> None:
    record(pantry, "60")
    pantry.post("/jobs/1/board-use/remove", data={"material": wood_of(pantry)[0].key})
    assert uses_of(pantry) == ()
    undo = page_of(pantry.get("/history")).css_first("form").attributes["action"]
    pantry.post(undo, data={"back": "/jobs/1/board-use"})
    assert len(uses_of(pantry)) == 1


def test_three_jobs_suggest_the_yield_of_all_they_cut(client: TestClient) -> None:
    for job_id, used in enumerate((60, 80, 100), start=1):
        add_a_job(client, job_id)
        assert record(client, str(used), job_id) == 303
    wood, net = wood_of(client)
    share = suggested_yield(uses_of(client), wood)
    assert share is not None
    assert share.value == 3 * net / (60 + 80 + 100)
    said = page_of(client.get("/jobs/2/board-use")).css_first("dl").text()
    assert "from 3 jobs, which gave" in said
    assert "says little" not in said
    client.post("/jobs/3/remove")
    assert "from 2 jobs" in page_of(client.get("/jobs/2/board-use")).css_first("dl").text()


def test_every_figure_opens_and_the_yield_leads_to_its_jobs(client: TestClient) -> None:
    for job_id in (1, 2):
        add_a_job(client, job_id)
        record(client, "70", job_id)
    figures = [node.attributes["href"] or "" for node in page_of(client.get("/jobs/1/board-use")).css("a.figure")]
    assert len(figures) == 3
    opened = [page_of(client.get(address, headers=HTMX)) for address in figures]
    assert all(one.css_first("h2").text().startswith("How we got") for one in opened)
    links = {link.attributes["href"] for link in opened[-1].css(".working-rule a")}
    assert {"/jobs/1/board-use", "/jobs/2/board-use"} <= links


def test_what_came_with_orders_less_what_was_put_back_is_offered(pantry: TestClient) -> None:
    wood, _ = wood_of(pantry)
    came = (Receipt(Fraction(66), NOW),)
    line = OrderLine(0, wood, "", "board foot", Fraction(1), Fraction(66), Money(8_00), receipts=came)
    offcut = RackPiece(0, "R1", wood, Length.of(6), Length.of(72), offcut_of=1)
    with database_of(pantry).write("Order", at=NOW, job_id=1) as db:
        add_order(db, Order(0, 1, "P-1", "Yard", (line,), ordered_at=NOW))
        add_rack_pieces(db, [offcut])
    page = page_of(pantry.get("/jobs/1/board-use"))
    assert page.css_first("[name=used]").attributes["value"] == str(66 - 6)
    assert uses_of(pantry) == ()


def test_boards_cut_from_the_rack_are_offered_when_no_order_came(pantry: TestClient) -> None:
    wood, _ = wood_of(pantry)
    boards = [RackPiece(0, f"R{n}", wood, Length.of(6), Length.of(96), cut_for=1) for n in range(8)]
    with database_of(pantry).write("Boards", at=NOW) as db:
        add_rack_pieces(db, boards)
    page = page_of(pantry.get("/jobs/1/board-use"))
    assert page.css_first("[name=used]").attributes["value"] == str(8 * 8)
    assert "By the rack" in page.css_first("dl").text()
