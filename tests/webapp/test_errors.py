"""Whatever goes wrong, a person gets words and what was typed, never a traceback."""

import logging
import re
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from sqlalchemy.exc import OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from conftest import DESK, Clock, page_of
from store_builders import damage, migrated
from webapp.app import create_app
from webapp.desk import Posted
from webapp.settings import Settings
from webapp.store import rows, shop
from webapp.store.gate import Busy

PANTRY = {"name": "Pantry", "client_name": "A. Invented", "notes": "typed with care"}
HTMX = {"HX-Request": "true"}
TRACES = ("Traceback", 'File "', ".py", "sqlalchemy", "starlette", "site-packages")


@pytest.fixture
def app(tmp_path: Path, clock: Clock) -> FastAPI:
    settings = Settings(folder=tmp_path, now=clock)
    migrated(settings.file)
    return create_app(settings)


@pytest.fixture
def server(app: FastAPI) -> Iterator[TestClient]:
    """A client that is shown what a browser would be shown when a handler raises."""
    with TestClient(
        app, base_url="http://127.0.0.1", client=DESK, follow_redirects=False, raise_server_exceptions=False
    ) as client:
        yield client


def raising(app: FastAPI, error: Exception) -> str:
    """Give the app an address whose handler reads what was posted and raises; return it."""

    def boom(posted: Posted) -> None:
        raise error

    app.add_api_route("/boom", boom, methods=["GET", "POST"])
    return "/boom"


def refused(code: int, words: str) -> OperationalError:
    """Return the error that SQLAlchemy raises when SQLite answers with this code."""
    said = sqlite3.OperationalError(words)
    said.sqlite_errorcode = code
    return OperationalError("INSERT INTO job ...", {}, said)


def test_an_unexpected_error_gives_words_a_code_and_what_was_typed(
    app: FastAPI, server: TestClient, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.ERROR, "benchday"):
        reply = server.post(raising(app, RuntimeError("the secret inside")), data=PANTRY | {"form_key": "k"})
    assert reply.status_code == 500
    assert "the secret inside" not in reply.text
    assert not [trace for trace in TRACES if trace in reply.text]
    page = page_of(reply)
    assert "not in what you typed" in page.css_first("main").text()
    assert "typed with care" in page.css_first("dl").text()
    assert "form key" not in page.css_first("dl").text()
    code = re.search(r"code ([0-9a-f]{8})", reply.text)
    assert code is not None
    assert code[1] in caplog.text
    assert "the secret inside" in caplog.text
    assert "content-security-policy" in reply.headers


def test_when_even_the_error_page_cannot_be_made_there_are_words(
    app: FastAPI, server: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(db: object) -> None:
        raise RuntimeError("no shop either")

    monkeypatch.setattr(shop, "load_shop", broken)
    reply = server.post(raising(app, RuntimeError("first")), data=PANTRY)
    assert reply.status_code == 500
    assert "typed with care" in reply.text
    assert not [trace for trace in TRACES if trace in reply.text]
    assert "content-security-policy" in reply.headers


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (refused(sqlite3.SQLITE_BUSY, "database is locked"), "database is locked"),
        (refused(sqlite3.SQLITE_FULL, "database or disk is full"), "the disk is not full"),
        (refused(sqlite3.SQLITE_READONLY, "attempt to write a readonly database"), "the file not read-only"),
        (refused(sqlite3.SQLITE_IOERR_WRITE, "disk I/O error"), "disk I/O error"),
        (refused(sqlite3.SQLITE_CORRUPT, "database disk image is malformed"), "shows the backups"),
        (refused(sqlite3.SQLITE_IOERR_READ, "disk I/O error"), "shows the backups"),
        (PoolTimeout(), "Wait a moment"),
        (Busy(), "Wait a moment"),
    ],
)
def test_what_the_store_refuses_is_said_with_what_would_work(
    app: FastAPI, server: TestClient, error: Exception, words: str
) -> None:
    reply = server.post(raising(app, error), data=PANTRY)
    assert reply.status_code == 503
    assert words in page_of(reply).css_first("main").text()
    assert "typed with care" in reply.text
    assert "INSERT" not in reply.text


def test_an_sql_fault_of_ours_is_not_called_a_full_disk(app: FastAPI, server: TestClient) -> None:
    reply = server.get(raising(app, refused(sqlite3.SQLITE_ERROR, "no such column: nmae")))
    assert reply.status_code == 500
    assert "nmae" not in reply.text


def test_a_file_damaged_while_the_app_runs_is_said_so(server: TestClient, tmp_path: Path) -> None:
    server.post("/jobs/new", data=PANTRY)
    server.app.state.database._dispose()  # type: ignore[attr-defined]
    damage(tmp_path / "benchday.sqlite", page=1, pages=40)
    for reply in (server.get("/"), server.post("/jobs/new", data=PANTRY)):
        assert reply.status_code == 503
        assert "it keeps the damaged file and shows the backups" in reply.text
        assert not [trace for trace in TRACES if trace in reply.text]


NOWHERE = (
    "/nowhere /jobs/7 /jobs/-1 /jobs/0 /jobs/abc /jobs/١ /jobs/1.5 /jobs/9223372036854775808 /jobs/1%2f2 /jobs/%00 "
    f"/jobs/{10**60} /static/nothing.css /static/../pyproject.toml /static/%2e%2e/pyproject.toml"
).split()


@pytest.mark.parametrize("path", NOWHERE)
def test_an_address_that_names_nothing_says_so(server: TestClient, path: str) -> None:
    reply = server.get(path)
    assert reply.status_code == 404
    assert "There is nothing at this address" in reply.text


def test_a_post_where_only_looking_is_possible_says_so(server: TestClient) -> None:
    reply = server.post("/health")
    assert reply.status_code == 405
    assert "Nothing was changed" in reply.text


def test_htmx_gets_a_line_and_nothing_on_the_page_is_swapped_away(app: FastAPI, server: TestClient) -> None:
    for reply in (
        server.post("/jobs/7/edit", data=PANTRY, headers=HTMX),
        server.post(raising(app, RuntimeError()), data=PANTRY, headers=HTMX),
    ):
        assert reply.status_code in (404, 500)
        assert reply.headers["hx-reswap"] == "none"
        line = page_of(reply).css_first("hx-partial[hx-target='#done'] > #done")
        assert line.attributes["role"] == "alert"
        assert "<html" not in reply.text


def test_a_stale_row_that_htmx_posts_is_said_in_a_line(app: FastAPI, server: TestClient) -> None:
    reply = server.post(raising(app, rows.ChangedMeanwhile(3)), data=PANTRY, headers=HTMX)
    assert reply.status_code == 409
    assert "Somebody changed this" in reply.text


def test_a_stale_form_gets_a_page_that_can_save_again_and_leads_only_to_us(app: FastAPI, server: TestClient) -> None:
    reply = server.post(
        raising(app, rows.ChangedMeanwhile(3)), data=PANTRY | {"version": "1"}, headers={"referer": "http://x.example/a?b"}
    )  # fmt: skip
    assert reply.status_code == 409
    page = page_of(reply)
    assert page.css_first("input[name=version]").attributes["value"] == "3"
    assert page.css_first("textarea[name=notes]").text() == "typed with care"
    assert page.css_first("form a.button").attributes["href"] == "/a"
