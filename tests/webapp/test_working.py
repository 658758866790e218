from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction

import pytest
from fastapi.testclient import TestClient
from hypothesis import given
from hypothesis import strategies as st
from sqlmodel import Session

from conftest import page_of
from domain.figure import Figure, Rule, Unit
from webapp import working
from webapp.working import find

NET = Figure("Net", Fraction(5, 2), Unit.BOARD_FOOT, Rule("as typed", "typed", "piece:7:length"))
NEEDED = Figure("Needed", Fraction(3), Unit.BOARD_FOOT, Rule("net × 1.2", "a handbook", "practice:kerf"), (NET,))


@dataclass(frozen=True)
class Line:
    needed: Figure

    @property
    def secret(self) -> Figure:
        return NET


@dataclass(frozen=True)
class Shown:
    lines: tuple[Line, ...] = (Line(NEEDED),)
    built: dict[int, Line] = field(default_factory=lambda: {7: Line(NET)})
    title: str = "Take-off"


@pytest.mark.parametrize(
    ("at", "found"),
    [
        ("lines.0.needed", NEEDED),
        ("lines.0.needed.came_from.0", NET),
        ("built.7.needed", NET),
        ("lines.1.needed", None),
        ("lines.-1.needed", None),
        ("lines.0", None),
        ("lines.0.secret", None),
        ("title", None),
        ("title.upper", None),
        ("__class__", None),
        ("lines.__len__", None),
        ("lines.²", None),
        ("", None),
        (".".join(["lines"] * 200), None),
    ],
)
def test_a_path_leads_to_a_figure_or_nowhere(at: str, found: Figure | None) -> None:
    assert find(Shown(), at) is found


@given(st.text())
def test_any_text_is_a_path_to_a_figure_or_none(at: str) -> None:
    assert find(Shown(), at) is None or isinstance(find(Shown(), at), Figure)


@pytest.fixture
def shown(monkeypatch: pytest.MonkeyPatch, client: TestClient) -> TestClient:
    """A job, and a noun whose page is known."""

    def build(db: Session, job_id: int, at: datetime) -> Shown:
        return Shown()

    monkeypatch.setitem(working.PAGES, "sample", build)
    monkeypatch.setitem(working.SHOP_PAGES, "sample", lambda db, at: Shown())
    client.post("/jobs/new", data={"name": "Pantry", "client_name": "A. Invented"})
    return client


def test_without_a_script_the_working_is_a_page_with_a_way_back(shown: TestClient) -> None:
    came_from = {"Referer": "http://127.0.0.1/jobs/1/take-off?done=3"}
    reply = page_of(shown.get("/jobs/1/working/sample/lines.0.needed", headers=came_from))
    assert reply.css_first("main a").attributes["href"] == "/jobs/1/take-off"
    assert "How we got 3 bf" in reply.css_first("h1").text()
    assert "Source: a handbook." in reply.css_first(".working-rule").text()
    assert reply.css_first(".working-rule a").attributes["href"] == "/shop/practice#kerf"
    assert "2.5 bf" in reply.css_first("ul .working-value").text()
    assert reply.css_first("ul .working-rule a").attributes["href"] == "/pieces/7#length"


def test_htmx_gets_the_working_alone(shown: TestClient) -> None:
    reply = shown.get("/jobs/1/working/sample/lines.0.needed", headers={"HX-Request": "true"})
    assert "HX-Request" in reply.headers["vary"]
    assert page_of(reply).css_first("header") is None
    assert "How we got 3 bf" in page_of(reply).css_first("h2").text()


@pytest.mark.parametrize("referer", ["", "http://elsewhere.example/x", "http://127.0.0.1/jobs/1/working/sample/title"])
def test_the_way_back_stays_here(shown: TestClient, referer: str) -> None:
    reply = page_of(shown.get("/jobs/1/working/sample/lines.0.needed", headers={"Referer": referer}))
    assert reply.css_first("main a").attributes["href"] == "/jobs/1/sample"


def test_a_shop_page_has_workings_too(shown: TestClient) -> None:
    assert "How we got 3 bf" in shown.get("/working/sample/lines.0.needed").text


@pytest.mark.parametrize(
    "address",
    [
        "/jobs/1/working/sample/lines.9.needed",
        "/jobs/1/working/nothing/lines.0.needed",
        "/jobs/2/working/sample/lines.0.needed",
        "/working/nothing/x",
        "/working/sample/x",
    ],
)
def test_what_is_not_there_is_said(shown: TestClient, address: str) -> None:
    assert shown.get(address).status_code == 404
