"""The database file: one process, one writer and several read-only connections, checked as it opens.

WAL with synchronous=FULL, so an answered write outlives a power cut. One writer connection also keeps clear of
the fault in WAL resets that SQLite fixed in 3.51.3. Readers refuse to write (`query_only`).
"""

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Engine, create_engine, event
from sqlalchemy.exc import OperationalError
from sqlmodel import Session

from webapp.store import backup, form_key, history, schema
from webapp.store.check import BUSY_SECONDS, CannotOpen, Damaged, InUse, check, said_plainly
from webapp.store.gate import Gate
from webapp.store.lock import lock
from webapp.store.written import ANYTHING, WRITTEN, Written, note_tables, tables_of

__all__ = ["CannotOpen", "Damaged", "Database", "InUse"]

READERS = 16
"""Two for each of the app's threads, so that a page read inside a page read always finds one free."""


class Database:
    """An open database file. `read()` and `write(...)` hand out sessions; `close()` leaves one whole file."""

    def __init__(
        self, path: Path, *, at: datetime, synchronous: str = "FULL", pages_before_checkpoint: int = 1000
    ) -> None:
        """Lock, check, migrate (after a copy) and open the file; make it when it is not there.

        synchronous, pages_before_checkpoint: other than usual only in tests that cut the power.
        Raises CannotOpen, worded for a person.
        """
        self.path = path
        self._pragmas = (
            "journal_mode=WAL",
            f"synchronous={synchronous}",
            f"wal_autocheckpoint={pages_before_checkpoint}",
            "foreign_keys=ON",
        )
        self._gate = Gate()
        self._lock = lock(path)
        try:
            with said_plainly(path):
                _prepare(path, at=at)
                self._open()
        except BaseException:
            self._lock.close()
            raise
        self._is_open = True
        self._written = Written()

    @contextmanager
    def read(self) -> Iterator[Session]:
        """Give a session that sees one moment and cannot write."""
        with self._gate.shared(), Session(self._readers, info={WRITTEN: self._written}) as session:
            yield session

    @property
    def changes(self) -> int:
        """How often something was written since the file was opened."""
        return self._written.count()

    @contextmanager
    def write(self, words: str, *, at: datetime, job_id: int | None = None, key: str = "") -> Iterator[Session]:
        """Give the only writing session; commit when the block ends well, roll back when it does not.

        words: what is being done, for the history; key: the form's key, so that a form counts once.
        Raises form_key.AlreadyDone when that form has been handled before.
        """
        with self._gate.shared(), history.NotedSession(self._writer) as session:
            history.begin(session, words, at=at, job_id=job_id)
            form_key.claim(session, key)
            yield session
            session.flush()
            form_key.remember(session, key, at=at)
            tables = tables_of(session)
            session.commit()
            self._written = self._written.and_then(tables)

    @property
    def revision(self) -> str:
        """The schema revision of the file."""
        with self.read() as session:
            return str(session.connection().exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one())

    def back_up(self, *, at: datetime, why: str) -> Path:
        """Write a checked copy among the backups and return it. Raises OSError, sqlite3.Error or Damaged."""
        with self._gate.shared():
            return backup.make(self.path, at=at, why=why)

    def copy_to(self, target: Path) -> None:
        """Write a checked copy to a new file outside the backups. Raises OSError, sqlite3.Error or Damaged."""
        with self._gate.shared():
            backup.copy_to(self.path, target)

    def back_up_daily(self, *, at: datetime) -> Path | None:
        """Make the day's backup unless there is one. Raises OSError, sqlite3.Error or Damaged."""
        with self._gate.shared():
            return backup.daily(self.path, at=at)

    def restore(self, copy: Path, *, at: datetime, key: str = "", leads_to: str = "") -> Path | None:
        """Put a checked backup in the place of the open file, once nobody uses it; return where that was kept.

        key, leads_to: of the form, so that it counts once. Raises CannotOpen when the backup or the file cannot be
        used, form_key.AlreadyDone, gate.Busy; then nothing was changed.
        """
        with self._gate.alone(seconds=BUSY_SECONDS):
            with Session(self._readers) as session:
                form_key.claim(session, key)
            with said_plainly(self.path):
                arriving = _arrive(self.path, copy)
                self._dispose()
                try:
                    kept = _replace(self.path, arriving, at=at)
                finally:
                    self._open()
            with Session(self._writer) as session:
                form_key.leads_to(session, leads_to)
                form_key.remember(session, key, at=at)
                session.commit()
            self._written = self._written.and_then(frozenset({ANYTHING}))
        return kept

    @staticmethod
    def put_back(path: Path, copy: Path, *, at: datetime) -> Path | None:
        """Do the same for a file that nobody has open, even a damaged one or none. Raises CannotOpen."""
        with lock(path), said_plainly(path):
            return _replace(path, _arrive(path, copy), at=at)

    def close(self) -> None:
        """Leave one whole file, without a log beside it, and let go of it. Closing again does nothing."""
        if self._is_open:
            self._is_open = False
            with suppress(OperationalError, sqlite3.Error):
                self._dispose()
            self._lock.close()

    def _open(self) -> None:
        self._writer = _engine(self.path, "BEGIN IMMEDIATE", (*self._pragmas, "query_only=OFF"), most=1)
        self._readers = _engine(self.path, "BEGIN", (*self._pragmas, "query_only=ON"), most=READERS)
        note_tables(self._writer)
        with self._writer.connect() as connection:
            mode = connection.exec_driver_sql("PRAGMA journal_mode").scalar_one()
        if mode != "wal":
            self._writer.dispose()
            raise CannotOpen(f"{self.path} cannot use a write-ahead log (it says “{mode}”). Put it on a local disk.")

    def _dispose(self) -> None:
        """Close every connection, the writer last, which moves the log into the file."""
        self._readers.dispose()
        connection = self._writer.raw_connection()
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        connection.close()
        self._writer.dispose()


