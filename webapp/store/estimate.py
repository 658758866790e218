"""Everything that the price of a job is worked out from, read in one go."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from sqlmodel import Session

from domain import estimate as rules
from domain.buying import OnHand, job_take_off
from domain.estimate import Estimate
from domain.operation import OperationTime
from domain.option import Option, apply
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.price import PriceBook
from domain.terms import CostLine, Terms
from webapp.store import shop
from webapp.store.cost import load_costs
from webapp.store.on_hand import load_on_hand
from webapp.store.piece import load_pieces
from webapp.store.price import load_price_book
from webapp.store.terms import load_terms


@dataclass(frozen=True, slots=True)
class Facts:
    """What is known for the price of a job. on: the day in the shop's zone, against which prices grow old."""

    placed: tuple[PlacedPiece, ...]
    practice: ShopPractice
    prices: PriceBook
    times: Mapping[str, OperationTime]
    terms: Terms
    costs: tuple[CostLine, ...]
    on: date
    on_hand: OnHand

    def estimate(self, option: Option | None = None) -> Estimate:
        """Return what the job costs and sells for; with an option, what the whole job would with its changes."""
        placed = apply(option, self.placed) if option else self.placed
        needed = job_take_off(placed, self.practice, self.terms.waste, self.on_hand)
        return rules.estimate(needed, self.prices, self.times, self.terms, self.costs, self.practice, self.on)


def load_facts(db: Session, job_id: int, now: datetime) -> Facts:
    """Return everything that the price of a job depends on. Raises Missing."""
    return Facts(
        placed=load_pieces(db, job_id),
        practice=shop.load_practice(db),
        prices=load_price_book(db),
        times=shop.load_operation_times(db),
        terms=load_terms(db, job_id),
        costs=load_costs(db, job_id),
        on=shop.today(db, now),
        on_hand=load_on_hand(db, job_id),
    )
