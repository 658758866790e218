"""The plan people follow, kept as it was found. It is no fact: it can be made anew, so it has no history."""

from datetime import datetime
from functools import lru_cache

from sqlmodel import Session, col, delete, select

from domain.plan.kept import KeptPlan
from webapp.store.codec import from_json, to_json
from webapp.store.tables import KeptPlanRow

MOST_KEPT = 10
"""Plans that are kept; the oldest go when there are more."""


def load_kept_plan(db: Session) -> KeptPlan | None:
    """Return the plan kept last, None before there is one."""
    row = db.exec(select(KeptPlanRow).order_by(col(KeptPlanRow.id).desc()).limit(1)).first()
    return _read(row.kept) if row else None


def load_kept_at(db: Session) -> datetime | None:
    """Return when a plan was kept last, None before there is one."""
    return db.exec(select(KeptPlanRow.kept_at).order_by(col(KeptPlanRow.id).desc()).limit(1)).first()


@lru_cache(maxsize=4)
def _read(text: str) -> KeptPlan:
    return from_json(KeptPlan, text)


def keep_plan(db: Session, plan: KeptPlan, *, at: datetime) -> None:
    """Keep a plan; those before it stay for a while."""
    db.add(KeptPlanRow(facts=plan.facts, kept=to_json(plan), kept_at=at))
    db.flush()
    newest = select(KeptPlanRow.id).order_by(col(KeptPlanRow.id).desc()).limit(MOST_KEPT)
    db.exec(delete(KeptPlanRow).where(col(KeptPlanRow.id).not_in(newest)))
