"""The take-off of a job: never stored, worked out from its pieces, the shop's practice and the job's way with waste."""

from sqlmodel import Session

from domain.buying import job_take_off
from domain.take_off import TakeOff
from webapp.store.on_hand import load_on_hand
from webapp.store.piece import load_pieces
from webapp.store.shop import load_practice
from webapp.store.terms import load_terms


def load_take_off(db: Session, job_id: int) -> TakeOff:
    """Return what a job needs as things stand now. Raises Missing."""
    waste = load_terms(db, job_id).waste
    return job_take_off(load_pieces(db, job_id), load_practice(db), waste, load_on_hand(db, job_id))
