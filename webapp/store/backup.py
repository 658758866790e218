"""Backups: made while the app runs, checked, dated, thinned out; and put back."""

import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

DAYS, WEEKS, MONTHS = 7, 4, 12


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup file. why: daily, by-hand, before-upgrade."""

    name: str
    made_at: datetime
    why: str
    bytes: int


def folder(path: Path) -> Path:
    return path.parent / "backups"


def make(path: Path, *, at: datetime, why: str) -> Path:
    """Write a checked copy of a database in use and return it. Raises OSError or sqlite3.Error; then none is left."""
    folder(path).mkdir(exist_ok=True)
    stamp = at.astimezone(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    final = folder(path) / f"{path.stem}-{stamp}-{why}.sqlite"
    unchecked = final.with_suffix(".unchecked")
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True, timeout=10)) as connection:
            connection.execute("VACUUM INTO ?", (str(unchecked),))
        with closing(sqlite3.connect(unchecked)) as copy:
            said = copy.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if said != "ok":
            raise sqlite3.DatabaseError(f"the copy is not whole: {said}")
        _sync(unchecked)
        unchecked.rename(final)
        _sync(final.parent)
    finally:
        unchecked.unlink(missing_ok=True)
    return final


def listed(path: Path) -> tuple[Backup, ...]:
    """Return the backups of a database, newest first."""
    found = []
    for file in folder(path).glob(f"{path.stem}-*.sqlite"):
        stamp, _, why = file.stem.removeprefix(f"{path.stem}-").partition("-")
        made_at = datetime.strptime(stamp, "%Y%m%dT%H%M%S%fZ").replace(tzinfo=UTC)
        found.append(Backup(file.name, made_at, why, file.stat().st_size))
    return tuple(sorted(found, key=lambda backup: backup.made_at, reverse=True))


def file_of(path: Path, name: str) -> Path | None:
    """Return the file of a listed backup; None for any other name, so no name from a person reaches the disk."""
    return next((folder(path) / backup.name for backup in listed(path) if backup.name == name), None)


def daily(path: Path, *, at: datetime) -> Path | None:
    """Make the day's first backup and thin out the old ones; return it, or None when there is one already."""
    if any(at - backup.made_at < timedelta(days=1) for backup in listed(path) if backup.why == "daily"):
        return None
    made = make(path, at=at, why="daily")
    thin_out(path, at=at)
    return made


def thin_out(path: Path, *, at: datetime) -> None:
    """Keep the newest daily backup of each of 7 days, 4 weeks and 12 months; those made by hand or upgrade stay."""
    kept: set[str] = set()
    daily_ones = [backup for backup in listed(path) if backup.why == "daily"]
    for how_many, period in ((DAYS, "%Y-%j"), (WEEKS, "%G-%V"), (MONTHS, "%Y-%m")):
        newest: dict[str, str] = {}
        for backup in daily_ones:
            newest.setdefault(backup.made_at.strftime(period), backup.name)
        kept.update(list(newest.values())[:how_many])
    for backup in daily_ones:
        if backup.name not in kept:
            (folder(path) / backup.name).unlink()


def swap(copy: Path, path: Path, aside: Path) -> None:
    """Put a copy in the place of a closed database, moved aside whole, without the log of the old one."""
    arriving = path.with_name(path.name + ".arriving")
    arriving.write_bytes(copy.read_bytes())
    _sync(arriving)
    if path.exists():
        path.replace(aside)
    for leftover in (path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm")):
        leftover.unlink(missing_ok=True)
    arriving.replace(path)
    _sync(path.parent)


def _sync(path: Path) -> None:
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
