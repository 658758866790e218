"""What might help against what holds a task, a window or a date: remedies worth trying, the least trouble first."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from domain.part import TaskKind
from domain.plan.asked import Asked
from domain.plan.held import HeldBy
from domain.plan.load import clamps_there
from domain.plan.planned import Plan, PlannedTask
from domain.plan.remedy import Give, GoFirst, Helper, Hold, LetGo, MoreClamps, Remedy, Sooner, Unpin, Work
from domain.plan.window import Window
from domain.shop_calendar import Hours, ShopCalendar
from domain.task import Clock

HALF_HOUR = timedelta(minutes=30)
BY_DAY = (time(8), time(20))
"""Hours that extra work is suggested in. Source: common practice, no source."""
MORNINGS = 4
"""On so many mornings it is tried whether a task held back until then lets a window be kept."""


def for_window(made: Plan, window: Window) -> Iterator[Remedy]:
    """Yield what might let a window be kept; sanding instead, conflict.py adds."""
    before, after = made.tasks[window.before], made.tasks[window.after]
    for each in (after, before):
        if each.task.pinned_at is not None and not each.has_begun:
            yield Unpin(each.key)
    if after.task.not_before is not None and after.task.not_before > made.now and not after.has_begun:
        yield Hold(after.key, made.now)
    if not after.has_begun and after.task.clock is Clock.ATTENDED:
        yield from _extra_hours(made, max(window.opens_at, made.now), window.closes_at, after)
    if not before.has_begun:
        mornings = [at for at in _mornings(made.calendar, before.start, MORNINGS) if at > before.start]
        untils = dict.fromkeys(([window.hold_until] if window.hold_until else []) + mornings)
        yield from (Hold(before.key, until) for until in untils)
    for each in (after, before):
        if each.task.who and not each.has_begun:
            yield Give(each.key, ())
    if not after.has_begun and after.task.clock is Clock.ATTENDED:
        start = made.calendar.next_open(max(window.opens_at, made.now))
        if start <= window.closes_at:
            yield Helper(start, _ends(made, start, after), after.task.crew)
    if any(link.own and link.before == window.before for link in after.task.links):
        yield LetGo(window.before, window.after)


def for_unmet(made: Plan, key: str) -> Iterator[Remedy]:
    """Yield what might let a task have what it asks for and can never have as things are."""
    each = made.tasks[key]
    if each.task.pinned_at is not None:
        yield Unpin(key)
    if each.task.who:
        yield Give(key, ())
    if (short := each.task.clamps - clamps_there(made.resources, each.task)) > 0:
        yield MoreClamps(short, each.task.clamp_length)
    if each.task.crew > 1:
        yield Helper(made.now, each.finish + timedelta(days=7), each.task.crew - 1)


def for_task(made: Plan, key: str) -> Iterator[Remedy]:
    """Yield what might let a task start sooner than it is planned, by what holds it."""
    each = made.tasks[key]
    holder = each.holder
    if holder is None or each.has_begun:
        return
    match holder.kind:
        case HeldBy.PINNED:
            yield Unpin(key)
        case HeldBy.HELD_BACK:
            yield Hold(key, made.now)
        case HeldBy.CLAMPS:
            yield MoreClamps(_short_of_clamps(made, each), each.task.clamp_length)
        case HeldBy.PERSON:
            if each.task.who:
                yield Give(key, ())
            yield from _helpers(made, each)
        case HeldBy.HOURS:
            yield from _extra_hours(made, _ready(made, each), each.start, each)
            if each.task.who:
                yield Give(key, ())
        case HeldBy.LINK:
            yield from _for_waits(made, each)
        case HeldBy.AIR | HeldBy.BENCH | HeldBy.DRYING | HeldBy.WINDOW | HeldBy.STEADY:
            if holder.by and all(made.tasks[by].task.job_id != each.task.job_id for by in holder.by):
                yield GoFirst(each.task.job_id)


def for_late_job(made: Plan, asked: Asked, job_id: int) -> Iterator[Remedy]:
    """Yield what might win days back for a job that is late."""
    chain = [made.tasks[key] for key in made.jobs[job_id].chain]
    for each in chain:
        if each.task.pinned_at is not None and not each.has_begun:
            yield Unpin(each.key)
        if each.task.kind is TaskKind.DELIVERY and not each.is_over:
            yield Sooner(each.key, made.calendar.next_open(made.now + timedelta(days=1)))
    if len(made.jobs) > 1 and asked.weight(job_id) < max((asked.weight(job) for job in made.jobs), default=1) * 3:
        yield GoFirst(job_id)
    finish = made.jobs[job_id].finish_at
    hours = _usual_day(made.calendar)
    for on in _days_off(made, finish)[:2]:
        yield Work(on, hours[0][0], hours[0][1])
        if len(hours) > 1:
            yield Work(on, hours[0][0], hours[-1][1])
    given = next((each for each in chain if each.task.who and not each.has_begun), None)
    if given is not None:
        yield Give(given.key, ())
    start = made.calendar.next_open(made.now)
    yield Helper(start, made.calendar.closes(_closing(made, start)))
    yield Helper(start, finish)


def _ready(made: Plan, each: PlannedTask) -> datetime:
    """Return from when a task could be done if somebody were there: when all it waits for has let go, as planned."""
    waits = [
        made.tasks[link.before].finish + link.at_least
        for link in each.task.links
        if link.before in made.tasks and link.clock is Clock.ELAPSED
    ]
    return max([made.now, *waits])


def _extra_hours(made: Plan, opens: datetime, closes: datetime, each: PlannedTask) -> Iterator[Remedy]:
    """Yield hours outside those of the shop in which a task could begin from one instant to another, by day first."""
    opens_at, closes_at = made.calendar.local(opens), made.calendar.local(closes)
    found: list[tuple[bool, date, time, time]] = []
    on = opens_at.date()
    while on <= closes_at.date() and len(found) < 3:
        first = max(datetime.combine(on, BY_DAY[0], opens_at.tzinfo), _rounded(opens_at))
        if (evening := _last_closing(made.calendar, on)) is not None and first < evening:
            first = max(first, made.calendar.local(evening))
        ends = _rounded(first + each.task.duration)
        if first <= closes_at and first.date() == on == ends.date():
            is_by_day = first.time() >= BY_DAY[0] and ends.time() <= BY_DAY[1]
            found.append((not is_by_day, on, first.time(), ends.time()))
        on += timedelta(days=1)
    yield from (Work(day, starts, ends) for _, day, starts, ends in sorted(found))


def _rounded(instant: datetime) -> datetime:
    """Return a time of the shop rounded up to half an hour, as people agree to come."""
    past = timedelta(minutes=instant.minute % 30, seconds=instant.second, microseconds=instant.microsecond)
    return instant + (HALF_HOUR - past if past else timedelta())


def _last_closing(calendar: ShopCalendar, on: date) -> datetime | None:
    stretches = calendar.open_stretches(on)
    return stretches[-1][1] if stretches else None


def _mornings(calendar: ShopCalendar, since: datetime, count: int) -> list[datetime]:
    """Return when the shop opens on the next days it works."""
    on, found = calendar.local(since).date(), list[datetime]()
    for _ in range(30):
        on += timedelta(days=1)
        if stretches := calendar.open_stretches(on):
            found.append(stretches[0][0])
        if len(found) == count:
            break
    return found


def _ends(made: Plan, start: datetime, each: PlannedTask) -> datetime:
    return made.calendar.add(start, each.task.duration)


def _helpers(made: Plan, each: PlannedTask) -> Iterator[Remedy]:
    start = made.calendar.next_open(_ready(made, each))
    for count in dict.fromkeys((1, each.task.crew)):
        yield Helper(start, _ends(made, start, each), count)


def _short_of_clamps(made: Plan, each: PlannedTask) -> int:
    """Return how many clamps are missing as soon as a task could start."""
    ready = _ready(made, each)
    held = 0
    for other in made.tasks.values():
        until = made.tasks.get(other.task.until, other)
        if other.key != each.key and other.start <= ready < until.finish:
            held += other.task.clamps
    return max(held + each.task.clamps - made.resources.clamps, 1)


def _for_waits(made: Plan, each: PlannedTask) -> Iterator[Remedy]:
    """Yield what might bring a delivery sooner, or what is waited for."""
    for by in each.holder.by if each.holder else ():
        before = made.tasks[by]
        source = before
        if before.task.kind is TaskKind.ACCLIMATE and before.held_by and before.held_by.before in made.tasks:
            source = made.tasks[before.held_by.before]
        if source.task.kind is TaskKind.DELIVERY and not source.is_over:
            yield Sooner(source.key, made.calendar.next_open(made.now + timedelta(days=1)))
        elif before.holder is not None and before.holder.kind is not HeldBy.LINK and not before.has_begun:
            yield from for_task(made, by)


def _days_off(made: Plan, until: datetime) -> list[date]:
    """Return the days ahead on which nobody works, Saturdays and other usual days off but Sundays."""
    on, last = made.calendar.local(made.now).date(), made.calendar.local(until).date()
    found: list[date] = []
    while on <= last and len(found) < 6:
        if on.weekday() != 6 and not made.calendar.hours(on) and on not in made.calendar.closed:
            found.append(on)
        on += timedelta(days=1)
    return found


def _usual_day(calendar: ShopCalendar) -> Hours:
    """Return the hours of a usual working day."""
    return next(tuple(sorted(hours)) for hours in calendar.weekly if hours)


def _closing(made: Plan, start: datetime) -> datetime:
    """Return an instant in the last stretch of the day."""
    stretches = made.calendar.open_stretches(made.calendar.local(start).date())
    return stretches[-1][0] if stretches else start
