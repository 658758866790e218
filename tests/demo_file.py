"""The file of the demo shop, filled once for all tests that are not about filling it."""

from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from conftest import NOW
from store_builders import migrated
from webapp.demo import fill_when_empty
from webapp.now import now
from webapp.settings import Settings
from webapp.store.database import Database


def filled(path: Path) -> Path:
    """Put the demo shop as it stands at NOW at a path, and return that."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(_filled(NOW))
    return path


def filled_today(folder: Path) -> Path:
    """Put the demo shop as it stands today where `--demo` looks for it in a folder, and return the folder."""
    Settings(folder=folder, demo=True).file.write_bytes(_filled_today())
    return folder


@cache
def _filled_today() -> bytes:
    return _filled(now())


@cache
def _filled(at: datetime) -> bytes:
    with TemporaryDirectory() as folder:
        path = migrated(Path(folder) / "demo.sqlite")
        database = Database(path, at=at)
        fill_when_empty(database, at=at)
        database.close()
        return path.read_bytes()
