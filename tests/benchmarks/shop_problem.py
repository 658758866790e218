"""Invented jobs of a two-person shop in slots: panels, carcases and doors, glued in stages, coated, cured, delivered.

One job is 83 activities with about 127 hours of work, 114 lags, 23 of them with a limit, 29 holds. Mo to Fr 8 to 12 and
13 to 17, one bench, 24 clamps, racks, one room where dust and wet finish never meet.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from domain.schedule.problem import Activity, Air, Calendar, Hold, Job, Lag, Mode, Person, Problem, Resource, Side

BENCH, CLAMPS, RACK = 0, 1, 2
MAKER, FINISHER = 0, 1


@dataclass
class Making:
    """A problem in the making; times are handed in as minutes."""

    minutes: int
    activities: list[Activity] = field(default_factory=list)
    lags: list[Lag] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)
    airs: list[Air] = field(default_factory=list)
    job: int = 0

    def slots(self, minutes: float) -> int:
        return max(1, round(minutes / self.minutes))

    def add(
        self,
        minutes: float,
        *after: int,
        whole: bool = False,
        crew: int = 1,
        who: tuple[int, ...] = (0, 1),
        by: int = 0,
    ) -> int:
        mode = Mode.PASSIVE if crew == 0 else Mode.WHOLE if whole else Mode.SPLITTABLE
        number = len(self.activities)
        helpers = (MAKER, FINISHER) if crew > 1 else ()
        leads = () if crew == 0 else who
        self.activities.append(Activity(self.slots(minutes), mode, crew, leads, helpers, self.job, earliest=by))
        self.lags.extend(Lag(before, number) for before in after)
        return number

    def within(self, before: int, after: int, least: float, most: float | None) -> None:
        """Let hours of the clock pass from one to the other."""
        limit = None if most is None else self.slots(60 * most)
        self.lags.append(Lag(before, after, round(60 * least / self.minutes), limit))

    def hold(self, resource: int, amount: int, first: int, last: int | None = None, spare: float = 0) -> None:
        last = first if last is None else last
        self.holds.append(Hold(resource, amount, first, last, round(60 * spare / self.minutes)))

    def air(self, side: Side, number: int, spare: float) -> None:
        self.airs.append(Air(0, side, number, number, round(60 * spare / self.minutes)))


def week(weeks: int, minutes: int, away: tuple[int, int, int] | None = None) -> Calendar:
    """Return Mo to Fr 8 to 12 and 13 to 17. away: a weekday and two hours somebody is not there."""
    stretches = []
    for day in range(weeks * 7):
        if day % 7 < 5:
            for opens, closes in ((8, 12), (13, 17)):
                if away is not None and day % 7 == away[0]:
                    opens, closes = max(opens, away[2]) if opens >= away[1] else opens, min(closes, max(away[1], opens))
                if opens < closes:
                    stretches.append(((day * 24 + opens) * 60 // minutes, (day * 24 + closes) * 60 // minutes))
    return Calendar(tuple(stretches))


def shop_problem(
    jobs: int = 1,
    seed: int = 0,
    every_days: int = 14,
    slot_minutes: int = 5,
    *,
    labour: float = 1.0,
    clamps: int = 24,
    weeks: int | None = None,
    due_days: int | None = 49,
    own_hours: bool = False,
    now: int = 0,
) -> Problem:
    """Return jobs that come in one after the other.

    every_days: between two of them; labour: how much longer all work takes; weeks: the horizon, enough when None;
    due_days: after a job comes in; own_hours: the maker is away on Wednesday afternoons.
    """
    chance = Random(seed)
    making = Making(slot_minutes)
    day = 24 * 60 // slot_minutes
    weeks = weeks if weeks is not None else (jobs - 1) * every_days // 7 + round(14 * labour) + 6 * (jobs > 1)
    for making.job in range(jobs):
        _job(making, chance, labour, making.job * every_days * day + 8 * 60 // slot_minutes)
    full, short = week(weeks, slot_minutes), week(weeks, slot_minutes, (2, 13, 17))
    return Problem(
        tuple(making.activities),
        tuple(making.lags),
        (Resource(1), Resource(clamps), Resource(60)),
        tuple(making.holds),
        tuple(making.airs),
        (Person(1 if own_hours else 0), Person(0)),
        (full, short),
        tuple(Job(None if due_days is None else (number * every_days + due_days) * day) for number in range(jobs)),
        now,
        weeks * 7 * day,
    )


def _job(making: Making, chance: Random, labour: float, begins: int) -> None:
    def some(minutes: float) -> float:
        return labour * minutes * chance.uniform(0.8, 1.1)

    def bring(days: float) -> int:
        return making.add(15, who=(0, 1), by=begins + round(days * 24 * 60 / making.minutes))

    wood, sheets, hinges, slides = bring(2), bring(4), bring(9), bring(12)
    plan = making.add(some(150), by=begins)
    rough = making.add(some(210), wood, plan)
    panels = [_panel(making, some, rough) for _ in range(3)]
    breakdown = making.add(some(300), sheets, plan)
    edges = making.add(some(210), breakdown)
    carcases = [_carcase(making, some, edges, 8) for _ in range(2)]
    doors = [_doors(making, some, panels[at], panels[1]) for at in (0, 2)]
    coated = [_coats(making, some, (carcases[0], doors[0])), _coats(making, some, (carcases[1], doors[1]))]
    drawers = making.add(some(270), slides, carcases[0])
    fittings = making.add(some(240), hinges, coated[0], coated[1])
    making.hold(BENCH, 1, fittings)
    together = making.add(some(360), fittings, drawers)
    check = making.add(some(60), together, whole=True)
    load = making.add(some(75), check, whole=True, crew=2)
    install = making.add(some(840), load, crew=2)
    touch_up = making.add(some(60), install, whole=True, who=(FINISHER,))
    making.within(install, touch_up, 0, 24)
    making.add(some(30), touch_up)


def _panel(making: Making, some: Callable[[float], float], rough: int) -> int:
    """Rest, flatten, joint, glue up in clamps, cure, clean; glued within a day of jointing, flattened within three."""
    rest = making.add(24 * 60, rough, crew=0)
    flatten = making.add(some(110), rest)
    making.within(rest, flatten, 0, 96)
    joint = making.add(some(70), flatten, whole=True)
    glue = making.add(some(55), joint, whole=True)
    making.within(joint, glue, 0, 24)
    set_up = making.add(120, glue, crew=0)
    unclamp = making.add(some(20), set_up, whole=True)
    making.hold(CLAMPS, 6, glue, unclamp)
    making.hold(BENCH, 1, glue)
    clean = making.add(some(75), unclamp)
    making.within(unclamp, clean, 12, None)
    making.air(Side.DUST, clean, 0.5)
    return clean


def _carcase(making: Making, some: Callable[[float], float], edges: int, clamps: int) -> int:
    """Bore, dry-fit, glue up in two stages, clean."""
    bore = making.add(some(170), edges)
    dry = making.add(some(90), bore, whole=True)
    making.hold(BENCH, 1, dry)
    at = dry
    for _ in range(2):
        glue = making.add(some(50), at, whole=True)
        set_up = making.add(60, glue, crew=0)
        unclamp = making.add(some(15), set_up, whole=True)
        making.hold(CLAMPS, clamps, glue, unclamp)
        making.hold(BENCH, 1, glue, unclamp)
        at = unclamp
    making.within(dry, at, 0, 72)
    return making.add(some(120), at)


def _doors(making: Making, some: Callable[[float], float], left: int, right: int) -> int:
    """Size, cut the joints, glue up the frames, sand."""
    size = making.add(some(120), left, right)
    joints = making.add(some(220), size)
    glue = making.add(some(60), joints, whole=True)
    making.within(joints, glue, 0, 72)
    set_up = making.add(90, glue, crew=0)
    unclamp = making.add(some(20), set_up, whole=True)
    making.hold(CLAMPS, 12, glue, unclamp)
    making.hold(BENCH, 1, glue)
    return making.add(some(150), unclamp)


def _coats(making: Making, some: Callable[[float], float], parts: tuple[int, ...]) -> int:
    """Sand, four coats each in its window, cure; wet finish and dust never share the air."""
    sand = making.add(some(200), *parts)
    making.air(Side.DUST, sand, 0.5)
    coat = sand
    for number in range(4):
        if number in (1, 2):
            scuff = making.add(some(40), coat, whole=True, who=(FINISHER,))
            making.within(coat, scuff, 4, 72)
            making.air(Side.DUST, scuff, 0.25)
            before, least, most = scuff, 0.0, 24.0
        else:
            before, least, most = coat, 4.0 if number else 0.0, 72.0 if number else 24.0
        coat = making.add(some(55), before, whole=True, who=(FINISHER,))
        making.within(before, coat, least, most)
        making.air(Side.WET, coat, 1.5)
        making.hold(RACK, 20, coat, spare=4)
    return making.add(48 * 60, coat, crew=0)
