"""A form counts once: its key is kept in the same transaction as its change."""

from datetime import datetime, timedelta
from secrets import token_urlsafe

from sqlmodel import Session, delete

from webapp.store.tables import FormKeyRow

KEPT = timedelta(days=7)
LONGEST = 64


class AlreadyDone(Exception):
    """This form was handled before; led_to is where the first press led."""

    def __init__(self, led_to: str) -> None:
        super().__init__(led_to)
        self.led_to = led_to


def new_key() -> str:
    return token_urlsafe(16)


def leads_to(db: Session, url: str) -> str:
    """Say where this form leads, for a second press of it; return the same address."""
    db.info["leads_to"] = url
    return url


def claim(db: Session, key: str) -> None:
    """Raise AlreadyDone when the form with this key has been handled; no key, nothing to know."""
    if key and (row := db.get(FormKeyRow, key[:LONGEST])):
        raise AlreadyDone(row.led_to)


def remember(db: Session, key: str, *, at: datetime) -> None:
    """Keep that the form with this key was handled, and forget those of last week."""
    if key:
        db.exec(delete(FormKeyRow).where(FormKeyRow.at < at - KEPT))  # type: ignore[arg-type]
        db.add(FormKeyRow(id=key[:LONGEST], led_to=db.info.get("leads_to", ""), at=at))
