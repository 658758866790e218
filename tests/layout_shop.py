"""A job of one part list whose boards are laid out, and a search that tests lead by the hand; all invented."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from threading import Event
from typing import Any

from fastapi.testclient import TestClient

from builders import a_piece
from conftest import page_of
from demo_forms import fields_of
from domain.buying import BuyingPlan, MaterialPlan
from domain.layout.shape import Layout, Progress
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.pieces.piece import PlacedPiece
from domain.rack import RackPiece, RackPlace
from webapp.search import Searcher
from webapp.store.buying import load_buying_plan
from webapp.store.database import Database
from webapp.store.piece import add_piece
from webapp.store.rack import add_rack_piece, load_rack

OAK = Material(MaterialKind.LUMBER, "White oak", "4/4", "FAS")
RAILS = "Rail, 7, 3/4, 3 1/8, 41 3/8, White oak\nStile, 5, 3/4, 2 5/8, 67 1/8, White oak"
"""Sizes that fill no board exactly, so that nothing is proved the best at once."""
PANELS = "Panel; 2; 3/4; 20; 30; maple plywood"
WAIT = 20.0
"""Seconds until a test gives up."""


def database_of(client: TestClient) -> Database:
    database: Database = client.app.state.database  # type: ignore[attr-defined]
    return database


def at_of(client: TestClient) -> datetime:
    at: datetime = client.app.state.settings.now()  # type: ignore[attr-defined]
    return at


def add_job(client: TestClient, lines: str, name: str = "Pantry") -> int:
    """Add a job with one part list, and return its id."""
    led_to = client.post("/jobs/new", data={"name": name, "client_name": "A. Invented"}).headers["location"]
    job_id = int(led_to.partition("?")[0].split("/")[2])
    put(client, job_id, lines)
    return job_id


def put(client: TestClient, job_id: int, lines: str) -> None:
    with database_of(client).write("Piece added", at=at_of(client), job_id=job_id) as db:
        add_piece(db, job_id, PlacedPiece(0, "Frame", 1, a_piece("part_list", lines=lines)))


def a_board(width: str, length: str, *, mark: str = "R1", **more: object) -> RackPiece:
    return RackPiece(0, mark, OAK, Length.of(width), Length.of(length), **more)  # type: ignore[arg-type]


def put_on_rack(client: TestClient, *pieces: RackPiece) -> None:
    with database_of(client).write("On the rack", at=at_of(client)) as db:
        for piece in pieces:
            add_rack_piece(db, piece)


def rack_of(client: TestClient, *, cut_up: bool = True) -> tuple[RackPiece, ...]:
    with database_of(client).read() as db:
        return load_rack(db, cut_up=cut_up)


def plan_of(client: TestClient, job_id: int = 1) -> BuyingPlan:
    with database_of(client).read() as db:
        return load_buying_plan(db, job_id)


def material_plan(client: TestClient, material: Material = OAK, job_id: int = 1) -> MaterialPlan:
    return next(one for one in plan_of(client, job_id).materials if one.material == material)


def with_fewer_boards(layout: Layout) -> Layout:
    """Return what stands for a better layout that is not proved the best: the same with a board less."""
    return replace(layout, laid=layout.laid[:-1], bound=replace(layout.bound, cost=Fraction(0)))


class Led:
    """A search that finds something better at once, then waits until it is let go on or stopped."""

    def __init__(self) -> None:
        self.found, self.go_on = Event(), Event()
        self.asked: list[Layout] = []

    def __call__(self, start: Layout, *, stop: Callable[[], bool]) -> Iterator[Progress]:
        self.asked.append(start)
        better = with_fewer_boards(start)
        yield Progress(better, Fraction(2, 5))
        self.found.set()
        while not self.go_on.wait(0.01):
            if stop():
                return
        yield Progress(replace(better, improved=True), Fraction(1))


def lead(client: TestClient, improve: Callable[..., Iterator[Progress]]) -> Searcher:
    """Have the app search in this way."""
    searcher = Searcher(database_of(client), lambda: at_of(client), improve=improve)
    client.app.state.searcher.close()  # type: ignore[attr-defined]
    client.app.state.searcher = searcher  # type: ignore[attr-defined]
    return searcher


def until(holds: Callable[[], bool]) -> None:
    """Wait until something holds. Raises AssertionError when it does not in time."""
    ended = Event()
    for _ in range(int(WAIT * 100)):
        if holds():
            return
        ended.wait(0.01)
    raise AssertionError("it did not come about in time")


def press(client: TestClient, page: str, action: str, **changed: str) -> Any:
    """Post the form of a page as a browser would, with some fields changed."""
    form = page_of(client.get(page)).css_first(f"form[action='{action}']")
    assert form is not None, f"{page} has no form {action}"
    return client.post(action, data=fields_of(form) | changed)


def buy_by(client: TestClient, way: str, job_id: int = 1) -> Any:
    return press(client, f"/jobs/{job_id}/layout", f"/jobs/{job_id}/layout/reckon", way=way)


def undo_last(client: TestClient) -> None:
    undo = page_of(client.get("/history")).css_first("form[action$='/undo']")
    assert client.post(undo.attributes["action"], data=fields_of(undo)).status_code == 303


def a_shop_with_boards(client: TestClient) -> TestClient:
    """Add a job that buys by layouts, a wide board on the rack and one at the yard."""
    add_job(client, f"{RAILS}\n{PANELS}")
    put_on_rack(
        client,
        a_board("12", "146", mark="R4"),
        a_board("7", "120", mark="Y1", place=RackPlace.YARD, supplier="Test yard", price=Money(700), set_aside_for=1),
    )
    buy_by(client, "layout")
    return client
