"""Better schedules of any problem: priorities changed a little at a time, worse ones taken now and then, less and less.

Annealing in rounds that grow: Kirkpatrick, Gelatt, Vecchi, Optimization by Simulated Annealing, Science 220 (1983)
671-680; what is changed, and how much, was found by trial.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product
from math import exp
from random import Random

from domain.schedule.cost import cost
from domain.schedule.generate import Generator
from domain.schedule.prepared import Team
from domain.schedule.priority import rules
from domain.schedule.problem import NoRoom
from domain.schedule.schedule import Aim, Cost, Schedule

FIRST_LEG = 150
"""Schedules until it is warmed up again for the first time; each leg after is longer by half."""
AS_PLACED = 0.1
"""How often priorities become the starts they led to."""
OTHERWISE = 0.02
"""How often what is begun is led to its end first where it was not before, or the other way round."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the search stands: priorities, whether the order by them is loose, who should do what, what comes of it and
    how bad it is.
    """

    keys: list[float]
    loose: bool
    teams: list[Team | None]
    schedule: Schedule
    value: float


def better_priorities(
    generator: Generator,
    start: Schedule,
    aim: Aim,
    seed: int,
    rounds: int,
    stop: Callable[[], bool],
    *,
    by_rule: bool = True,
) -> Iterator[tuple[Schedule, int]]:
    """Yield each better schedule, and how many have been made.

    rounds: how many in all; by_rule: whether priorities by rule come first.
    """
    problem = generator.problem
    chance = Random(seed)
    moves = _Moves(generator, aim, chance)
    best = cost(problem, start, aim)
    here = top = _Place([float(at) for at in start.start], True, [None] * len(start.start), start, moves.value(best))
    made, leg = 0, FIRST_LEG
    for keys, loose in product(rules(generator.prepared) if by_rule else (), (True, False)):
        if made >= rounds or stop():
            return
        made += 1
        try:
            schedule = generator.schedule(keys, loose=loose)
        except NoRoom:
            continue
        found = cost(problem, schedule, aim)
        if moves.value(found) <= here.value:
            here = top = _Place(keys, loose, here.teams, schedule, moves.value(found))
        if found < best:
            best = found
            yield schedule, made
    while made < rounds:
        leg = min(leg, rounds - made)
        warm = moves.warmth()
        for step in range(leg):
            if stop():
                return
            made += 1
            keys, teams = moves.changed(here)
            loose = here.loose is not (chance.random() < OTHERWISE)
            try:
                schedule = generator.schedule(keys, teams=teams, loose=loose)
            except NoRoom:
                continue
            found = cost(problem, schedule, aim)
            value = moves.value(found)
            worse = value - here.value
            heat = warm * (1 - step / leg) ** 2
            if worse <= 0 or (heat > 0 and chance.random() < exp(-worse / heat)):
                again = [float(at) for at in schedule.start] if chance.random() < AS_PLACED else keys
                here = _Place(again, loose, teams, schedule, value)
            if found < best:
                best = found
                top = _Place(keys, loose, teams, schedule, value)
                yield schedule, made
        here = top
        leg += leg // 2


class _Moves:
    """Small changes of priorities and of who does what."""

    def __init__(self, generator: Generator, aim: Aim, chance: Random) -> None:
        self.prepared, self.aim, self.chance = generator.prepared, aim, chance
        problem = generator.problem
        self.many_jobs = max(1, len(problem.jobs))
        self.free = [number for number, fixed in enumerate(self.prepared.fixed) if not fixed]
        by_job: dict[int, list[int]] = {}
        for number in self.free:
            by_job.setdefault(problem.activities[number].job, []).append(number)
        self.by_job = list(by_job.values())
        self.choosy = [number for number in self.free if len(self.prepared.teams[number]) > 1]
        open_slots = [sum(closes - opens for opens, closes in one.stretches) for one in problem.calendars]
        share = min(open_slots, default=0) / max(1, problem.horizon)
        works = [problem.activities[number].work for number in self.free]
        self.step = max(1.0, sum(works) / max(1, len(works)) / max(share, 0.1))

    def value(self, found: Cost) -> float:
        """Return how bad a schedule is, as one number."""
        wrong = 1e6 * self.step * found.broken + 10.0 * found.late
        if self.aim is Aim.SOONEST:
            return wrong + found.first + 0.02 * found.second
        return wrong + 2 * self.step * found.first + 0.2 * found.second

    def warmth(self) -> float:
        """Return how much worse a schedule may be and still be taken often at first."""
        return self.step * (0.15 + 0.03 * self.many_jobs)

    def changed(self, here: _Place) -> tuple[list[float], list[Team | None]]:
        """Return priorities and teams that differ a little from those of a place."""
        chance, keys, teams = self.chance, list(here.keys), here.teams
        if not self.free:
            return keys, teams
        way = chance.random()
        if self.choosy and way < (0.4 if self.aim is Aim.CALM else 0.1):
            return keys, self._other_teams(teams)
        if len(self.by_job) > 1 and way < 0.55:
            by = chance.gauss(0, 1) * self.step * chance.choice((2, 10, 40))
            numbers = chance.choice(self.by_job)
            if chance.random() < 0.5:
                cut = keys[chance.choice(numbers)]
                numbers = [number for number in numbers if keys[number] >= cut]
            for number in numbers:
                keys[number] += by
            return keys, teams
        for number in chance.sample(self.free, k=min(len(self.free), chance.choice((1, 1, 2, 3, 5)))):
            keys[number] += chance.gauss(0, 1) * self.step * chance.choice((1, 4, 16))
        return keys, teams

    def _other_teams(self, teams: list[Team | None]) -> list[Team | None]:
        """Return teams where one activity, or most of a job, is done by others."""
        chance, teams = self.chance, list(teams)
        if chance.random() < 0.5:
            number = chance.choice(self.choosy)
            options = [team for team, _ in self.prepared.teams[number]]
            teams[number] = chance.choice([*options, None])
            return teams
        numbers = chance.choice(self.by_job)
        crew: Team | None = None
        for number in numbers:
            options = [team for team, _ in self.prepared.teams[number]]
            if len(options) > 1:
                crew = crew if crew in options else chance.choice(options)
                teams[number] = crew
        return teams
