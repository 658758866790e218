"""What people did, in words, with every row before and after; and undo.

The writing session notes every change by itself, so no store function can forget to.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from fractions import Fraction
from typing import Any

from sqlalchemy import event, inspect
from sqlalchemy.orm import Session as OrmSession
from sqlmodel import Session, SQLModel, col, insert, select

from domain.money import Money
from webapp.store.rows import find
from webapp.store.tables import ActionRow, AnswerRow, ChangeRow, QuoteRow

FROZEN = (QuoteRow, AnswerRow)


class CannotUndo(Exception):
    """The words say why, for a person."""


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that was done. undone: whether a later action took it back."""

    id: int
    at: datetime
    words: str
    job_id: int | None
    can_undo: bool
    undone: bool


def begin(db: Session, words: str, *, at: datetime, job_id: int | None) -> None:
    """Start noting the changes of a writing session under these words."""
    db.info.update(words=words, at=at, job_id=job_id, action_id=None, undoes=None)
    event.listen(db, "before_flush", _count_versions)
    event.listen(db, "after_flush", _note)


def of_job(db: Session, job_id: int) -> None:
    """Say to which job the current action belongs, when that was not known at its start."""
    db.info["job_id"] = job_id


def load_actions(db: Session, *, job_id: int | None = None, most: int = 200) -> tuple[Action, ...]:
    """Return what was done, newest first, for one job or the whole shop."""
    query = select(ActionRow).order_by(col(ActionRow.id).desc()).limit(most)
    if job_id is not None:
        query = query.where(ActionRow.job_id == job_id)
    rows = db.exec(query).all()
    undone = set(db.exec(select(ActionRow.undoes).where(col(ActionRow.undoes).in_([row.id for row in rows]))).all())
    return tuple(_action_of(row, undone=row.id in undone) for row in rows)


def load_action(db: Session, action_id: int) -> Action | None:
    """Return one action, None when there is none with this id."""
    row = db.get(ActionRow, action_id)
    if row is None:
        return None
    undone = db.exec(select(ActionRow.id).where(ActionRow.undoes == action_id)).first() is not None
    return _action_of(row, undone=undone)


def _action_of(row: ActionRow, *, undone: bool) -> Action:
    return Action(row.id or 0, row.at, row.words, row.job_id, row.undoable and not undone, undone)


def last_action_id(db: Session) -> int | None:
    """Return the action this writing session has noted so far."""
    action_id: int | None = db.info.get("action_id")
    return action_id


def undo(db: Session, action_id: int) -> None:
    """Take an action back as a new action. Raises CannotUndo when something changed since, Missing when unknown."""
    action = find(db, ActionRow, action_id)
    if not action.undoable:
        raise CannotUndo("A frozen quote and the answer to it stay as they are. Make a new quote that replaces it.")
    if db.exec(select(ActionRow.id).where(ActionRow.undoes == action_id)).first():
        raise CannotUndo("This was undone already.")
    db.info.update(undoes=action_id, job_id=action.job_id)
    changes = db.exec(
        select(ChangeRow).where(ChangeRow.action_id == action_id).order_by(col(ChangeRow.id).desc())
    ).all()
    for change in changes:
        _take_back(db, change)
    db.flush()


def _take_back(db: Session, change: ChangeRow) -> None:
    table = _table(change.noun)
    before, after = (json.loads(text) if text else None for text in (change.before, change.after))
    row_id = int(change.row_id) if "autoincrement" in str(table.__table_args__) else change.row_id  # type: ignore[attr-defined]
    row: Any = db.get(table, row_id)
    now = _plain(row) if row else None
    if _content(now) != _content(after):
        raise CannotUndo("It was changed again since. Undo the later change first, or change it by hand.")
    if before is None and hasattr(row, "removed_at"):
        row.removed_at = db.info["at"]
    elif before is None:
        db.delete(row)
    elif row is None:
        db.add(table.model_validate(before))
    else:
        old = table.model_validate(before)
        for name in _columns(table):
            if name not in ("id", "version"):
                setattr(row, name, getattr(old, name))
    db.flush()


def _content(plain: dict[str, Any] | None) -> dict[str, Any] | None:
    return plain and {name: value for name, value in plain.items() if name != "version"}


def _table(noun: str) -> type[SQLModel]:
    return next(
        mapper.class_
        for mapper in ActionRow._sa_registry.mappers
        if mapper.local_table.name == noun  # type: ignore[attr-defined]
    )


def _columns(table: type[SQLModel]) -> Iterator[str]:
    return (attribute.key for attribute in inspect(table).column_attrs)


def _count_versions(db: OrmSession, *_: object) -> None:
    for row in db.dirty:
        if getattr(row, "in_history", False) and db.is_modified(row):
            row.version += 1


def _note(db: OrmSession, *_: object) -> None:
    """Write what the flush changed, row by row, before and after."""
    noted: list[tuple[dict[str, Any] | None, Any]] = [
        (None, row) for row in db.new if getattr(row, "in_history", False)
    ]
    noted += [(_before(row), row) for row in db.dirty if getattr(row, "in_history", False) and db.is_modified(row)]
    removed = [row for row in db.deleted if getattr(row, "in_history", False)]
    frozen = any(isinstance(row, FROZEN) for row in db.new)
    if not (noted or removed or frozen):
        return
    connection = db.connection()
    action_id = _action(db, undoable=not frozen)
    rows = [
        {
            "action_id": action_id,
            "noun": row.__tablename__,
            "row_id": str(row.id),
            "before": _text(before),
            "after": _text(_plain(row)),
        }
        for before, row in noted
    ] + [
        {
            "action_id": action_id,
            "noun": row.__tablename__,
            "row_id": str(row.id),
            "before": _text(_plain(row)),
            "after": None,
        }
        for row in removed
    ]
    if rows:
        connection.execute(insert(ChangeRow), rows)


def _action(db: OrmSession, *, undoable: bool) -> int:
    """Return the id of this session's action, writing it on first use."""
    info, connection = db.info, db.connection()
    if info["action_id"] is None:
        values = {
            "at": info["at"],
            "words": info["words"],
            "job_id": info["job_id"],
            "undoable": undoable,
            "undoes": info["undoes"],
        }
        key = connection.execute(insert(ActionRow).values(**values)).inserted_primary_key
        info["action_id"] = key[0] if key else None
    elif not undoable:
        table = ActionRow.__table__  # type: ignore[attr-defined]
        connection.execute(table.update().where(table.c.id == info["action_id"]).values(undoable=False))
    action_id: int = info["action_id"]
    return action_id


def _before(row: SQLModel) -> dict[str, Any]:
    state = inspect(row)
    old = {}
    for name in _columns(type(row)):
        history = state.attrs[name].history
        old[name] = _json(history.deleted[0] if history.has_changes() and history.deleted else getattr(row, name))
    return old


def _plain(row: SQLModel) -> dict[str, Any]:
    return {name: _json(getattr(row, name)) for name in _columns(type(row))}


def _json(value: Any) -> Any:
    match value:
        case Money():
            return {"cents": value.cents}
        case Fraction():
            return str(value)
        case datetime() | date() | time():
            return value.isoformat()
        case _:
            return value


def _text(plain: dict[str, Any] | None) -> str | None:
    return None if plain is None else json.dumps(plain, ensure_ascii=False)
