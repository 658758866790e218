"""A small job with pieces, prices, times and terms in a real store, all invented, for tests of pages about money."""

from collections.abc import Container
from datetime import UTC, datetime, timedelta
from fractions import Fraction

from fastapi.testclient import TestClient
from selectolax.lexbor import LexborHTMLParser

from domain.length import Length
from domain.material import MaterialKind
from domain.money import Money
from domain.operation import starting_times
from domain.pieces.base_cabinet import BaseCabinet
from domain.pieces.piece import PlacedPiece
from domain.pieces.top import Top
from domain.price import Markup, Price
from domain.terms import TaxBase, Terms
from webapp.store import shop
from webapp.store.database import Database
from webapp.store.piece import add_piece
from webapp.store.price import add_price
from webapp.store.take_off import load_take_off

AT = datetime(2026, 6, 1, 14, 0, tzinfo=UTC)
TERMS = Terms(
    shop_rate=Money.parse("60"), overhead=Fraction(20), contingency=Fraction(1, 20), profit=Markup(Fraction(1, 4)),
    tax=Fraction(1, 16), tax_base=TaxBase.MATERIALS,
)  # fmt: skip
PACKAGES = {
    MaterialKind.LUMBER: ("board foot", "1", "9.40"),
    MaterialKind.SHEET: ("sheet", "1", "92.00"),
    MaterialKind.GLUE: ("16 fl oz bottle", "16", "11.50"),
    MaterialKind.FINISH: ("quart can", "1/4", "38.00"),
    MaterialKind.FASTENER: ("box of 100", "100", "8.95"),
    MaterialKind.EDGE_STRIP: ("25 ft roll", "25", "14.20"),
}


def store_of(client: TestClient) -> Database:
    database: Database = client.app.state.database  # type: ignore[attr-defined]
    return database


def a_job(client: TestClient) -> int:
    """Add a job with a top and two cabinets, nothing priced, and return its id."""
    typed = {"name": "Pantry", "client_name": "A. Invented", "client_address": "1 Sample Street", "site": "Sample room"}
    job_id = int(client.post("/jobs/new", data=typed).headers["location"].split("/")[2].partition("?")[0])
    with store_of(client).write("Pieces added", at=AT, job_id=job_id) as db:
        add_piece(db, job_id, PlacedPiece(0, "Long top", 1, Top(length=Length.parse("96"))))
        add_piece(db, job_id, PlacedPiece(0, "Drawer cabinet", 2, BaseCabinet()))
    return job_id


def a_priced_job(client: TestClient, *, without: Container[MaterialKind] = (), days_ago: int = 3) -> int:
    """Add the job with a price for everything, a time for every operation and terms; return its id.

    without: kinds of material left without a price; days_ago: when everything was priced.
    """
    job_id = a_job(client)
    with store_of(client).write("Shop said", at=AT) as db:
        for line in load_take_off(db, job_id).lines:
            if line.material.kind not in without:
                package, holds, dollars = PACKAGES.get(line.material.kind, ("each", "1", "1.25"))
                add_price(db, Price(
                    0, line.material, line.material.title, "Sample Supply", package, Fraction(holds),
                    Money.parse(dollars), AT.date() - timedelta(days=days_ago),
                    whole=line.material.kind is not MaterialKind.LUMBER,
                ))  # fmt: skip
        shop.add_starting_times(db, starting_times())
        shop.save_terms(db, TERMS, version=shop.load_version(db))
    return job_id


def values_of(page: LexborHTMLParser, form: str) -> dict[str, str]:
    """Return what a browser would send of a form as it stands. form: a selector."""
    sent: dict[str, str] = {}
    found = page.css_first(form)
    assert found is not None, form
    for field in found.css("input[name], select[name], textarea[name]"):
        name, kind = field.attributes["name"] or "", field.attributes.get("type")
        if kind in ("checkbox", "radio") and "checked" not in field.attributes:
            continue
        if field.tag == "select":
            chosen = field.css_first("option[selected]") or field.css_first("option")
            sent[name] = (chosen.attributes.get("value") or "") if chosen else ""
        else:
            sent[name] = field.text() if field.tag == "textarea" else field.attributes.get("value") or ""
    return sent
