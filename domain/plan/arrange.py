"""The schedule of a plan: what cannot hold is let go of and named, so that there is always one to follow."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from domain.plan.kept import KeptPlan, as_schedule
from domain.plan.model import Given, Model, first_horizon, model
from domain.plan.possible import possible
from domain.plan.steady import as_it_was, steadiest
from domain.plan.unmet import Unmet, lost, never_free, pin_missed
from domain.schedule.check import violations
from domain.schedule.generate import first
from domain.schedule.part import missed
from domain.schedule.place import PinMissed
from domain.schedule.problem import Fact, Mode, NoRoom, Problem
from domain.schedule.schedule import Schedule
from domain.task import Task

LONGER = 3
"""How many horizons are tried, each twice as long: what does not fit the last waits for something that never comes."""


@dataclass(frozen=True, slots=True)
class Arranged:
    """A model with the schedule to follow. unmet: more that cannot be met; is_checked: nothing is wrong with it;
    is_as_kept: it is the plan that was kept, of the same facts.
    """

    model: Model
    schedule: Schedule
    is_checked: bool
    unmet: tuple[Unmet, ...] = ()
    is_as_kept: bool = False


def arranged(given: Given, kept: KeptPlan | None = None, facts: str = "") -> Arranged:
    """Return the plan in numbers, as near to what is asked for as there is.

    kept: what is moved as little as can be, and not at all when it was made from the same facts; facts: their
    fingerprint.
    """
    tasks = {task.key: task for task in given.tasks}
    for is_let_go in (False, True):
        horizon = first_horizon(given)
        for _ in range(LONGER):
            made = model(given, horizon)
            try:
                if not is_let_go:
                    return _arranged(made, tasks, kept, facts)
                found = _arranged(_without_spans(made), tasks, kept, facts)
                return replace(found, unmet=(*found.unmet, *_held_up(made, tasks)))
            except NoRoom:
                horizon *= 2
    return _by_links_alone(given, made)


def _without_spans(made: Model) -> Model:
    """Return the model without what is held from one task to another: held so, there is no plan at all."""
    holds = tuple(hold for hold in made.problem.holds if hold.first == hold.last)
    return replace(made, problem=replace(made.problem, holds=holds))


def _held_up(made: Model, tasks: dict[str, Task]) -> Iterator[Unmet]:
    """Yield of each thing held from task to task that it is planned as if there were enough, once."""
    seen: set[int] = set()
    for hold in made.problem.holds:
        if hold.first != hold.last and hold.resource not in seen:
            seen.add(hold.resource)
            yield never_free(tasks[made.keys[hold.first]], made.kinds[hold.resource])


def _arranged(made: Model, tasks: dict[str, Task], kept: KeptPlan | None, facts: str) -> Arranged:
    unmet: list[Unmet] = []
    before = as_schedule(kept, made) if kept is not None else None
    if kept is not None and before is not None and kept.facts == facts:
        same = as_it_was(made, before, kept.missed)
        if same is not None:
            return Arranged(made, same, True, is_as_kept=True)
    schedule = None
    while schedule is None:
        try:
            schedule = _first(made)
        except PinMissed as missed:
            lag = made.problem.lags[missed.lag]
            if lag.least is None:
                raise
            unmet.append(pin_missed(tasks[made.keys[lag.after]], tasks[made.keys[lag.before]]))
            made = _without_least(made, missed.lag)
    if kept is not None and before is not None:
        schedule = steadiest(made, schedule, before, kept.missed)
    wrong = violations(made.problem, schedule)
    if wrong and any(activity.pinned is not None for activity in made.problem.activities):
        made = _with_pins_as_facts(made, schedule)
        schedule = _first(made)
        wrong = violations(made.problem, schedule)
    return Arranged(made, schedule, not wrong, tuple(unmet))


def _first(made: Model) -> Schedule:
    """Return a schedule at once; what it misses of all windows is told of the whole problem."""
    asked = possible(made)
    found = first(asked)
    if asked is made.problem:
        return found
    return replace(found, broken=missed(made.problem, found.start, found.finish))


def _without_least(made: Model, number: int) -> Model:
    lags = list(made.problem.lags)
    lags[number] = replace(lags[number], least=None)
    return replace(made, problem=replace(made.problem, lags=tuple(lags)))


def _with_pins_as_facts(made: Model, schedule: Schedule) -> Model:
    """Return the model with what is pinned as if it had happened: it stays, whatever it shares with others."""
    activities = tuple(
        activity
        if activity.pinned is None or activity.fact is not None
        else replace(activity, pinned=None, fact=Fact(schedule.start[at], schedule.finish[at], schedule.team[at]))
        for at, activity in enumerate(made.problem.activities)
    )
    return replace(made, problem=replace(made.problem, activities=activities))


def _by_links_alone(given: Given, made: Model) -> Arranged:
    """Return the times by links alone, where no plan could be found; it is not checked, and says so."""
    times = [given.times[task.key] for task in given.tasks]
    schedule = Schedule(
        tuple(made.grid.floor(each.start) for each in times),
        tuple(made.grid.ceil(each.finish) for each in times),
        tuple(_anybody(made.problem)),
    )
    return Arranged(made, schedule, False, (lost(given.tasks),) if given.tasks else ())


def _anybody(problem: Problem) -> Iterator[tuple[int, ...]]:
    for activity in problem.activities:
        team: Sequence[int] = activity.fact.team if activity.fact else activity.leads[: activity.crew]
        yield () if activity.mode is Mode.PASSIVE and not activity.fact else tuple(team)
