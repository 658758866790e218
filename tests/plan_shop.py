"""An invented shop with a job at work, made through the store, for tests of the plan, today and the calendar."""

from collections.abc import Mapping
from contextlib import AbstractContextManager
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from typing import Any

from fastapi.testclient import TestClient
from sqlmodel import Session

from conftest import page_of
from domain.hours import usual_week
from domain.job import Client, Job, JobState
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.operation import starting_times
from domain.pieces.piece import PlacedPiece
from domain.pieces.top import Top
from domain.price import Price
from domain.shop import Shop
from domain.task import OwnLink, TaskRecord
from plan_builders import ZONE
from webapp.store import job as job_store
from webapp.store import piece as piece_store
from webapp.store import price as price_store
from webapp.store import shop as shop_store
from webapp.store import task as task_store

NOW = datetime(2026, 6, 1, 12, 0, tzinfo=UTC)
"""A Monday, 08:00 in the shop."""

FILM = "finish-waterborne_polyurethane"
HTMX = {"HX-Request": "true", "HX-Current-URL": "http://127.0.0.1/today"}


def writing(client: TestClient, words: str = "Set up") -> AbstractContextManager[Session]:
    app: Any = client.app
    writer: AbstractContextManager[Session] = app.state.database.write(words, at=app.state.settings.now())
    return writer


def reading(client: TestClient) -> AbstractContextManager[Session]:
    app: Any = client.app
    reader: AbstractContextManager[Session] = app.state.database.read()
    return reader


def set_up(client: TestClient, *, hands: int = 2, clamps: int = 30, benches: int = 2) -> None:
    """Give the shop its zone, its hours of Monday to Friday 8 to 12 and 13 to 17, and times of operations."""
    with writing(client) as db:
        shop_store.save_shop(db, Shop(zone="America/New_York", hands=hands, clamps=clamps, benches=benches), version=0)
        shop_store.add_hours(db, usual_week())
        shop_store.add_starting_times(db, starting_times())


def a_job(
    client: TestClient,
    name: str = "Invented bar",
    *,
    promised_on: date | None = None,
    state: JobState = JobState.IN_PROGRESS,
    tops: int = 1,
) -> int:
    """Add a job with so many tops and return its id. Task keys of the first top begin with its piece id: `p1.mill`."""
    with writing(client) as db:
        job = Job(0, name, Client(0, "A. Invented"), promised_on=promised_on, state=state)
        job_id = job_store.add_job(db, job, at=NOW)
        for number in range(tops):
            title = "Bar top" if tops == 1 else f"Bar top {number + 1}"
            piece_store.add_piece(db, job_id, PlacedPiece(0, title, 1, Top()))
    return job_id


def record(client: TestClient, job_id: int, key: str, **said: Any) -> None:
    """Record something of a task, past the pages."""
    with writing(client) as db:
        old, version = task_store.load_record(db, job_id, key)
        kept: dict[str, Any] = {name: getattr(old, name) for name in ("own", "name", "kind", "minutes", "crew")}
        task_store.save_record(db, job_id, TaskRecord(key, **{**kept, **said}), version=version)


def done(client: TestClient, job_id: int, *keys: str, at: datetime) -> None:
    for key in keys:
        record(client, job_id, key, finished_at=at)


def recorded(client: TestClient, job_id: int, key: str) -> tuple[TaskRecord, int]:
    with reading(client) as db:
        return task_store.load_record(db, job_id, key)


def links(client: TestClient, job_id: int) -> tuple[OwnLink, ...]:
    with reading(client) as db:
        return task_store.load_links(db, [job_id])[job_id]


def price_of_lumber(client: TestClient, name: str, size: str, *, days: int) -> None:
    """Let a yard sell a wood that comes so many days after it is ordered."""
    material = Material(MaterialKind.LUMBER, name, size, "FAS")
    price = Price(
        0, material, name, "Invented yard", "board foot", Fraction(1), Money(700), date(2026, 5, 1),
        lead_time=timedelta(days=days), whole=False,
    )  # fmt: skip
    with writing(client) as db:
        price_store.add_price(db, price)


def form_of(client: TestClient, address: str, action: str, key: str = "") -> dict[str, str]:
    """Return the fields of a form as a page shows them. action: where it leads; key: of the task it is about."""
    for form in page_of(client.get(address)).css(f'form[action="{action}"]'):
        fields = {field.attributes["name"] or "": field.attributes.get("value") or "" for field in form.css("input")}
        if not key or fields.get("key") == key:
            return fields
    raise AssertionError(f"{address} has no form to {action} for {key or 'anything'}")


def row_of(client: TestClient, job_id: int, key: str) -> Mapping[str, str]:
    """Return a task's row in the list of its plan: its name, then each cell by its label."""
    for row in page_of(client.get(f"/jobs/{job_id}/plan")).css("tr"):
        if row.id == key:
            name = " ".join((row.css_first("th") or row).text().split())
            cells = {cell.attributes.get("data-label") or "": " ".join(cell.text().split()) for cell in row.css("td")}
            return {"name": name, **cells}
    raise AssertionError(f"no row {key}")


def shop_time(text: str) -> datetime:
    """Return an instant from wall-clock time in the shop: `2026-06-01 08:00`."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE).astimezone(UTC)
