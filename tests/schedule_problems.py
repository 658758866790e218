"""Small problems of every kind for Hypothesis: people with hours of their own, lags of every end, holds, air, facts."""

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

DAYS, DAY = 120, 24


def calendar(opens: int, middle: int, closes: int, away: int) -> Calendar:
    """Return seven days a week from one slot to another with a break; away: a day of ten without work."""
    stretches = []
    for day in range(DAYS):
        if day % 10 != away:
            start = day * DAY
            stretches += [(start + opens, start + middle), (start + middle + 1, start + closes)]
    return Calendar(tuple(stretches))


@st.composite
def problems(draw: st.DrawFn, *, facts: bool = True, limits: bool = True, most: int = 9) -> Problem:
    """Draw a problem whose lags and holds run from lower numbers to higher ones, so that a schedule always exists."""
    many = draw(st.integers(1, most))
    number = st.integers(0, many - 1)
    calendars = tuple(
        calendar(*draw(st.sampled_from([(8, 12, 18, 6), (6, 10, 14, 3), (9, 14, 20, 99)]))) for _ in range(2)
    )
    people = tuple(Person(draw(st.integers(0, 1))) for _ in range(draw(st.integers(1, 3))))
    everybody = tuple(range(len(people)))
    now = draw(st.sampled_from([0, 0, 30])) if facts else 0
    begun = draw(st.integers(0, many // 2)) if now else 0
    activities = []
    for at in range(many):
        crew = draw(st.integers(0, min(2, len(people))))
        mode = Mode.PASSIVE if not crew else draw(st.sampled_from([Mode.SPLITTABLE, Mode.WHOLE]))
        leads = tuple(draw(st.sets(st.sampled_from(everybody), min_size=1))) if crew else ()
        helpers = everybody if crew > len(leads) else ()
        fact = None
        if at < begun:
            start = draw(st.integers(0, 28))
            fact = Fact(start, start + draw(st.integers(0, 9)), leads[:crew])
        activities.append(
            Activity(
                draw(st.integers(0, 4 - crew if mode is Mode.WHOLE else 20)),
                mode,
                crew,
                leads,
                helpers,
                job=draw(st.integers(0, 1)),
                earliest=draw(st.sampled_from([0, 0, 50])),
                fact=fact,
            )
        )
    pairs = st.tuples(number, number).filter(lambda pair: pair[0] < pair[1])
    lags = []
    for before, after in draw(st.lists(pairs, max_size=2 * many)) if many > 1 else []:
        least = draw(st.integers(-4, 12))
        lags.append(
            Lag(
                before,
                after,
                least,
                least + draw(st.integers(0, 30)) if limits and draw(st.booleans()) else None,
                from_start=draw(st.booleans()),
                to_finish=draw(st.booleans()),
                calendar=draw(st.sampled_from([None, None, 0, 1])),
            )
        )
    resources = tuple(Resource(draw(st.integers(1, 4))) for _ in range(2))
    holds, airs = [], []
    for which, resource in enumerate(resources):
        at = 0
        # Holds that follow one another in number can always follow one another in time.
        while at < many:
            last = min(at + draw(st.sampled_from([0, 0, 0, 1, 3])), many - 1)
            amount = draw(st.integers(0, resource.capacity))
            holds.append(Hold(which, amount, at, last, draw(st.integers(0, 5))))
            at = last + 1
    for first in draw(st.sets(number, max_size=many)):
        airs.append(Air(0, draw(st.sampled_from(Side)), first, first, draw(st.integers(0, 5))))
    return Problem(
        tuple(activities),
        tuple(lags),
        resources,
        tuple(holds),
        tuple(airs),
        people,
        calendars,
        (Job(draw(st.sampled_from([None, 40]))), Job(weight=2)),
        now,
        DAYS * DAY,
    )
