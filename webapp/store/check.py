"""Whether a database file is whole; and why it cannot be used, in words for a person."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

BUSY_SECONDS = 10
NOT_DAMAGE = (
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_BUSY,
    sqlite3.SQLITE_LOCKED,
    sqlite3.SQLITE_NOMEM,
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_INTERRUPT,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_CANTOPEN,
)
"""What SQLite answers when the file may be good and only cannot be used now."""
DISK_FAULTS = (
    sqlite3.SQLITE_IOERR_READ,
    sqlite3.SQLITE_IOERR_SHORT_READ,
    sqlite3.SQLITE_IOERR_DATA,
    sqlite3.SQLITE_IOERR_CORRUPTFS,
)
"""Errors of the disk that mean part of the file cannot be read any more."""


class CannotOpen(Exception):
    """The database cannot be used; the words say why and what to do."""


class InUse(CannotOpen):
    """Another process has the file."""


class Damaged(CannotOpen):
    """The file is not whole, or gone or empty though there are backups of it."""


@contextmanager
def looking_at(path: Path) -> Iterator[sqlite3.Connection]:
    """Give a connection that only reads. Raises sqlite3.OperationalError when there is no such file."""
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, timeout=BUSY_SECONDS)) as connection:
        connection.text_factory = lambda text: text.decode(errors="replace")  # a damaged file may hold any bytes
        yield connection


def check(path: Path) -> None:
    """Raise Damaged unless the file is a whole SQLite database without dangling references.

    Finds broken pages, indexes, checks and references; not a changed letter inside a text.
    Raises CannotOpen when the file could not be read, which says nothing about what is in it.
    """
    try:
        with looking_at(path) as connection:
            said = str(connection.execute("PRAGMA integrity_check(1)").fetchone()[0])
            if said == "ok" and connection.execute("PRAGMA foreign_key_check").fetchone():
                said = "a row refers to another that is not there"
    except UnicodeDecodeError:
        said = "its own description is not text"
    except sqlite3.Error as error:
        if code_of(error) in NOT_DAMAGE and error.sqlite_errorcode not in DISK_FAULTS:
            raise CannotOpen(
                f"{path} cannot be read now: {error}. Close other programs that have it open, "
                "and check that the disk is not full."
            ) from error
        said = str(error)
    if said != "ok":
        said = " ".join(said.replace("*** in database main ***", "").split())
        raise Damaged(f"{path} is damaged ({said}). It is kept as it is; restore a backup.")


def code_of(error: BaseException | None) -> int:
    """Return SQLite's primary result code of an error, 0 when it carries none."""
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


@contextmanager
def said_plainly(path: Path) -> Iterator[None]:
    """Turn what the disk or SQLite refuses into CannotOpen."""
    try:
        yield
    except (OSError, sqlite3.Error, DBAPIError) as error:
        said = getattr(error, "strerror", None) or getattr(error, "orig", None) or error
        raise CannotOpen(
            f"{path} cannot be used: {said}. Check that the disk is not full and the folder not read-only; "
            "what was saved is still there."
        ) from error
