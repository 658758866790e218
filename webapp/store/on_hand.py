"""What jobs can be cut from: the rack, what is for sale, what was cut already, the best layouts known."""

from collections.abc import Iterable, Mapping

from sqlmodel import Session

from domain.board_use import own_yields
from domain.buying import OnHand
from domain.price import PriceBook
from webapp.store.board_use import load_board_uses
from webapp.store.layout import load_layouts_of
from webapp.store.price import load_price_book
from webapp.store.rack import load_cuttings_of, load_rack


def load_on_hand(db: Session, job_id: int) -> OnHand:
    return load_on_hand_of(db, [job_id], load_price_book(db))[job_id]


def load_on_hand_of(db: Session, job_ids: Iterable[int], prices: PriceBook) -> Mapping[int, OnHand]:
    """Return what these jobs can be cut from, by job."""
    ids = list(job_ids)
    rack, cuttings, layouts = load_rack(db, cut_up=True), load_cuttings_of(db, ids), load_layouts_of(db, ids)
    yields = own_yields(load_board_uses(db))
    return {job_id: OnHand(job_id, rack, cuttings.get(job_id, ()), prices, layouts[job_id], yields) for job_id in ids}
