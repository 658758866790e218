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
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.schedule import Schedule, job_finishes
from domain.schedule.timing import Contradiction, windows
from domain.schedule.wish import Kind, Wish, wishes_of, without

NOT_ASSUMED = (Kind.HOURS, Kind.PIN)
"""What the solver cannot give up by itself: the times an activity may start at hang on it."""


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
    problem: Problem, wishes: Sequence[Wish] | None = None, *, due_is_hard: bool = False, effort: float = 2.0
) -> Conflict:
    """Return wishes that contradict one another, as few as need be; what is no wish holds all the same.

    wishes: what may be given up, what should rather be given up first; None: all that a problem asks.
    due_is_hard: jobs must be finished when they are due; effort: the solver's own measure of work, for each question.
    Raises Hopeless, and NoRoom where the horizon is too short.
    """
    asked = list(wishes_of(problem, due_is_hard=due_is_hard) if wishes is None else wishes)
    search = _Search(problem, asked, due_is_hard=due_is_hard, effort=effort)
    timing = search.timing(asked)
    if timing is not None:
        return search.of_timing(timing)
    return search.of_everything()


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
    def __init__(self, problem: Problem, wishes: Sequence[Wish], *, due_is_hard: bool, effort: float) -> None:
        self.problem, self.wishes = problem, wishes
        self.due_is_hard, self.effort = due_is_hard, effort

    def keeping(self, wishes: Sequence[Wish]) -> Problem:
        """Return the problem with all other wishes given up."""
        kept = set(wishes)
        return without(self.problem, *(wish for wish in self.wishes if wish not in kept))

    def timing(self, wishes: Sequence[Wish]) -> Contradiction | None:
        """Return what contradicts itself by the clock and the hours alone, if anything does."""
        problem = self.keeping(wishes)
        for number, activity in enumerate(problem.activities):
            pinned = activity.pinned if activity.fact is None else None
            if pinned is not None and pinned < max(problem.now, activity.earliest):
                return Contradiction((), (number,))
        try:
            windows(problem, self._dues(problem))
        except Contradiction as found:
            return found
        return None

    def _dues(self, problem: Problem) -> list[int | None]:
        return [job.due if self.due_is_hard else None for job in problem.jobs]

    def is_possible(self, wishes: Sequence[Wish]) -> bool | None:
        """Return whether wishes can be had together; None: it was not found out."""
        if self.timing(wishes) is not None:
            return False
        problem = self.keeping(wishes)
        if self._is_generated(problem):
            return True
        if not prove.is_there():
            return None
        from domain.schedule.possible import possible

        answer = possible(problem, due_is_hard=self.due_is_hard, effort=self.effort)
        return True if answer.schedule is not None else None if answer.against is None else False

    def _is_generated(self, problem: Problem) -> bool:
        try:
            made = first(problem)
        except (Contradiction, NoRoom):
            return False
        return self._suits(problem, made)

    def _suits(self, problem: Problem, made: Schedule) -> bool:
        past = [
            all(problem.activities[at].fact is not None for at in (problem.lags[lag].before, problem.lags[lag].after))
            for lag in made.broken
        ]
        finishes = zip(problem.jobs, job_finishes(problem, made), strict=True)
        in_time = all(job.due is None or finish <= job.due for job, finish in finishes)
        return all(past) and (in_time or not self.due_is_hard) and not violations(problem, made)

    def of_timing(self, found: Contradiction) -> Conflict:
        """Return the smallest contradiction of what limits alone contradict, whoever is free."""
        near = _Near(found, self.problem)
        left = [wish for wish in self.wishes if near.has(wish)]
        if self.timing(left) is None:
            left = list(self.wishes)
        return self._proved(shrunk(left, lambda wishes: self.timing(wishes) is not None))

    def of_everything(self) -> Conflict:
        """Return the smallest contradiction where people, air and what there is only so much of may be part of it."""
        if self._is_generated(self.problem):
            return Conflict((), True)
        if not prove.is_there():
            return self._guessed()
        from domain.schedule.possible import possible

        assumed = [wish for wish in self.wishes if wish.kind not in NOT_ASSUMED]
        answer = possible(self.problem, assumed, due_is_hard=self.due_is_hard, effort=2 * self.effort)
        if answer.against is None:
            return Conflict((), answer.schedule is not None)
        left = [wish for wish in self.wishes if wish in answer.against or wish.kind in NOT_ASSUMED]
        return self._proved(shrunk(left, lambda wishes: self.is_possible(wishes) is False))

    def _guessed(self) -> Conflict:
        """Return what the plan that is made first cannot have together, without proof that none can."""
        found = shrunk(self.wishes, lambda wishes: not self._is_generated(self.keeping(wishes)))
        return Conflict(tuple(found), is_proved=False)

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


class _Near:
    """What has to do with a contradiction that was found."""

    def __init__(self, found: Contradiction, problem: Problem) -> None:
        self.lags, self.activities = set(found.lags), set(found.activities)
        for lag in found.lags:
            self.activities |= {problem.lags[lag].before, problem.lags[lag].after}
        each = [problem.activities[number] for number in self.activities]
        self.jobs = {activity.job for activity in each}
        self.calendars = {
            problem.people[person].calendar for one in each if one.crew for person in (*one.leads, *one.helpers)
        }

    def has(self, wish: Wish) -> bool:
        kinds = {
            Kind.LEAST: self.lags,
            Kind.MOST: self.lags,
            Kind.EARLIEST: self.activities,
            Kind.PIN: self.activities,
            Kind.DUE: self.jobs,
            Kind.HOURS: self.calendars,
        }
        return wish.number in kinds.get(wish.kind, ())
