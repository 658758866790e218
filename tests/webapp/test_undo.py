"""Whatever a form of the demo saves, undo takes it back, and undo of the undo brings it again."""

import re
from collections.abc import Iterator
from typing import Any

from demo_forms import Demo, kind_of
from webapp.store import history
from webapp.store.database import Database

WORDS = re.compile(r"(^|_|-)(name|notes?|why|description|colour|room|words)$")
NUMBERS = re.compile(r"^(quantity|setup|each|minutes|crew|came)\b|-(quantity|setup|each|crew)$|^price-")
NO_FACTS = {
    "action", "change", "form_key", "layout", "kept_plan", "device", "sqlite_sequence", "alembic_version",
}  # fmt: skip
"""Tables that say nothing of the shop; layouts and plans found can be made anew, and a phone is let in or forgotten."""

NEEDED = {
    "day": "2026-08-03", "not_before": "2026-08-03T08:00", "new-cost-amount": "40", "takes": "2 h",
    "first": "2026-08-03", "extra_day": "2026-08-08", "extra_starts": "08:00", "extra_ends": "12:00",
}  # fmt: skip


def changed(fields: dict[str, str]) -> dict[str, str]:
    """Return the fields as somebody would leave who changed what can be changed without thinking."""
    words = {name: f"{text} again".strip() for name, text in fields.items() if WORDS.search(name)}
    numbers = {name: "3" for name in fields if NUMBERS.search(name)}
    needed = {name: text for name, text in NEEDED.items() if name in fields and not fields[name]}
    return fields | words | numbers | needed | {"form_key": ""}


def content(database: Database) -> dict[str, set[tuple[Any, ...]]]:
    """Return every row that counts, without its version: removed ones do not."""
    with database.read() as db:
        ask = db.connection().exec_driver_sql
        tables = [name for (name,) in ask("SELECT name FROM sqlite_master WHERE type = 'table'")]
        kept = {}
        for table in set(tables) - NO_FACTS:
            rows = ask(f'SELECT * FROM "{table}"').mappings()  # noqa: S608
            kept[table] = {
                tuple((name, value) for name, value in row.items() if name != "version")
                for row in rows
                if row.get("removed_at") is None
            }
        return kept


def saving(demo: Demo) -> Iterator[tuple[str, int]]:
    """Send each form, changed a little, and return those that saved something, with the action that was noted."""
    for form in demo.forms:
        if "/undo" in form.action or form.action.startswith("/backups"):
            continue
        reply = demo.client.post(form.action, data=changed(demo.as_it_is_now(form)))
        if found := re.search(r"[?&]done=(\d+)", reply.headers.get("location", "")):
            yield form.action, int(found[1])


def press_undo(demo: Demo, action_id: int) -> int | None:
    """Press Undo as on a page; return the action that the undoing is, None when it was refused."""
    reply = demo.client.post(f"/history/{action_id}/undo", data={"back": "/history"})
    assert reply.status_code in (303, 409), reply.text
    found = re.search(r"done=(\d+)", reply.headers.get("location", ""))
    return int(found[1]) if found else None


def test_undo_of_every_form_and_undo_of_that(demo: Demo) -> None:
    before, tried, frozen = content(demo.database), set(), set()
    for address, action_id in saving(demo):
        after = content(demo.database)
        with demo.database.read() as db:
            action = history.load_action(db, action_id)
        assert action is not None
        if not action.can_undo:
            frozen.add(kind_of(address))
            before = after
            continue
        assert after != before, f"{address} noted an action that changed nothing"
        undoing = press_undo(demo, action_id)
        assert undoing is not None, address
        assert content(demo.database) == before, f"undo of {address}"
        again = press_undo(demo, undoing)
        assert again is not None, address
        assert content(demo.database) == after, f"undo of the undo of {address}"
        press_undo(demo, again)
        assert content(demo.database) == before, f"undo of that of {address}"
        tried.add(kind_of(address))
    assert len(tried) > 30
    assert len(frozen) < 8
