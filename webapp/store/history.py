"""What people did, in words, with every row before and after; and undo.

The writing session notes every change by itself, so no store function can forget to. What a row was and became is
read from the file, so that both are told in the same terms.
"""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time
from fractions import Fraction
from typing import Any

from sqlalchemy import Integer, Table, event, inspect
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import ORMExecuteState
from sqlmodel import Session, SQLModel, col, insert, select

from domain.money import Money
from webapp.store.rows import find
from webapp.store.tables import ActionRow, AnswerRow, ChangeRow, QuoteRow

FROZEN = (QuoteRow, AnswerRow)
Plain = dict[str, Any]


class CannotUndo(Exception):
    """The words say why, for a person."""


@dataclass(frozen=True, slots=True)
class Action:
    """One thing that was done. undone: whether it stands taken back now."""

    id: int
    at: datetime
    words: str
    job_id: int | None
    can_undo: bool
    undone: bool


class NotedSession(Session):
    """A session that notes its changes once `begin` has said what is being done."""


def begin(db: Session, words: str, *, at: datetime, job_id: int | None) -> None:
    """Start noting the changes of a writing session under these words."""
    db.info.update(words=words, at=at, job_id=job_id, action_id=None, undoes=None)


def of_job(db: Session, job_id: int) -> None:
    """Say to which job the current action belongs, when that was not known at its start."""
    db.info["job_id"] = job_id
    if db.info["action_id"] is not None:
        _change_action(db, job_id=job_id)


def say(db: Session, words: str) -> None:
    """Say in words what the current action does, when that was not known at its start."""
    db.info["words"] = words
    if db.info["action_id"] is not None:
        _change_action(db, words=words)


def load_actions(db: Session, *, job_id: int | None = None, most: int = 200) -> tuple[Action, ...]:
    """Return what was done, newest first, for one job or the whole shop."""
    query = select(ActionRow).order_by(col(ActionRow.id).desc()).limit(most)
    if job_id is not None:
        query = query.where(ActionRow.job_id == job_id)
    undone = _undone(db)
    return tuple(_action_of(row, undone=row.id in undone) for row in db.exec(query))


def load_action(db: Session, action_id: int) -> Action | None:
    """Return one action, None when there is none with this id."""
    row = db.get(ActionRow, action_id)
    return None if row is None else _action_of(row, undone=row.id in _undone(db))


def last_action_id(db: Session) -> int | None:
    """Return the action this writing session has noted so far."""
    action_id: int | None = db.info.get("action_id")
    return action_id


def undo(db: Session, action_id: int) -> None:
    """Take an action back as a new action. Raises CannotUndo when something changed since, Missing when unknown."""
    action = find(db, ActionRow, action_id)
    if not action.undoable:
        raise CannotUndo("A frozen quote and the answer to it stay as they are. Make a new quote that replaces it.")
    if action_id in _undone(db):
        raise CannotUndo("This was undone already.")
    db.info.update(undoes=action_id, job_id=action.job_id)
    changes = select(ChangeRow).where(ChangeRow.action_id == action_id).order_by(col(ChangeRow.id).desc())
    for change in db.exec(changes).all():
        _take_back(db, change)


def _undone(db: Session) -> set[int]:
    """Return the actions that stand taken back: an undo that was itself undone takes nothing back."""
    undone: set[int] = set()
    pairs = select(ActionRow.id, ActionRow.undoes).where(col(ActionRow.undoes).is_not(None))
    for action_id, undoes in db.exec(pairs.order_by(col(ActionRow.id).desc())):
        if action_id not in undone and undoes is not None:
            undone.add(undoes)
    return undone


def _action_of(row: ActionRow, *, undone: bool) -> Action:
    return Action(row.id or 0, row.at, row.words, row.job_id, row.undoable and not undone, undone)


