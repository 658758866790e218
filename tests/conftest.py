"""A real migrated SQLite file, a fixed time, and a client of the app."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from hypothesis import settings
from selectolax.lexbor import LexborHTMLParser

from store_builders import migrated
from webapp.app import create_app
from webapp.settings import Settings

settings.register_profile("any machine", deadline=None)
settings.load_profile("any machine")

NOW = datetime(2026, 6, 1, 14, 0, tzinfo=UTC)
DESK = ("127.0.0.1", 50_000)
"""Where a client of the same machine asks from; who asks from elsewhere has to be let in (test_device.py)."""


class Clock:
    """A time that tests set."""

    def __init__(self) -> None:
        self.at = NOW

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def client(tmp_path: Path, clock: Clock) -> Iterator[TestClient]:
    """A client of an empty shop; it follows no redirects by itself."""
    settings = Settings(folder=tmp_path, now=clock)
    migrated(settings.file)
    app = create_app(settings)
    with TestClient(app, base_url="http://127.0.0.1", client=DESK, follow_redirects=False) as client:
        yield client


def page_of(response: object) -> LexborHTMLParser:
    """Return the parsed HTML of a reply."""
    return LexborHTMLParser(response.text)  # type: ignore[attr-defined]
