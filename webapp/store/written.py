"""How often what was written since the file was opened, so that a reader can tell what still stands as it was read."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, Engine, event
from sqlmodel import Session

WRITTEN, TABLES = "written", "tables written"
ANYTHING = "*"
"""What is noted as written where nobody can tell the tables."""

_NO_WRITE = re.compile(r"\s*(SELECT|PRAGMA|BEGIN|COMMIT|ROLLBACK|SAVEPOINT|RELEASE)\b", re.IGNORECASE)
_WRITE = re.compile(r'\s*(?:INSERT(?: OR \w+)? INTO|UPDATE|DELETE FROM)\s+"?(\w+)', re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Written:
    """How often which tables were written together. file: the opened file itself, so that two are never mixed up."""

    file: object = field(default_factory=object)
    times: Mapping[frozenset[str], int] = field(default_factory=dict)

    def and_then(self, tables: frozenset[str]) -> "Written":
        """Return the same after one write more."""
        return Written(self.file, {**self.times, tables: self.times.get(tables, 0) + 1})

    def count(self, *, beside: frozenset[str] = frozenset()) -> int:
        """Return how many writes there were, those to some tables alone left out."""
        return sum(count for tables, count in self.times.items() if not tables or not tables <= beside)


def written(db: Session, *, beside: frozenset[str] = frozenset()) -> object | None:
    """Return what tells how often the file had been written when a reader began; None for a session that writes.

    beside: writes to these tables alone do not count. Which tables are written is told by the statements themselves.
    """
    known: Written | None = db.info.get(WRITTEN)
    return None if known is None else (known.file, known.count(beside=beside))


def note_tables(writer: Engine) -> None:
    """Have the writing connection remember which tables the statements of its transaction write."""

    @event.listens_for(writer, "begin")
    def _none_yet(connection: Connection) -> None:
        connection.info[TABLES] = set()

    @event.listens_for(writer, "before_cursor_execute")
    def _note(connection: Connection, _cursor: Any, statement: str, *_: Any) -> None:
        if not _NO_WRITE.match(statement):
            found = _WRITE.match(statement)
            connection.info[TABLES].add(found[1] if found else ANYTHING)


def tables_of(db: Session) -> frozenset[str]:
    """Return which tables a writing session has written so far."""
    return frozenset(db.connection().info[TABLES])