def _take_back(db: Session, change: ChangeRow) -> None:
    """Make a row what it was before. Raises CannotUndo when it is not what the change made of it."""
    model = _model(change.noun)
    table = _table(model)
    row_id = int(change.row_id) if isinstance(table.c.id.type, Integer) else change.row_id
    before, after = (json.loads(text) if text else None for text in (change.before, change.after))
    if not _is_still(_stored(db, table, row_id), after):
        raise CannotUndo("It was changed again since. Undo the later change first, or change it by hand.")
    row: Any = db.get(model, row_id)
    if before is None and getattr(row, "can_be_hidden", False):
        row.removed_at = db.info["at"]
    elif before is None:
        db.delete(row)
    elif row is None:
        db.add(model.model_validate(before))
    else:
        old = model.model_validate(before)
        for name in before.keys() & set(table.c.keys()) - {"id", "version"}:
            setattr(row, name, getattr(old, name))
    try:
        db.flush()
    except IntegrityError:
        raise CannotUndo("Something else stands in its place now. Remove that first, or change it by hand.") from None


def _is_still(now: Plain | None, after: Plain | None) -> bool:
    """Whether a row is as an action left it; columns that came later and the version do not count."""
    if now is None or after is None:
        return now is after
    return all(now[name] == value for name, value in after.items() if name in now and name != "version")


def _model(noun: str) -> type[SQLModel]:
    mappers = inspect(ActionRow).registry.mappers
    return next(mapper.class_ for mapper in mappers if mapper.local_table.name == noun)  # type: ignore[attr-defined]


def _table(model: type[SQLModel]) -> Table:
    table: Table = inspect(model).local_table
    return table


def _noted(rows: Iterable[Any]) -> list[Any]:
    return [row for row in rows if getattr(row, "in_history", False)]


@event.listens_for(NotedSession, "do_orm_execute")
def _refuse_statements(state: ORMExecuteState) -> None:
    """Whole-table statements pass by the rows, so nobody could undo them."""
    changes = state.is_insert or state.is_update or state.is_delete
    if changes and state.bind_mapper and getattr(state.bind_mapper.class_, "in_history", False):
        raise TypeError(f"change rows of {state.bind_mapper.class_.__name__} one by one: history keeps each of them")


@event.listens_for(NotedSession, "before_flush")
def _look(db: NotedSession, *_: object) -> None:
    """Count the versions of changed rows up, and keep what the file still says of them."""
    changed = [row for row in _noted(db.dirty) if db.is_modified(row)]
    for row in changed:
        row.version += 1
    removed = _noted(db.deleted)
    db.info["before"] = [(row, _stored(db, _table(type(row)), row.id)) for row in changed + removed]


@event.listens_for(NotedSession, "after_flush")
def _note(db: NotedSession, *_: object) -> None:
    """Write what the flush changed, row by row, before and after."""
    noted = [(row, None) for row in _noted(db.new)] + db.info.pop("before")
    frozen = any(isinstance(row, FROZEN) for row in db.new)
    if not (noted or frozen):
        return
    action_id = _action(db, undoable=not frozen)
    if noted:
        rows = [_change(db, action_id, row, before) for row, before in noted]
        db.connection().execute(insert(ChangeRow), rows)


def _change(db: Session, action_id: int, row: Any, before: Plain | None) -> Plain:
    after = _stored(db, _table(type(row)), row.id)
    return {
        "action_id": action_id,
        "noun": row.__tablename__,
        "row_id": str(row.id),
        "before": _text(before),
        "after": _text(after),
    }


def _action(db: Session, *, undoable: bool) -> int:
    """Return the id of this session's action, writing it on first use."""
    if db.info["action_id"] is None:
        values = {name: db.info[name] for name in ("at", "words", "job_id", "undoes")}
        key = db.connection().execute(insert(ActionRow).values(**values, undoable=undoable)).inserted_primary_key
        db.info["action_id"] = key[0] if key else None
    elif not undoable:
        _change_action(db, undoable=False)
    action_id: int = db.info["action_id"]
    return action_id


def _change_action(db: Session, **values: Any) -> None:
    table = _table(ActionRow)
    db.connection().execute(table.update().where(table.c.id == db.info["action_id"]).values(**values))


def _stored(db: Session, table: Table, row_id: Any) -> Plain | None:
    """Return a row as it stands in the file, in terms that JSON knows; None when it is not there."""
    row = db.connection().execute(table.select().where(table.c.id == row_id)).mappings().first()
    return None if row is None else {name: _json(value) for name, value in row.items()}


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


def _text(plain: Plain | None) -> str | None:
    return None if plain is None else json.dumps(plain, ensure_ascii=False)
