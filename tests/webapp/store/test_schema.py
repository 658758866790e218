"""The schema: migrations and tables.py say the same, an upgrade is whole or not at all, and a copy comes first."""

import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Connection, Engine, create_engine, event
from sqlmodel import SQLModel

from store_builders import NOW, add_job, ask, names
from webapp.places import MIGRATIONS
from webapp.store import backup, schema
from webapp.store.check import CannotOpen, check
from webapp.store.database import Database

RELEASED = ("first_tables", "boards_and_layouts", "people_and_plans")


def test_nothing_is_left_to_generate(database: Database) -> None:
    with database.read() as db:
        context = MigrationContext.configure(db.connection(), opts={"compare_type": True})
        assert compare_metadata(context, SQLModel.metadata) == []


def test_the_migrated_file_holds_just_what_tables_py_says_checks_included(database: Database, tmp_path: Path) -> None:
    """Alembic's own comparison does not look at checks, strictness or autoincrement."""
    fresh = tmp_path / "fresh.sqlite"
    engine = create_engine(f"sqlite:///{fresh}")
    SQLModel.metadata.create_all(engine)
    engine.dispose()
    migrated = described(database.path)
    for name in [name for name in migrated if name.endswith(("_no_update", "_no_delete"))] + ["alembic_version"]:
        del migrated[name]
    assert len(migrated) > len(SQLModel.metadata.tables) > 20
    assert migrated == described(fresh)


def described(path: Path) -> dict[str, list[str]]:
    """Return what sqlite_master says: each thing's SQL as its sorted parts, for the order of columns is no matter."""
    rows = ask(path, "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'")
    return {str(name): sorted(re.split(r",?\s*\n\s*", str(sql).replace('"', ""))) for name, sql in rows}


def test_quote_and_answer_are_guarded_by_triggers(database: Database) -> None:
    assert {name for (name,) in ask(database.path, "SELECT name FROM sqlite_master WHERE type = 'trigger'")} == {
        "quote_no_update",
        "quote_no_delete",
        "answer_no_update",
        "answer_no_delete",
    }


def test_every_rule_and_reference_has_a_name(database: Database) -> None:
    """SQLite can drop a rule only by its name."""
    for (sql,) in ask(database.path, "SELECT sql FROM sqlite_master WHERE type = 'table' AND sql LIKE '%CONSTRAINT%'"):
        for line in str(sql).splitlines():
            if re.search(r"\b(CHECK|FOREIGN KEY|UNIQUE)\b", line):
                assert line.strip().startswith("CONSTRAINT "), line


