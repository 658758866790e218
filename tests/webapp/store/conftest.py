"""An open database, and what tests do with its files."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from store_builders import migrated
from webapp.store.database import Database

NOW = datetime(2026, 6, 1, 14, 0, tzinfo=UTC)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "benchday.sqlite"


@pytest.fixture
def database(path: Path) -> Iterator[Database]:
    database = Database(migrated(path), at=NOW)
    yield database
    database.close()


@pytest.fixture
def reopened(path: Path) -> Iterator[Callable[[], Database]]:
    """A way to open the file after a test has done something to it."""
    opened: list[Database] = []

    def reopen() -> Database:
        opened.append(Database(path, at=NOW))
        return opened[-1]

    yield reopen
    for database in opened:
        database.close()
