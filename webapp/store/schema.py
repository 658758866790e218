"""The schema of a database file: which revision it has, and how it is brought to the newest."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, create_engine

from webapp.places import MIGRATIONS
from webapp.store.check import CannotOpen, looking_at


def revision_of(path: Path) -> str:
    """Return the schema revision of a file; empty for one without any table.

    Raises CannotOpen for a file with tables of something else, and for one from a newer Benchday.
    """
    with looking_at(path) as connection:
        tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        rows = (
            connection.execute("SELECT version_num FROM alembic_version").fetchall()
            if "alembic_version" in tables
            else []
        )
    if tables and len(rows) != 1:
        raise CannotOpen(f"{path} is a database, but not one of Benchday's. Choose another folder with --data.")
    revision = str(rows[0][0]) if rows else ""
    if revision and revision not in known_revisions():
        raise CannotOpen(
            f"{path} was written by a newer Benchday (schema {revision}; this one knows up to {newest_revision()}). "
            "Start that version, or restore a backup made before it."
        )
    return revision


def newest_revision() -> str:
    return str(_scripts().get_current_head())


def known_revisions() -> frozenset[str]:
    return frozenset(script.revision for script in _scripts().walk_revisions())


def upgrade(path: Path, revision: str = "head") -> None:
    """Bring a file to a revision, whole or not at all. Raises CannotOpen when rows would lose their references."""
    from alembic import command

    with changing(path) as connection:
        config = _config()
        config.attributes["connection"] = connection
        command.upgrade(config, revision)


@contextmanager
def changing(path: Path) -> Iterator[Connection]:
    """Give a connection on which migrations run in one transaction, with foreign keys off and checked at the end.

    Off, because dropping a table while rebuilding it would delete the rows that refer to it.
    """
    engine = create_engine(URL.create("sqlite", database=str(path)), isolation_level="AUTOCOMMIT")
    try:
        with engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
            connection.exec_driver_sql("PRAGMA synchronous=FULL")
            connection.exec_driver_sql("BEGIN EXCLUSIVE")
            try:
                yield connection
                if connection.exec_driver_sql("PRAGMA foreign_key_check").first():
                    raise CannotOpen(
                        f"{path} could not be upgraded: rows would lose what they refer to. Nothing was changed."
                    )
                connection.exec_driver_sql("COMMIT")
            except BaseException:
                if connection.connection.driver_connection.in_transaction:  # type: ignore[union-attr]
                    connection.exec_driver_sql("ROLLBACK")
                raise
    finally:
        engine.dispose()


def _config() -> Any:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    return config


@cache
def _scripts() -> Any:
    from alembic.script import ScriptDirectory

    return ScriptDirectory.from_config(_config())
