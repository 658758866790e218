"""The buying plan of a job: never stored, worked out from its parts and from what they can be cut from."""

from dataclasses import replace

from sqlmodel import Session

from domain.buying import BuyingPlan, buying_plan
from domain.take_off import TakeOff, WasteChoice, WasteMethod, take_off
from webapp.store import shop
from webapp.store.on_hand import load_on_hand
from webapp.store.piece import load_pieces
from webapp.store.terms import load_terms


def load_buying_plan(db: Session, job_id: int) -> BuyingPlan:
    """Return how a job's parts are cut, beside what the factor comes to. Raises Missing."""
    on_hand, practice = load_on_hand(db, job_id), shop.load_practice(db)
    return buying_plan(load_by_factor(db, job_id), on_hand, practice)


def load_by_factor(db: Session, job_id: int) -> TakeOff:
    """Return what a job needs with its boards and sheets by factor, however it reckons. Raises Missing."""
    own = tuple(load_on_hand(db, job_id).yields.items())
    return take_off(load_pieces(db, job_id), shop.load_practice(db), load_factor(db, job_id), own)


def load_factor(db: Session, job_id: int) -> WasteChoice:
    """Return the factor of a job: its own, or the shop's while it reckons by layouts. Raises Missing."""
    own, usual = load_terms(db, job_id).waste, shop.load_terms(db).waste
    by_factor = (one for one in (own, usual) if one.method is not WasteMethod.LAYOUT)
    return replace(next(by_factor, WasteChoice()), where=own.where)
