"""Jobs that miss their promise: what holds them up, and what would win days back."""

from dataclasses import dataclass

from domain.plan.asked import Asked
from domain.plan.planned import JobPlan, Plan
from domain.plan.tried import Tried


@dataclass(frozen=True, slots=True)
class Late:
    """A job that is finished after its promise. words: how late, and what its finish hangs on;
    wins: what would win a day or more, each tried, the most days first.
    """

    job: JobPlan
    words: str
    wins: tuple[Tried, ...] = ()


def late(made: Plan, asked: Asked | None = None) -> tuple[Late, ...]:
    """Return the jobs that are late, the latest first. asked: what the plan was made from; None: wins are not tried.

    What a delay has moved, the old beside the new, says domain.plan.moved.moved().
    """
    raise NotImplementedError