@pytest.fixture
def tomorrow(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The migrations with one more of tomorrow: a folder to write it into."""
    folder = tmp_path / "migrations"
    shutil.copytree(MIGRATIONS, folder)
    monkeypatch.setattr(schema, "MIGRATIONS", folder)
    schema._scripts.cache_clear()
    yield folder / "versions" / "2027_01_01_tomorrow.py"
    monkeypatch.undo()
    schema._scripts.cache_clear()


REBUILD = """
import sqlalchemy as sa
from alembic import op

revision = "tomorrow"
down_revision = "people_and_plans"

def upgrade():
    with op.batch_alter_table("client", recreate="always") as table:
        table.add_column(sa.Column("town", sa.Text(), server_default="", nullable=False))
"""

FORGET_THE_CLIENTS = REBUILD + '    op.execute("DELETE FROM client")\n'  # noqa: S608
STUMBLE = REBUILD + '    op.execute("SELECT nothing FROM nowhere")\n'  # noqa: S608


def content_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    tables = ask(path, "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
    return {str(name): ask(path, f'SELECT * FROM "{name}"') for (name,) in tables}  # noqa: S608


def a_file_of_today(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Make a file with rows in it, and return them."""
    database = Database(path, at=NOW)
    for name in ("Pantry", "Larder"):
        add_job(database, name, key=name)
    database.close()
    return content_of(path)


def test_an_upgrade_keeps_every_row_and_copies_the_file_first(path: Path, tomorrow: Path) -> None:
    before = a_file_of_today(path)
    tomorrow.write_text(REBUILD)
    schema._scripts.cache_clear()
    database = Database(path, at=NOW)
    assert database.revision == "tomorrow"
    assert names(database) == ["Pantry", "Larder"]
    (copy,) = backup.listed(path)
    assert copy.why == "before-upgrade"
    database.close()
    assert content_of(backup.folder(path) / copy.name) == before
    after = content_of(path)
    assert [row[:-1] for row in after.pop("client")] == before.pop("client")
    del before["alembic_version"], after["alembic_version"]
    assert after == before
    assert ask(path, "SELECT strict FROM pragma_table_list WHERE name = 'client'") == [(1,)]


def test_an_upgrade_is_not_made_twice(path: Path, tomorrow: Path) -> None:
    a_file_of_today(path)
    tomorrow.write_text(REBUILD)
    schema._scripts.cache_clear()
    for _ in range(2):
        Database(path, at=NOW).close()
    assert len(backup.listed(path)) == 1


@pytest.mark.parametrize("fault", [FORGET_THE_CLIENTS, STUMBLE])
def test_an_upgrade_that_fails_changes_nothing_and_says_so(path: Path, tomorrow: Path, fault: str) -> None:
    before = a_file_of_today(path)
    tomorrow.write_text(fault)
    schema._scripts.cache_clear()
    with pytest.raises(CannotOpen):
        Database(path, at=NOW)
    assert content_of(path) == before
    check(path)
    tomorrow.unlink()
    schema._scripts.cache_clear()
    database = Database(path, at=NOW)
    assert names(database) == ["Pantry", "Larder"]
    database.close()


def test_an_upgrade_cut_off_at_any_statement_leaves_the_old_file(path: Path, tomorrow: Path, tmp_path: Path) -> None:
    """Before each statement the disk is copied as it stands, as after a kill, and opened."""
    before = a_file_of_today(path)
    tomorrow.write_text(REBUILD)
    schema._scripts.cache_clear()
    cut = tmp_path / "cut" / path.name
    cut.parent.mkdir()
    statements: list[str] = []

    def look(connection: Connection, cursor: object, statement: str, *_: object) -> None:
        statements.append(statement)
        for ending in ("", "-wal", "-journal"):
            source = path.with_name(path.name + ending)
            if source.exists():
                shutil.copyfile(source, cut.with_name(cut.name + ending))
            else:
                cut.with_name(cut.name + ending).unlink(missing_ok=True)
        assert content_of(cut) == before, statement

    event.listen(Engine, "before_cursor_execute", look)
    try:
        schema.upgrade(path)
    finally:
        event.remove(Engine, "before_cursor_execute", look)
    assert any("DROP TABLE client" in statement for statement in statements)
    assert statements[-1] == "COMMIT"
    assert schema.revision_of(path) == "tomorrow"


def test_with_foreign_keys_on_the_same_upgrade_would_fail(path: Path, tomorrow: Path) -> None:
    """The control: what keeps the rows is that foreign keys are off meanwhile."""
    a_file_of_today(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA foreign_keys=ON")
        connection.execute("BEGIN")
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute("DROP TABLE client")


@pytest.mark.parametrize("revision", RELEASED)
def test_a_file_of_each_released_schema_keeps_its_rows_as_it_is_brought_up_to_date(path: Path, revision: str) -> None:
    schema.upgrade(path, revision)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute(
            "INSERT INTO client (version, name, address, phone, email) VALUES (1, 'Ada (invented)', '', '', '')"
        )
    before = content_of(path)
    schema.upgrade(path)
    assert schema.revision_of(path) == schema.newest_revision()
    after = content_of(path)
    assert {name: after[name] for name in before if name != "alembic_version"} == {
        name: rows for name, rows in before.items() if name != "alembic_version"
    }


def test_every_schema_is_in_the_list_of_those_released() -> None:
    assert schema.known_revisions() == set(RELEASED)
