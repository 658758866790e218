"""Backups: made while the app runs, checked, dated and thinned out."""

import os
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from webapp.store.check import Damaged, check, looking_at

DAYS, WEEKS, MONTHS = 7, 4, 12
BY_HAND, DAILY, BEFORE_UPGRADE, BEFORE_RESTORE = "by-hand", "daily", "before-upgrade", "before-restore"
_STAMP = "%Y%m%dT%H%M%S%fZ"


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup file. why: daily, by-hand, before-upgrade, before-restore."""

    name: str
    made_at: datetime
    why: str
    bytes: int


@dataclass(frozen=True, slots=True)
class Aside:
    """A damaged file that a restore replaced; kept, never restored."""

    name: str
    moved_at: datetime
    bytes: int


def folder(path: Path) -> Path:
    return path.parent / "backups"


def make(path: Path, *, at: datetime, why: str) -> Path:
    """Write a checked copy of a database, in use or not, and return it.

    Raises OSError, sqlite3.Error or Damaged; then none is left.
    """
    folder(path).mkdir(exist_ok=True)
    final = _free(folder(path), path.stem, at, why)
    unchecked = final.with_suffix(".unchecked")
    try:
        copy_to(path, unchecked)
        sync(unchecked)
        unchecked.rename(final)
        sync(final.parent)
    finally:
        unchecked.unlink(missing_ok=True)
    return final


def copy_to(path: Path, target: Path) -> None:
    """Write a checked copy of a database, in use or not, to a new file. Raises OSError, sqlite3.Error or Damaged."""
    with looking_at(path) as connection:
        connection.execute("VACUUM INTO ?", (str(target),))
    check(target)


def listed(path: Path) -> tuple[Backup, ...]:
    """Return the backups of a database, newest first; other files in the folder are passed over."""
    found = []
    for file in folder(path).glob(f"{path.stem}-*.sqlite"):
        if named := _read_name(path, file):
            found.append(Backup(file.name, *named, file.stat().st_size))
    return tuple(sorted(found, key=lambda backup: (backup.made_at, backup.name), reverse=True))


def asides(path: Path) -> tuple[Aside, ...]:
    """Return the damaged files that restores replaced, newest first."""
    found = []
    for file in path.parent.glob(f"{path.stem}-*-damaged.sqlite"):
        if named := _read_name(path, file):
            found.append(Aside(file.name, named[0], file.stat().st_size))
    return tuple(sorted(found, key=lambda aside: aside.moved_at, reverse=True))


def file_of(path: Path, name: str) -> Path | None:
    """Return the file of a listed backup; None for any other name, so no name from a person reaches the disk."""
    return next((folder(path) / backup.name for backup in listed(path) if backup.name == name), None)


def daily(path: Path, *, at: datetime) -> Path | None:
    """Make the day's first backup and thin out the old ones; return it, or None when there is one already.

    One that claims to come from the future, after a clock was set right, does not count.
    """
    ages = (at - backup.made_at for backup in listed(path) if backup.why == DAILY)
    if any(timedelta(0) <= age < timedelta(days=1) for age in ages):
        return None
    made = make(path, at=at, why=DAILY)
    thin_out(path)
    return made


def thin_out(path: Path) -> None:
    """Keep the newest daily backup of each of 7 days, 4 weeks and 12 months; those made for another reason stay."""
    kept: set[str] = set()
    daily_ones = [backup for backup in listed(path) if backup.why == DAILY]
    for how_many, period in ((DAYS, "%Y-%j"), (WEEKS, "%G-%V"), (MONTHS, "%Y-%m")):
        newest: dict[str, str] = {}
        for backup in daily_ones:
            newest.setdefault(backup.made_at.strftime(period), backup.name)
        kept.update(list(newest.values())[:how_many])
    for backup in daily_ones:
        if backup.name not in kept:
            (folder(path) / backup.name).unlink()


def drop_unchecked(path: Path) -> None:
    """Remove what a killed process left of a backup it was making."""
    for file in folder(path).glob(f"{path.stem}-*.unchecked*"):
        file.unlink(missing_ok=True)


def put_back(path: Path, arriving: Path, *, at: datetime) -> Path | None:
    """Put a checked file that lies beside a closed database in its place; return where a damaged one was moved.

    The log of the old file goes first: replayed into the new one it would damage that.
    """
    aside = _move_aside(path, at=at)
    drop_logs(path)
    arriving.replace(path)
    sync(path.parent)
    return aside


def drop_logs(path: Path) -> None:
    """Remove what SQLite keeps beside a database; only for a file that is about to be replaced."""
    for ending in ("-wal", "-shm", "-journal"):
        path.with_name(path.name + ending).unlink(missing_ok=True)


def _move_aside(path: Path, *, at: datetime) -> Path | None:
    """Move a damaged database out of the way, with its log; a whole one stays, its copy is among the backups."""
    try:
        if path.exists():
            check(path)
        return None
    except Damaged:
        aside = _free(path.parent, path.stem, at, "damaged")
    log = path.with_name(path.name + "-wal")
    if log.exists() and log.stat().st_size > 0:
        log.rename(aside.with_name(aside.name + "-wal"))
    path.rename(aside)
    return aside


def _free(where: Path, stem: str, at: datetime, why: str) -> Path:
    """Return a dated file name that is not taken, a microsecond later where it is."""
    moment = at.astimezone(UTC)
    while (file := where / f"{stem}-{moment.strftime(_STAMP)}-{why}.sqlite").exists():
        moment += timedelta(microseconds=1)
    return file


def _read_name(path: Path, file: Path) -> tuple[datetime, str] | None:
    """Return when and why a file was made, from its name; None when the name is not one of ours."""
    stamp, _, why = file.stem.removeprefix(f"{path.stem}-").partition("-")
    try:
        return datetime.strptime(stamp, _STAMP).replace(tzinfo=UTC), why
    except ValueError:
        return None


def sync(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
