"""The buying plan of a job: never stored, worked out from its parts and from what they can be cut from."""

from dataclasses import dataclass, replace

from sqlmodel import Session

from domain.buying import BuyingPlan, OnHand, buying_plan
from domain.take_off import TakeOff, WasteChoice, WasteMethod, take_off
from webapp.store import shop
from webapp.store.on_hand import load_on_hand
from webapp.store.piece import load_pieces
from webapp.store.terms import load_terms


@dataclass(frozen=True, slots=True)
class BothWays:
    """A job reckoned by factor and by layout. factor: its own, or the shop's while it reckons by layouts."""

    by_factor: TakeOff
    plan: BuyingPlan
    factor: WasteChoice
    on_hand: OnHand


def load_buying_plan(db: Session, job_id: int) -> BuyingPlan:
    """Return how a job's parts are cut, beside what the factor comes to. Raises Missing."""
    return load_both_ways(db, job_id).plan


def load_both_ways(db: Session, job_id: int) -> BothWays:
    """Return a job both ways, however it reckons. Raises Missing."""
    factor, practice, on_hand = _factor(db, job_id), shop.load_practice(db), load_on_hand(db, job_id)
    by_factor = take_off(load_pieces(db, job_id), practice, factor, tuple(on_hand.yields.items()))
    return BothWays(by_factor, buying_plan(by_factor, on_hand, practice), factor, on_hand)


def _factor(db: Session, job_id: int) -> WasteChoice:
    own, usual = load_terms(db, job_id).waste, shop.load_terms(db).waste
    by_factor = (one for one in (own, usual) if one.method is not WasteMethod.LAYOUT)
    return replace(next(by_factor, WasteChoice()), where=own.where)
