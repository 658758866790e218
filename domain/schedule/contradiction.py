"""The smallest sets of wishes that contradict one another: give up any one of them, and the rest can be had.

Blocks of wishes are given up by turns, and stay given up as long as what is left still cannot be had. Source: the
deletion filter of J. W. Chinneck, E. W. Dravnieks, Locating minimal infeasible constraint sets in linear programs, ORSA
Journal on Computing 3, 1991, 157-168; from memory.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from domain.schedule import prove
from domain.schedule.check import violations
from domain.schedule.generate import first
from domain.schedule.near import Near
from domain.schedule.part import missed
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.schedule import Schedule, job_finishes
from domain.schedule.timing import Contradiction, Windows, windows
from domain.schedule.wish import Kind, Wish, wishes_of, without

ASSUMED = (Kind.AIR, Kind.CAPACITY, Kind.PEOPLE, Kind.MOST)
"""What the solver may give up by itself, all at once. The rest sets the times between which it has to look."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """wishes: that contradict one another, () where none do. is_proved: that they do, and that without any one of them
    the others do not; or, where there are none, that a schedule keeps to everything.
    """

    wishes: tuple[Wish, ...]
    is_proved: bool


class Hopeless(ValueError):
    """It cannot be done, whatever of the wishes is given up."""


def smallest(
    problem: Problem, wishes: Sequence[Wish] | None = None, *, due_is_hard: bool = False, effort: float = 0.5
) -> Conflict:
    """Return wishes that contradict one another, as few as need be; what is no wish holds all the same.

    wishes: what may be given up, what should rather be given up first; None: all that a problem asks.
    due_is_hard: jobs must be finished when they are due; effort: the solver's own measure of work, for each question.
    Raises Hopeless, and NoRoom where the horizon is too short.
    """
    search = _Search(problem, due_is_hard=due_is_hard, effort=effort)
    if wishes is not None:
        return search.smallest(wishes)
    try:
        return search.smallest(wishes_of(problem, due_is_hard=due_is_hard))
    except Hopeless:
        return search.smallest(wishes_of(problem, due_is_hard=due_is_hard, order=True))


def shrunk(wishes: Sequence[Wish], is_impossible: Callable[[Sequence[Wish]], bool]) -> list[Wish]:
    """Return some of the wishes that are impossible together, none of which can be spared."""
    left, size = list(wishes), max(1, len(wishes) // 2)
    while True:
        at, before = 0, len(left)
        while at < len(left):
            rest = left[:at] + left[at + size :]
            if is_impossible(rest):
                left = rest
            else:
                at += size
        if size == 1 and len(left) == before:
            return left
        size = max(1, size // 2)


class _Search:
    def __init__(self, problem: Problem, *, due_is_hard: bool, effort: float) -> None:
        self.problem, self.due_is_hard, self.effort = problem, due_is_hard, effort
        self.wishes: Sequence[Wish] = ()
        self._known: dict[frozenset[Wish], bool | None] = {}

    def smallest(self, wishes: Sequence[Wish]) -> Conflict:
        """Return the smallest contradiction among these wishes; raises Hopeless."""
        self.wishes, self._known = wishes, {}
        found = self.timing(self.problem)
        if isinstance(found, Contradiction):
            return self._of_timing(found)
        if self._suits(self.problem, _soonest(self.problem, found)) or self._is_made(self.problem):
            return Conflict((), True)
        if not prove.is_there():
            return Conflict(tuple(shrunk(wishes, lambda some: self.is_possible(some) is not True)), is_proved=False)
        return self._of_everything()

    def keeping(self, wishes: Sequence[Wish]) -> Problem:
        """Return the problem with all other wishes given up."""
        kept = set(wishes)
        return without(self.problem, *(wish for wish in self.wishes if wish not in kept))

    def timing(self, problem: Problem) -> Windows | Contradiction:
        """Return when everything can be by the clock and the hours alone, or what contradicts itself."""
        for number, activity in enumerate(problem.activities):
            pinned = activity.pinned if activity.fact is None else None
            if pinned is not None and pinned < max(problem.now, activity.earliest):
                return Contradiction((), (number,))
        try:
            return windows(problem, [job.due if self.due_is_hard else None for job in problem.jobs])
        except Contradiction as found:
            return found

    def is_possible(self, wishes: Sequence[Wish]) -> bool | None:
        """Return whether wishes can be had together; None: it was not found out."""
        if (key := frozenset(wishes)) not in self._known:
            self._known[key] = self._ask(wishes)
        return self._known[key]

    def _ask(self, wishes: Sequence[Wish]) -> bool | None:
        problem = self.keeping(wishes)
        found = self.timing(problem)
        if isinstance(found, Contradiction):
            return False
        if self._suits(problem, _soonest(problem, found)) or self._is_made(problem):
            return True
        if not prove.is_there():
            return None
        from domain.schedule.possible import possible

        answer = possible(problem, due_is_hard=self.due_is_hard, effort=self.effort)
        return True if answer.schedule is not None else None if answer.against is None else False

    def _is_made(self, problem: Problem) -> bool:
        """Whether a schedule that keeps to everything comes about at once."""
        try:
            return self._suits(problem, first(problem))
        except NoRoom:
            return False

    def _suits(self, problem: Problem, made: Schedule) -> bool:
        past = [
            all(problem.activities[at].fact is not None for at in (problem.lags[lag].before, problem.lags[lag].after))
            for lag in made.broken
        ]
        finishes = zip(problem.jobs, job_finishes(problem, made), strict=True)
        in_time = all(job.due is None or finish <= job.due for job, finish in finishes)
        return all(past) and (in_time or not self.due_is_hard) and not violations(problem, made)

    def _of_timing(self, found: Contradiction) -> Conflict:
        """Return the smallest contradiction of what limits alone contradict, whoever is free."""
        near = Near(self.problem, found)
        part = _Search(near.problem, due_is_hard=self.due_is_hard, effort=self.effort)
        part.wishes = [near.inside(wish) for wish in self.wishes if near.has(wish)]
        left = list(self.wishes)
        if isinstance(part.timing(part.keeping(part.wishes)), Contradiction):
            some = shrunk(part.wishes, lambda some: isinstance(part.timing(part.keeping(some)), Contradiction))
            left = [wish for wish in self.wishes if near.has(wish) and near.inside(wish) in some]
        return self._proved(left)

    def _of_everything(self) -> Conflict:
        """Return the smallest contradiction where people, air and what there is only so much of may be part of it."""
        from domain.schedule.possible import possible

        assumed = [wish for wish in self.wishes if wish.kind in ASSUMED]
        answer = possible(self.problem, assumed, due_is_hard=self.due_is_hard, effort=2 * self.effort)
        if answer.against is None:
            return Conflict((), answer.schedule is not None)
        left = [wish for wish in self.wishes if wish in answer.against or wish.kind not in ASSUMED]
        return self._proved(shrunk(left, lambda some: self.is_possible(some) is False))

    def _proved(self, wishes: Sequence[Wish]) -> Conflict:
        """Return wishes that are impossible together, after a second look at whether each of them is needed."""
        if not wishes:
            raise Hopeless
        is_proved = True
        for at in range(len(wishes)):
            rest = [*wishes[:at], *wishes[at + 1 :]]
            could = self.is_possible(rest)
            if could is False:
                return self._proved(shrunk(rest, lambda some: self.is_possible(some) is False))
            is_proved = is_proved and could is True
        return Conflict(tuple(wishes), is_proved)


def _soonest(problem: Problem, found: Windows) -> Schedule:
    """Return everything at its earliest, whoever is free; it suits where nobody and nothing is short."""
    teams = []
    for activity in problem.activities:
        able = list(dict.fromkeys((*activity.leads, *activity.helpers)))
        teams.append(activity.fact.team if activity.fact is not None else tuple(able[: activity.crew]))
    start, finish = found.earliest_start, found.earliest_finish
    return Schedule(start, finish, tuple(teams), missed(problem, start, finish))
