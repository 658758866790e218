"""The database file: one process, one writer and several read-only connections, checked as it opens.

WAL with synchronous=FULL, so an answered write outlives a power cut. One writer connection also keeps clear of
the fault in WAL resets that SQLite fixed in 3.51.3. Readers refuse to write (`query_only`).
"""

import fcntl
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.exc import OperationalError
from sqlmodel import Session

from webapp.places import MIGRATIONS
from webapp.store import backup, form_key, history

BUSY_SECONDS = 10
NETWORK_FILE_SYSTEMS = ("nfs", "nfs4", "cifs", "smb3", "smbfs", "fuse", "fuse.sshfs", "9p", "afs", "davfs")


class CannotOpen(Exception):
    """The database cannot be used; the words say why and what to do."""


class InUse(CannotOpen):
    """Another process has the file."""


class Damaged(CannotOpen):
    """The file is there and is not whole."""


class Database:
    """An open database file. `read()` and `write(...)` hand out sessions; `close()` leaves one whole file."""

    def __init__(self, path: Path, *, at: datetime) -> None:
        """Lock, check, migrate (after a copy) and open the file; make it when it is not there.

        Raises CannotOpen, worded for a person.
        """
        self.path = path
        self._lock = _lock(path)
        try:
            existed = path.exists() and path.stat().st_size > 0
            if existed:
                check(path)
            self._migrate(existed=existed, at=at)
            self._open()
        except BaseException:
            self._lock.close()
            raise

    @contextmanager
    def read(self) -> Iterator[Session]:
        """Give a session that sees one moment and cannot write."""
        with Session(self._readers) as session:
            yield session

    @contextmanager
    def write(self, words: str, *, at: datetime, job_id: int | None = None, key: str = "") -> Iterator[Session]:
        """Give the only writing session; commit when the block ends well, roll back when it does not.

        words: what is being done, for the history; key: the form's key, so that a form counts once.
        Raises form_key.AlreadyDone when that form has been handled before.
        """
        with Session(self._writer) as session:
            history.begin(session, words, at=at, job_id=job_id)
            form_key.claim(session, key)
            yield session
            session.flush()
            form_key.remember(session, key, at=at)
            session.commit()

    @property
    def revision(self) -> str:
        """The schema revision of the file."""
        with self.read() as session:
            return str(session.connection().exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one())

    def restore(self, copy: Path, *, at: datetime) -> Path:
        """Put a checked backup in the place of the open file, which is moved aside; return where to.

        Raises Damaged when the backup is not whole; then nothing was changed.
        """
        check(copy)
        self._dispose()
        try:
            aside = _put_back(self.path, copy, at=at)
            self._migrate(existed=True, at=at)
        finally:
            self._open()
        return aside

    @staticmethod
    def put_back(path: Path, copy: Path, *, at: datetime) -> Path:
        """Do the same for a file that nobody has open, even a damaged one. Raises InUse or Damaged."""
        check(copy)
        with _lock(path):
            return _put_back(path, copy, at=at)

    def close(self) -> None:
        self._dispose()
        self._lock.close()

    def _open(self) -> None:
        self._writer = _engine(self.path, writes=True)
        self._readers = _engine(self.path, writes=False)
        with self._writer.connect() as connection:
            mode = connection.exec_driver_sql("PRAGMA journal_mode").scalar_one()
        if mode != "wal":
            raise CannotOpen(f"{self.path} cannot use a write-ahead log (it says “{mode}”). Put it on a local disk.")

    def _dispose(self) -> None:
        self._readers.dispose()
        with suppress(OperationalError), self._writer.connect() as connection:
            connection.commit()
            connection.connection.driver_connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")  # type: ignore[union-attr]
        self._writer.dispose()

    def _migrate(self, *, existed: bool, at: datetime) -> None:
        here, newest = schema_revision(self.path), newest_revision()
        if here == newest:
            return
        if here and here not in known_revisions():
            raise CannotOpen(
                f"{self.path} was written by a newer Benchday (schema {here}; this one knows up to {newest}). "
                "Start that version, or restore a backup made before it."
            )
        if existed:
            backup.make(self.path, at=at, why="before-upgrade")
        upgrade(self.path)


