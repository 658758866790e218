"""Small random things to schedule, for tests of plans; all invented."""

from collections.abc import Sequence
from dataclasses import replace

from hypothesis import strategies as st

from domain.schedule.problem import (
    Activity,
    Air,
    Calendar,
    Fact,
    Hold,
    Job,
    Lag,
    Mode,
    Person,
    Problem,
    Resource,
    Side,
)

CORE = 3
"""Slots of a day at which everybody is there: whatever must be done in one go fits."""

DAY = 8
"""Slots of a day."""


@st.composite
def calendars(draw: st.DrawFn, horizon: int = 64) -> Calendar:
    """Return the same hours each day, now and then with a day off."""
    opens, closes = draw(st.integers(0, 2)), draw(st.integers(2 + CORE, DAY - 1))
    off = draw(st.sampled_from([None, None, None, 0, 1]))
    mornings = [at for at in range(0, horizon, DAY) if at // DAY != off and at + opens < horizon]
    return Calendar(tuple((at + opens, min(at + closes, horizon)) for at in mornings))


@st.composite
def problems(
    draw: st.DrawFn,
    *,
    activities: int = 5,
    people: int = 2,
    jobs: int = 1,
    resources: int = 1,
    horizon: int = 64,
    most: bool = True,
    facts: bool = True,
    pins: bool = True,
    airs: bool = True,
    overlaps: bool = True,
    dues: bool = True,
) -> Problem:
    """Return a problem that has a schedule if windows may be missed, unless something is pinned where it cannot be.

    The numbers are the most there are of each; no people: all runs day and night. most: with windows that close;
    overlaps: with lags between all ends, negative ones too.
    """
    hours = tuple(draw(st.lists(calendars(horizon), min_size=1, max_size=2))) if people else ()
    team = tuple(
        Person(draw(st.integers(0, len(hours) - 1))) for _ in range(draw(st.integers(1, people)) if people else 0)
    )
    many, many_jobs = draw(st.integers(1, activities)), draw(st.integers(1, jobs))
    now = draw(st.sampled_from([0, 0, 3])) if facts else 0
    made = tuple(draw(_activities(len(team), many_jobs, now, pins=pins)) for _ in range(many))
    stock, holds = draw(_resources(made, resources))
    pairs = st.lists(st.tuples(st.integers(0, many - 1), st.integers(0, many - 1)), max_size=many + 1)
    lags = tuple(
        draw(_lags(min(pair), max(pair), len(hours), most=most, overlaps=overlaps))
        for pair in draw(pairs)
        if pair[0] != pair[1]
    )
    promises = st.sampled_from([None, 4, 9, 14] if dues else [None])
    promised = tuple(Job(draw(promises), draw(st.integers(1, 3))) for _ in range(many_jobs))
    air = draw(_airs(made)) if airs else ()
    return Problem(made, lags, stock, holds, air, team, hours, promised, now, horizon)


@st.composite
def _activities(draw: st.DrawFn, people: int, jobs: int, now: int, *, pins: bool) -> Activity:
    crew = min(people, draw(st.sampled_from([0, 1, 1, 1, 2])))
    leads = draw(st.lists(st.integers(0, people - 1), min_size=1, max_size=people, unique=True)) if crew else []
    helpers = [person for person in range(people) if person not in leads] if crew > len(leads) else []
    made = Activity(
        work=draw(st.integers(1, CORE)) if crew else draw(st.integers(0, 4)),
        mode=draw(st.sampled_from([Mode.SPLITTABLE, Mode.WHOLE])) if crew else Mode.PASSIVE,
        crew=crew,
        leads=tuple(sorted(leads)),
        helpers=tuple(helpers),
        job=draw(st.integers(0, jobs - 1)),
        counts=draw(st.sampled_from([True, True, True, False])),
    )
    kind = draw(st.sampled_from(["", "", "", "", "earliest", "pin", "fact"]))
    if kind == "earliest":
        return replace(made, earliest=draw(st.integers(0, 9)))
    if kind == "pin" and pins:
        return replace(made, pinned=now + draw(st.integers(0, 9)))
    if kind == "fact" and now:
        begun = draw(st.integers(0, now))
        on_it = tuple(draw(st.lists(st.integers(0, people - 1), max_size=1))) if people else ()
        return replace(made, fact=Fact(begun, begun + draw(st.integers(0, 5)), on_it))
    return made


@st.composite
def _lags(draw: st.DrawFn, before: int, after: int, hours: int, *, most: bool, overlaps: bool) -> Lag:
    least = draw(st.sampled_from([0, 0, 1, 2, 4, -2, None] if overlaps else [0, 0, 1, 2, 4]))
    room = draw(st.sampled_from([None, None, 0, 1, 2, 4])) if most else None
    calendar = draw(st.sampled_from([None, None, *range(hours)]))
    made = Lag(before, after, least, None if room is None else (least or 0) + room, calendar=calendar)
    if not overlaps:
        return made
    return replace(made, from_start=draw(st.booleans()), to_finish=draw(st.booleans()))


@st.composite
def _resources(
    draw: st.DrawFn, made: Sequence[Activity], resources: int
) -> tuple[tuple[Resource, ...], tuple[Hold, ...]]:
    """Return resources of which there is enough for each activity, with what is still held from the one before it."""
    stock, holds, many = list[Resource](), list[Hold](), len(made)
    for which in range(draw(st.integers(0, resources))):
        amounts = draw(st.lists(st.integers(0, 2), min_size=many, max_size=many))
        lasts = [draw(st.sampled_from([at, at, _next(made, at)])) for at in range(many)]
        carried = [amounts[at - 1] if at and lasts[at - 1] == at else 0 for at in range(many)]
        least = max(own + more for own, more in zip(amounts, carried, strict=True))
        stock.append(Resource(max(1, least) + draw(st.sampled_from([0, 0, 0, 1]))))
        holds += [
            Hold(which, amount, at, lasts[at], draw(st.sampled_from([0, 0, 2])))
            for at, amount in enumerate(amounts)
            if amount
        ]
    return tuple(stock), tuple(holds)


@st.composite
def _airs(draw: st.DrawFn, made: Sequence[Activity]) -> tuple[Air, ...]:
    """Return what happens to the air; an activity's own is never at odds with that which the one before it left."""
    airs: list[Air] = []
    for at in range(len(made)):
        if draw(st.booleans()):
            room, side = draw(st.integers(0, 1)), draw(st.sampled_from(Side))
            if airs and airs[-1].last == at and airs[-1].room == room:
                side = airs[-1].side
            last = draw(st.sampled_from([at, at, _next(made, at)]))
            airs.append(Air(room, side, at, last, draw(st.sampled_from([0, 0, 2]))))
    return tuple(airs)


def _next(made: Sequence[Activity], at: int) -> int:
    """Return the activity after this one, or itself where holding on to something until then could block all."""
    if at + 1 == len(made) or (made[at].fact is not None and any(one.fact is None for one in made[:at])):
        return at
    return at + 1