def _prepare(path: Path, *, at: datetime) -> None:
    """Finish what a crash interrupted, check the file, and bring it to the newest schema after a copy."""
    arriving = _arriving(path)
    if arriving.exists():
        backup.put_back(path, arriving, at=at)
    backup.drop_unchecked(path)
    has_content = path.exists() and path.stat().st_size > 0
    if not has_content and backup.listed(path):
        raise Damaged(
            f"{path} is {'empty' if path.exists() else 'gone'}, though there are backups of it. Restore one; "
            f"or, for an empty shop, move the folder {backup.folder(path)} away first."
        )
    revision = ""
    if has_content:
        check(path)
        revision = schema.revision_of(path)
    if revision != schema.newest_revision():
        if revision:
            backup.make(path, at=at, why=backup.BEFORE_UPGRADE)
        schema.upgrade(path)


def _arriving(path: Path) -> Path:
    """Return where a restored file waits. Once it is there the restore is finished, after a crash at the next start."""
    return path.with_name(path.name + ".arriving")


def _arrive(path: Path, copy: Path) -> Path:
    """Return a checked copy of a backup beside the database, at the newest schema. Raises CannotOpen."""
    check(copy)
    if not schema.revision_of(copy):
        raise Damaged(f"{copy} is empty. Restore another backup.")
    unready = path.with_name(path.name + ".unready")
    backup.drop_logs(unready)  # of one that was being readied when the process was killed
    try:
        shutil.copyfile(copy, unready)
        schema.upgrade(unready)
        check(unready)
        backup.sync(unready)
    except BaseException:
        unready.unlink(missing_ok=True)
        raise
    return unready


def _replace(path: Path, unready: Path, *, at: datetime) -> Path | None:
    """Put the ready copy in the place of a closed database; return where the old one is kept, if there was one."""
    kept = None
    with suppress(Damaged):
        if path.exists() and path.stat().st_size > 0:
            check(path)
            kept = backup.make(path, at=at, why=backup.BEFORE_RESTORE)
    arriving = unready.replace(_arriving(path))
    backup.sync(path.parent)
    return backup.put_back(path, arriving, at=at) or kept


def _engine(path: Path, begin: str, pragmas: tuple[str, ...], *, most: int) -> Engine:
    """Return an engine of at most so many connections, which stay open and begin their transactions as told."""
    engine = create_engine(
        URL.create("sqlite", database=str(path)),
        pool_size=most,
        max_overflow=0,
        pool_timeout=BUSY_SECONDS,
        pool_use_lifo=True,
        connect_args={"timeout": BUSY_SECONDS},
    )

    @event.listens_for(engine, "connect")
    def _connect(connection: sqlite3.Connection, _: object) -> None:
        connection.isolation_level = None  # we say BEGIN ourselves, below
        for pragma in pragmas:
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Any) -> None:
        connection.exec_driver_sql(begin)

    return engine
