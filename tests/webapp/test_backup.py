"""The Backups page: the last good one, all of them, make, take away and put back; and trouble mode."""

import sqlite3
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import httpx2
import pytest
from fastapi.testclient import TestClient
from selectolax.lexbor import LexborNode

from conftest import DESK, Clock, page_of
from store_builders import NOW, add_job, ask, damage
from webapp import trouble
from webapp.app import create_app
from webapp.settings import Settings
from webapp.store import backup
from webapp.store.check import Damaged
from webapp.store.database import Database

PANTRY = {"name": "Pantry", "client_name": "A. Invented"}


def rows(client: TestClient) -> list[LexborNode]:
    return page_of(client.get("/backups")).css("tbody tr")


def forms(client: TestClient, path: str = "/backups") -> dict[str, dict[str, str]]:
    """Return what each form of a page would send, by its address, the first of each."""
    found: dict[str, dict[str, str]] = {}
    for form in page_of(client.get(path)).css("form"):
        fields = {node.attributes["name"] or "": node.attributes.get("value") or "" for node in form.css("[name]")}
        found.setdefault(form.attributes["action"] or "", fields)
    return found


def test_the_day_s_own_backup_is_there_from_the_start(client: TestClient) -> None:
    (row,) = rows(client)
    assert "Mon 1 Jun 2026" in row.css_first("th").text()
    assert "the day's own" in row.text()


def test_back_up_now_adds_one_and_a_second_press_does_not(client: TestClient) -> None:
    posted = forms(client)["/backups"]
    for _ in range(2):
        reply = client.post("/backups", data=posted)
        assert (reply.status_code, reply.headers["location"]) == (303, "/backups")
    assert len(rows(client)) == 2


def test_the_list_is_newest_first_with_why_and_size(client: TestClient, clock: Clock) -> None:
    clock.at = NOW + timedelta(minutes=5)
    client.post("/backups")
    newest, oldest = rows(client)
    assert "made by hand" in newest.text()
    assert "the day's own" in oldest.text()
    assert " kB" in newest.css_first(".number").text()


def test_a_week_without_a_backup_is_a_warning(client: TestClient, clock: Clock) -> None:
    assert page_of(client.get("/backups")).css_first("p.warning") is None
    clock.at = NOW + timedelta(days=8)
    assert "more than a week ago" in page_of(client.get("/backups")).css_first("p.warning").text()


def test_a_download_is_the_whole_file_under_our_name(client: TestClient, clock: Clock, tmp_path: Path) -> None:
    client.post("/jobs/new", data=PANTRY)
    clock.at = NOW + timedelta(minutes=5)
    client.post("/backups")
    address = page_of(client.get("/backups")).css_first("tbody a[download]").attributes["href"]
    reply = client.get(address or "")
    assert reply.status_code == 200
    assert reply.headers["content-disposition"] == f'attachment; filename="{(address or "").rpartition("/")[2]}"'
    taken = tmp_path / "taken.sqlite"
    taken.write_bytes(reply.content)
    assert ask(taken, "SELECT name FROM job") == [("Pantry",)]


@pytest.mark.parametrize(
    "name", ["benchday.sqlite", "..%2fbenchday.sqlite", "%2e%2e/benchday.sqlite", "benchday.sqlite.lock", "x"]
)
def test_no_other_file_can_be_taken_away_or_restored(client: TestClient, name: str) -> None:
    assert client.get(f"/backups/{name}").status_code == 404
    assert client.post(f"/backups/{name}/restore").status_code in (404, 405)


def test_a_restore_puts_back_says_so_and_can_be_taken_back(client: TestClient, clock: Clock) -> None:
    client.post("/jobs/new", data=PANTRY)
    clock.at = NOW + timedelta(minutes=5)
    client.post("/backups")
    client.post("/jobs/new", data=PANTRY | {"name": "Larder"})
    clock.at = NOW + timedelta(minutes=9)
    restore = rows(client)[0].css_first("form").attributes["action"] or ""
    reply = client.post(restore, data=forms(client)[restore])
    assert reply.status_code == 303
    page = page_of(client.get(reply.headers["location"]))
    assert "is back" in page.css_first("[role=status].warning").text()
    assert "Larder" not in client.get("/").text
    replaced = rows(client)[0]
    assert "what a restore replaced" in replaced.text()
    client.post(replaced.css_first("form").attributes["action"] or "")
    assert "Larder" in client.get("/").text


def test_a_second_press_of_restore_does_nothing_more(client: TestClient, clock: Clock) -> None:
    clock.at = NOW + timedelta(minutes=5)
    restore, posted = next((action, fields) for action, fields in forms(client).items() if "restore" in action)
    first = client.post(restore, data=posted)
    second = client.post(restore, data=posted)
    assert first.headers["location"] == second.headers["location"]
    assert len(rows(client)) == 2


def test_a_damaged_backup_is_refused_in_words(client: TestClient, tmp_path: Path) -> None:
    client.post("/jobs/new", data=PANTRY)
    (copy,) = (tmp_path / "backups").glob("*.sqlite")
    damage(copy)
    reply = client.post(f"/backups/{copy.name}/restore")
    assert reply.status_code == 503
    assert "Nothing was restored" in reply.text
    assert "Pantry" in client.get("/").text


