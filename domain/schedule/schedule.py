"""What is answered: when each activity starts and finishes, who is on it, how good that is, what none can beat."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from domain.schedule.problem import Problem


@dataclass(frozen=True, slots=True)
class Schedule:
    """Starts, finishes and teams by activity number; broken: numbers of lags whose `most` is not met."""

    start: tuple[int, ...]
    finish: tuple[int, ...]
    team: tuple[tuple[int, ...], ...]
    broken: tuple[int, ...] = ()


class Aim(Enum):
    """What comes after promised dates are kept; the value is what a person reads."""

    SOONEST = "finish soonest"
    CALM = "calm week"


@dataclass(frozen=True, slots=True, order=True)
class Cost:
    """What is wrong with a schedule, worst first; less is better.

    broken: windows missed; late: slots of lateness, each times its job's weight; then for `finish soonest` the sum of
    job finishes [slots] before unrest, for `calm week` unrest before finishes (see domain.schedule.cost).
    """

    broken: int
    late: int
    first: int
    second: int

    @property
    def is_kept(self) -> bool:
        """Whether every window is met and every promise kept."""
        return not (self.broken or self.late)


class Limit(Enum):
    """What keeps a finish from being sooner; the value is how one reads it."""

    LINKS = "its own steps and waits, one after the other"
    PEOPLE = "hands"
    RESOURCE = "something there is too little of"
    AIR = "dust and wet finish in one room"
    SOLVER = "all of it together"


@dataclass(frozen=True, slots=True)
class Bound:
    """A finish that no schedule of a job can beat, the other jobs left out. slot: of the finish;
    limit: what it follows from; which: number of the resource, or of the person when one alone can do it;
    chain: activities that make it so, in order, where links do.
    """

    job: int
    slot: int
    limit: Limit
    which: int | None = None
    chain: tuple[int, ...] = ()


class Proof(Enum):
    """What is known of how good a schedule is."""

    NONE = "not proved"
    BEST = "no plan of this one job is better"
    BEST_PLACE = "the best place for each job, the others unchanged"


@dataclass(frozen=True, slots=True)
class Progress:
    """A step of a search: the best so far, what no schedule can beat (a bound per job), how far along it is (0 to 1);
    source: what found it, for people: `put in order`, `tried other orders`, `solver`; must_break: so many windows
    at least are missed by every schedule: above 0 the limits contradict one another.
    """

    best: Schedule
    cost: Cost
    bounds: tuple[Bound, ...]
    proof: Proof
    done: Fraction
    source: str
    must_break: int = 0


def job_finishes(problem: Problem, schedule: Schedule) -> tuple[int, ...]:
    """Return the slot each job is finished at, by its number; 0 for a job that nothing counts for."""
    finishes = [0] * len(problem.jobs)
    for activity, finish in zip(problem.activities, schedule.finish, strict=True):
        if activity.counts and finish > finishes[activity.job]:
            finishes[activity.job] = finish
    return tuple(finishes)