def _put_back(path: Path, copy: Path, *, at: datetime) -> Path:
    aside = path.with_name(f"{path.stem}-before-restore-{at:%Y%m%d-%H%M%S}{path.suffix}")
    backup.swap(copy, path, aside)
    return aside


def check(path: Path) -> None:
    """Raise Damaged unless the file is a whole SQLite database without dangling references."""
    try:
        with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True, timeout=BUSY_SECONDS)) as connection:
            said = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
            if said == "ok" and connection.execute("PRAGMA foreign_key_check").fetchone():
                said = "a row refers to another that is not there"
    except sqlite3.DatabaseError as error:
        said = str(error)
    if said != "ok":
        raise Damaged(f"{path} is damaged ({said}). It is kept as it is; restore the newest backup beside it.")


def schema_revision(path: Path) -> str | None:
    """Return the schema revision of a file; None for a new or empty one."""
    if not path.exists():
        return None
    with closing(sqlite3.connect(path)) as connection:
        try:
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
        except sqlite3.OperationalError:
            return None
    return row[0] if row else None


def newest_revision() -> str:
    return str(_scripts().get_current_head())


def known_revisions() -> frozenset[str]:
    return frozenset(script.revision for script in _scripts().walk_revisions())


def upgrade(path: Path, revision: str = "head") -> None:
    """Bring a file to a schema revision, in one transaction with foreign keys off; the file must then be consistent."""
    from alembic import command

    engine = create_engine(f"sqlite:///{path}", isolation_level="AUTOCOMMIT")
    try:
        with engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
            connection.exec_driver_sql("PRAGMA synchronous=FULL")
            connection.exec_driver_sql("BEGIN EXCLUSIVE")
            config = _alembic()
            config.attributes["connection"] = connection
            command.upgrade(config, revision)
            if connection.exec_driver_sql("PRAGMA foreign_key_check").first():
                connection.exec_driver_sql("ROLLBACK")
                raise CannotOpen(
                    f"{path} could not be upgraded: rows would lose what they refer to. Nothing was changed."
                )
            connection.exec_driver_sql("COMMIT")
    finally:
        engine.dispose()


def _alembic() -> Any:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    return config


def _scripts() -> Any:
    from alembic.script import ScriptDirectory

    return ScriptDirectory.from_config(_alembic())


def _lock(path: Path) -> BinaryIO:
    """Return the held lock file beside the database; one process has a database at a time."""
    if system := _network_file_system(path):
        raise CannotOpen(
            f"{path} lies on a network drive ({system}), where a database can be damaged. Use a local folder."
        )
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        held = open(path.with_name(path.name + ".lock"), "ab")  # noqa: SIM115
    except OSError as error:
        raise CannotOpen(
            f"Cannot write in {path.parent}: {error.strerror}. Choose another folder with --data."
        ) from error
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        held.close()
        raise InUse(f"{path} is already open in another Benchday. Use that one, or stop it first.") from None
    if path.exists() and not os.access(path, os.W_OK):
        held.close()
        raise CannotOpen(f"{path} is read-only. Make it writable, or choose another folder with --data.")
    return held


def _network_file_system(path: Path) -> str:
    with suppress(OSError):
        mounts = [line.split() for line in Path("/proc/mounts").read_text().splitlines()]
        place = str(path.absolute())
        under = [(mount[1], mount[2]) for mount in mounts if place.startswith(mount[1].rstrip("/") + "/")]
        if under and max(under)[1] in NETWORK_FILE_SYSTEMS:
            return max(under)[1]
    return ""


def _engine(path: Path, *, writes: bool) -> Engine:
    """Return the engine with one writing connection, or the one with several that only read."""
    size = {"pool_size": 1, "max_overflow": 0} if writes else {"pool_size": 4, "max_overflow": 4}
    engine = create_engine(
        f"sqlite:///{path}", pool_timeout=BUSY_SECONDS, connect_args={"timeout": BUSY_SECONDS}, **size
    )

    @event.listens_for(engine, "connect")
    def _connect(connection: sqlite3.Connection, _: object) -> None:
        connection.isolation_level = None  # we say BEGIN ourselves, below
        for pragma in (
            "journal_mode=WAL",
            "synchronous=FULL",
            "foreign_keys=ON",
            f"query_only={'OFF' if writes else 'ON'}",
        ):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Any) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine
