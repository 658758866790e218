"""Who there is to plan with: their hours on the grid, and who can do what."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time
from functools import lru_cache
from itertools import combinations, islice

from domain.open_minutes import Stretch, minute_after, minute_at
from domain.part import TaskKind
from domain.plan.grid import Grid
from domain.plan.load import Resources
from domain.schedule.hours import Hours, both, common
from domain.schedule.problem import Calendar
from domain.shop_calendar import Hours as DayHours
from domain.shop_calendar import ShopCalendar
from domain.task import Task

MOST_TEAMS = 200
"""Pairs, threes and so on that are looked at before a team is said not to be there."""


@dataclass(frozen=True, slots=True)
class Crew:
    """Who can do a task: so many at once, of `leads` one at least, beside them `helpers`; numbers of people."""

    size: int
    leads: tuple[int, ...]
    helpers: tuple[int, ...]


class Team:
    """The people of the plan by number, with the calendar of each; number 0 of the calendars is the shop's.

    ids: of named people, empty when they are not named; a shop without anybody is planned as if there were one.
    """

    def __init__(self, resources: Resources, shop: ShopCalendar, grid: Grid, horizon: int) -> None:
        named = resources.people
        self.people = named
        self.ids = tuple(person.id for person in named)
        self.size = len(named) or max(resources.hands, 1)
        open_slots = _shop_slots(_key(shop), grid, horizon)
        self.calendars = [Calendar(open_slots)]
        self.calendar_of: list[int] = []
        for person in named:
            away = tuple(
                (minute_at(each.starts_at), minute_after(each.ends_at))
                for each in resources.absences
                if each.person_id == person.id
            )
            if person.weekly is None and not away:
                self.calendar_of.append(0)
            else:
                self.calendars.append(Calendar(_own_slots(_key(shop), grid, horizon, person.weekly, away)))
                self.calendar_of.append(len(self.calendars) - 1)
        self.calendar_of += [0] * (self.size - len(named))
        self._crews: dict[tuple[TaskKind, int, tuple[int, ...]], Crew] = {}
        self._longest: dict[Crew, int] = {}

    def crew(self, task: Task) -> Crew:
        """Return who can do a task; as near to what it asks for as the people there are."""
        key = (task.kind, task.crew, task.who)
        if key not in self._crews:
            self._crews[key] = self._crew(*key)
        return self._crews[key]

    def _crew(self, kind: TaskKind, wanted: int, who: tuple[int, ...]) -> Crew:
        size = min(max(wanted, 1), self.size)
        if not self.people:
            return Crew(size, tuple(range(self.size)), ())
        chosen = [number for number, person in enumerate(self.people) if person.id in who]
        can = [number for number in chosen or range(self.size) if self.people[number].can_lead(kind)]
        leads = can or chosen or [number for number in range(self.size) if not self.people[number].helps_only]
        leads = leads or list(range(self.size))
        others = chosen if len(chosen) >= size else range(self.size)
        return Crew(size, tuple(leads), tuple(number for number in others if number not in leads))

    def can_lead(self, task: Task) -> bool:
        """Whether anybody has the skill a task asks for, of those it is given to."""
        if not self.people:
            return True
        chosen = [person for person in self.people if person.id in task.who] or self.people
        return any(person.can_lead(task.kind) for person in chosen)

    def longest(self, crew: Crew) -> int:
        """Return the longest stretch in which a team of a crew is there together [slots]; 0: never."""
        if crew not in self._longest:
            self._longest[crew] = max((hours.longest for hours in self._hours(crew)), default=0)
        return self._longest[crew]

    def _hours(self, crew: Crew) -> Iterable[Hours]:
        seen: set[tuple[int, ...]] = set()
        everybody = (*crew.leads, *crew.helpers)
        teams = (team for team in combinations(everybody, crew.size) if team[0] in crew.leads)
        for team in islice(teams, MOST_TEAMS):
            key = tuple(sorted({self.calendar_of[number] for number in team}))
            if key not in seen:
                seen.add(key)
                yield common([self.calendars[number] for number in key])


ShopKey = tuple[str, tuple[DayHours, ...], tuple[date, ...], tuple[tuple[date, DayHours], ...]]


def _key(shop: ShopCalendar) -> ShopKey:
    return shop.zone, shop.weekly, tuple(sorted(shop.closed)), tuple(sorted(shop.extra.items()))


@lru_cache(maxsize=8)
def _calendar(key: ShopKey) -> ShopCalendar:
    zone, weekly, closed, extra = key
    return ShopCalendar(zone, weekly, dict.fromkeys(closed, ""), dict(extra))


@lru_cache(maxsize=16)
def _shop_slots(key: ShopKey, grid: Grid, horizon: int) -> tuple[Stretch, ...]:
    return on_grid(_calendar(key).minutes.open_between(grid.origin, grid.minute(horizon)), grid)


@lru_cache(maxsize=64)
def _own_slots(
    key: ShopKey, grid: Grid, horizon: int, weekly: tuple[DayHours, ...] | None, away: tuple[Stretch, ...]
) -> tuple[Stretch, ...]:
    """Return when somebody with own hours is there: within those of the shop, and when everybody works extra."""
    start, end = grid.origin, grid.minute(horizon)
    stretches: Sequence[Stretch] = _calendar(key).minutes.open_between(start, end)
    if weekly is not None:
        own = _own_week(key, weekly)
        stretches = list(both(stretches, own.minutes.open_between(start, end))) if own else []
    for leaves, returns in away:
        stretches = [
            part
            for opens, closes in stretches
            for part in ((opens, min(closes, leaves)), (max(opens, returns), closes))
            if part[0] < part[1]
        ]
    return on_grid(stretches, grid)


def _own_week(key: ShopKey, weekly: tuple[DayHours, ...]) -> ShopCalendar | None:
    zone, shop_week, closed, extra = key
    own: dict[date, DayHours] = {}
    for day, hours in extra:
        usual = () if day in closed else shop_week[day.weekday()]
        more = hours[len(usual) :] if hours[: len(usual)] == usual else hours
        own[day] = (*(() if day in closed else weekly[day.weekday()]), *more)
    if any(weekly):
        return ShopCalendar(zone, weekly, {}, own)
    if any(own.values()):
        # A week needs some hours; those of a minute at midnight are never on a grid.
        return ShopCalendar(zone, (((time(0), time(0, 1)),), *weekly[1:]), {}, own)
    return None


def on_grid(stretches: Iterable[Stretch], grid: Grid) -> tuple[Stretch, ...]:
    """Return stretches of minutes as slots that lie wholly in them."""
    inside: list[Stretch] = []
    for opens, closes in stretches:
        first, last = grid.ceil(opens), grid.floor(closes)
        if first < last:
            if inside and first <= inside[-1][1]:
                inside[-1] = (inside[-1][0], last)
            else:
                inside.append((first, last))
    return tuple(inside)
