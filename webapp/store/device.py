"""Phones that were let in. What a phone holds is never stored: only its SHA-256 is, and what follows from that.

These rows have no history: a token there could be undone into use again.
"""

import hmac
from datetime import datetime
from hashlib import sha256

from sqlmodel import Session, col, select

from domain.device import Device
from webapp.store import rows
from webapp.store.tables import DeviceRow

LONGEST_TOKEN = 64
FEED_KEY_LENGTH = 32
"""Hexadecimal digits, four bits each."""


def load_devices(db: Session) -> tuple[Device, ...]:
    """Return the phones that are let in, by name."""
    known = select(DeviceRow).where(col(DeviceRow.forgotten_at).is_(None))
    return tuple(_device(row) for row in db.exec(known.order_by(col(DeviceRow.name), col(DeviceRow.id))))


def load_forgotten(db: Session, *, since: datetime) -> tuple[Device, ...]:
    """Return the phones that were forgotten since then, the last one first."""
    forgotten = select(DeviceRow).where(col(DeviceRow.forgotten_at) >= since)
    return tuple(_device(row) for row in db.exec(forgotten.order_by(col(DeviceRow.forgotten_at).desc())))


def device_with_token(db: Session, token: str) -> Device | None:
    """Return the phone that holds this, None when none does or it was forgotten."""
    row = _row_with_token(db, token)
    return None if row is None or row.forgotten_at is not None else _device(row)


def device_with_feed_key(db: Session, key: str) -> Device | None:
    """Return the phone whose calendar addresses carry this, None when none does or it was forgotten."""
    typed, found = key.encode(), None
    for device in load_devices(db):
        if hmac.compare_digest(device.feed_key.encode(), typed):
            found = device
    return found


def let_in(db: Session, name: str, *, token: str, at: datetime) -> int:
    """Insert a phone and return its id; the same one again when this is a second press."""
    row = _row_with_token(db, token)
    if row is not None and row.id is not None:
        return row.id
    return rows.add(db, DeviceRow(name=name, token=_hashed(token), paired_at=at, seen_at=at))


def rename(db: Session, device_id: int, name: str) -> None:
    """Give a phone another name. Raises Missing."""
    _save(db, rows.find(db, DeviceRow, device_id), name=name)


def forget(db: Session, device_id: int, *, at: datetime) -> Device:
    """Let a phone in no more and return it. Raises Missing."""
    row = rows.find(db, DeviceRow, device_id)
    if row.forgotten_at is None:
        _save(db, row, forgotten_at=at)
    return _device(row)


def let_in_again(db: Session, device_id: int) -> Device:
    """Let a phone in that was forgotten, and return it. Raises Missing."""
    row = rows.find(db, DeviceRow, device_id)
    _save(db, row, forgotten_at=None)
    return _device(row)


def note_seen(db: Session, device_id: int, *, at: datetime) -> None:
    """Note that a phone is in use. Raises Missing."""
    _save(db, rows.find(db, DeviceRow, device_id), seen_at=at)


def _row_with_token(db: Session, token: str) -> DeviceRow | None:
    if not token or len(token) > LONGEST_TOKEN:
        return None
    return db.exec(select(DeviceRow).where(DeviceRow.token == _hashed(token))).first()


def _save(db: Session, row: DeviceRow, **values: object) -> None:
    for name, value in values.items():
        setattr(row, name, value)
    db.add(row)
    db.flush()


def _hashed(token: str) -> str:
    return sha256(token.encode()).hexdigest()


def _feed_key(hashed: str) -> str:
    """Return the key of a phone's calendar addresses: it follows from what is stored, and leads back to nothing."""
    return hmac.new(hashed.encode(), b"calendar", sha256).hexdigest()[:FEED_KEY_LENGTH]


def _device(row: DeviceRow) -> Device:
    return Device(row.id or 0, row.name, row.paired_at, row.seen_at, _feed_key(row.token))
