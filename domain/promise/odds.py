"""When jobs may be finished: a plan played again and again with other durations, people and hours as they are."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, sqrt

from domain.promise.draw import draws
from domain.promise.spread import Spread
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.replay import Replay
from domain.schedule.schedule import Schedule

REPLAYS = 1000


@dataclass(frozen=True, slots=True)
class Odds:
    """What came out of the replays. finishes: of each job by number, in order, soonest first [slots];
    attended: hands-on slots of each case by job, in order; pulls: see `pulls`.
    """

    finishes: Mapping[int, tuple[int, ...]]
    attended: Mapping[int, tuple[int, ...]]
    pulls: Mapping[int, tuple["Pull", ...]]

    def by(self, job: int, share: float) -> int:
        """Return the slot by which a job is finished in such a share of the cases."""
        return at_share(self.finishes[job], share)

    def attended_by(self, job: int, share: float) -> int:
        """Return the hands-on slots of a job that such a share of the cases stays within."""
        return at_share(self.attended[job], share)

    def share_by(self, job: int, slot: int) -> float:
        """Return the share of the cases in which a job is finished by a slot."""
        finishes = self.finishes[job]
        return sum(finish <= slot for finish in finishes) / len(finishes)


@dataclass(frozen=True, slots=True)
class Pull:
    """How much a job's finish hangs on how long one activity takes. slots: the finish moves so far, usually, when the
    activity takes one standard deviation longer; correlation: from -1 to 1.
    """

    activity: int
    slots: float
    correlation: float


def odds(
    problem: Problem,
    schedule: Schedule,
    spreads: Sequence[Spread | None],
    *,
    replays: int = REPLAYS,
    seed: int = 1,
) -> Odds:
    """Return when each job is finished over so many replays. spreads: of each activity's work [slots].

    A case that leads beyond the horizon counts as finished at the horizon.
    """
    replay = Replay(problem, schedule)
    cases = draws(spreads, replays, seed=seed)
    finishes: list[list[int]] = [[] for _ in problem.jobs]
    attended: list[list[int]] = [[] for _ in problem.jobs]
    for case in cases:
        try:
            _, finish = replay.run(case)
        except NoRoom:
            finish = [problem.horizon] * len(case)
        for job, slot in enumerate(_job_finishes(problem, finish)):
            finishes[job].append(slot)
        for job, slots in enumerate(_attended(problem, case)):
            attended[job].append(slots)
    jobs = range(len(problem.jobs))
    return Odds(
        {job: tuple(sorted(finishes[job])) for job in jobs},
        {job: tuple(sorted(attended[job])) for job in jobs},
        {job: pulls(cases, finishes[job], spreads) for job in jobs},
    )


def at_share(ordered: Sequence[int], share: float) -> int:
    """Return the least value that such a share of ordered values does not exceed. Raises IndexError for no values."""
    return ordered[max(ceil(share * len(ordered)) - 1, 0)]


def pulls(
    cases: Sequence[Sequence[int]], finishes: Sequence[int], spreads: Sequence[Spread | None]
) -> tuple[Pull, ...]:
    """Return what moves a finish most, the strongest first; only what is more than chance (3 standard errors).

    Source: least squares of the finish on each duration alone.
    """
    count = len(cases)
    mean = sum(finishes) / count
    away = [finish - mean for finish in finishes]
    spread_of_finish = sqrt(sum(each * each for each in away) / count)
    if not spread_of_finish:
        return ()
    found = []
    for number, spread in enumerate(spreads):
        if spread is None or spread.best == spread.worst:
            continue
        column = [case[number] for case in cases]
        middle = sum(column) / count
        off = [each - middle for each in column]
        deviation = sqrt(sum(each * each for each in off) / count)
        if not deviation:
            continue
        together = sum(one * other for one, other in zip(off, away, strict=True)) / count
        correlation = together / deviation / spread_of_finish
        if correlation > 3 / sqrt(count):
            found.append(Pull(number, together / deviation, correlation))
    return tuple(sorted(found, key=lambda pull: -pull.slots))


def _job_finishes(problem: Problem, finish: Sequence[int]) -> list[int]:
    last = [0] * len(problem.jobs)
    for activity, slot in zip(problem.activities, finish, strict=True):
        if activity.counts and slot > last[activity.job]:
            last[activity.job] = slot
    return last


def _attended(problem: Problem, case: Sequence[int]) -> list[int]:
    hands = [0] * len(problem.jobs)
    for activity, slots in zip(problem.activities, case, strict=True):
        hands[activity.job] += activity.crew * slots
    return hands