def test_a_backup_that_cannot_be_made_is_said_so(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup, "make", full)
    reply = client.post("/backups", data={"form_key": "k"})
    assert reply.status_code == 503
    assert "No space left on device" in reply.text
    monkeypatch.undo()
    assert client.post("/backups", data={"form_key": "k"}).status_code == 303


def test_the_app_starts_though_the_daily_backup_cannot_be_made(
    tmp_path: Path, clock: Clock, caplog: pytest.LogCaptureFixture
) -> None:
    (tmp_path / "backups").write_text("a file where the folder should be")
    with TestClient(
        create_app(Settings(folder=tmp_path, now=clock)), base_url="http://127.0.0.1", client=DESK
    ) as client:
        page = client.get("/backups")
        assert "There is no backup yet" in page.text
    assert "daily backup could not be made" in caplog.text


def test_an_app_that_runs_for_days_makes_each_day_s_backup(
    tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("webapp.app.DAY_LOOK", 0.01)
    with TestClient(
        create_app(Settings(folder=tmp_path, now=clock)), base_url="http://127.0.0.1", client=DESK
    ) as client:
        assert len(rows(client)) == 1
        clock.at = NOW + timedelta(days=1)
        for _ in range(500):
            if len(rows(client)) == 2:
                break
        assert len(rows(client)) == 2


def test_a_demo_has_no_daily_backup(tmp_path: Path, clock: Clock) -> None:
    app = create_app(Settings(folder=tmp_path, now=clock, demo=True))
    with TestClient(app, base_url="http://127.0.0.1", client=DESK) as client:
        assert rows(client) == []


# Trouble mode


@pytest.fixture
def restored() -> list[str]:
    return []


@pytest.fixture
def harmed(tmp_path: Path, clock: Clock, restored: list[str]) -> Iterator[TestClient]:
    """A client of what is served when the data is damaged: a job saved, backed up, then pages overwritten."""
    settings = Settings(folder=tmp_path, now=clock)
    database = Database(settings.file, at=NOW)
    add_job(database)
    database.back_up(at=NOW, why=backup.BY_HAND)
    database.close()
    damage(settings.file)
    with pytest.raises(Damaged) as caught:
        create_app(settings)
    app = trouble.create_app(settings, str(caught.value), restored=lambda: restored.append("restored"))
    with TestClient(app, base_url="http://127.0.0.1", client=DESK, follow_redirects=False) as client:
        yield client


@pytest.mark.parametrize("path", ["/", "/today", "/jobs/7/take-off", "/backups"])
def test_every_address_says_what_is_wrong_and_offers_the_backups(harmed: TestClient, path: str) -> None:
    reply = harmed.get(path)
    assert reply.status_code == 503
    page = page_of(reply)
    assert "benchday.sqlite is damaged" in page.css_first("[role=alert]").text()
    assert "made by hand" in page.css_first("tbody tr").text()
    assert page.css_first("tbody form button").text() == "Restore"


def test_health_says_damaged(harmed: TestClient) -> None:
    assert harmed.get("/health").status_code == 503
    assert harmed.get("/health").json()["status"] == "damaged"


def test_restore_in_trouble_keeps_the_damaged_file_and_starts_again(
    harmed: TestClient, tmp_path: Path, restored: list[str]
) -> None:
    ((action, posted),) = forms(harmed, "/").items()
    reply = harmed.post(action, data=posted)
    assert (reply.status_code, reply.headers["location"]) == (303, "/")
    assert restored == ["restored"]
    assert "The backup is back" in harmed.get("/").text
    assert harmed.post(action, data=posted).status_code == 303
    assert restored == ["restored"]
    assert len(list(tmp_path.glob("*-damaged.sqlite"))) == 1
    assert ask(tmp_path / "benchday.sqlite", "SELECT name FROM job") == [("Pantry",)]


def test_a_damaged_backup_is_refused_in_trouble_too(harmed: TestClient, tmp_path: Path, restored: list[str]) -> None:
    ((action, posted),) = forms(harmed, "/").items()
    damage(tmp_path / "backups" / posted["name"])
    reply = harmed.post(action, data=posted)
    assert reply.status_code == 503
    assert "Nothing was restored" in page_of(reply).css_first("[role=alert]").text()
    assert restored == []
    assert "not there any more" in harmed.post(action, data={"name": "../benchday.sqlite"}).text


@pytest.mark.parametrize("request_of", [
    lambda client: client.get("/", headers={"host": "evil.example"}),
    lambda client: client.post("/restore-in-trouble", headers={"sec-fetch-site": "cross-site"}),
    lambda client: client.get("/static/../pyproject.toml"),
])  # fmt: skip
def test_trouble_mode_is_guarded_like_the_app(
    harmed: TestClient, request_of: Callable[[TestClient], httpx2.Response]
) -> None:
    reply = request_of(harmed)
    assert reply.status_code in (400, 403, 503)
    assert "script-src 'self'" in reply.headers["content-security-policy"]
    assert "build-system" not in reply.text


def test_without_any_backup_trouble_mode_says_where_one_would_go(tmp_path: Path, clock: Clock) -> None:
    settings = Settings(folder=tmp_path, now=clock)
    sqlite3.connect(settings.file).close()
    app = trouble.create_app(settings, "It is damaged.", restored=lambda: None)
    with TestClient(app, base_url="http://127.0.0.1", client=DESK) as client:
        assert "There are no backups in" in client.get("/").text
