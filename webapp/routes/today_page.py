"""What stands on today's page: the whole shop's day, or that of one person."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlmodel import Session

from domain.plan import Plan
from domain.plan.late import Late, late
from domain.plan.moved import moved
from domain.plan.moved import words as moved_words
from domain.problem import Problem
from domain.today import Today, todays_list
from webapp.routes.today_item import Item, Items, Shown, Ticking
from webapp.store import task as store
from webapp.store.plan import PlanFacts, load_plan_facts
from webapp.working import SHOP_PAGES

SHOWN_LARGE = 2


@dataclass(frozen=True)
class TodayPage:
    """today: None while nothing can be planned; people: who has a page of their own, by number; person: whose page
    this is, None for the whole shop's; room: shop time until the next interruption; next_one: what comes next when
    nothing can start; late_jobs: whose promise does not hold; moves: which jobs are finished on another day than in the
    plan people follow, empty for none.
    """

    on: date
    open_jobs: int
    today: Today | None
    problems: tuple[Problem, ...]
    is_open: bool = False
    room: timedelta = timedelta()
    people: tuple[tuple[int, str], ...] = ()
    person: int | None = None
    turns: tuple[Shown, ...] = ()
    running: tuple[Item, ...] = ()
    timers: tuple[Ticking, ...] = ()
    fits: tuple[Item, ...] = ()
    part_of: tuple[Item, ...] = ()
    leave: tuple[Item, ...] = ()
    get_ready: tuple[Item, ...] = ()
    late: tuple[Item, ...] = ()
    late_jobs: tuple[Late, ...] = ()
    moves: str = ""
    to_arrange: tuple[Item, ...] = ()
    blocked: tuple[Item, ...] = ()
    done: tuple[Item, ...] = ()
    next_one: str = ""

    @property
    def address(self) -> str:
        """Return where this page is found again."""
        return f"/today?person={self.person}" if self.person is not None else "/today"

    @property
    def lists_address(self) -> str:
        """Return where its lists alone are."""
        return f"/today/lists?person={self.person}" if self.person is not None else "/today/lists"

    @property
    def whose(self) -> str:
        """Return whose page this is, by name, empty for the whole shop's."""
        return dict(self.people).get(self.person, "") if self.person is not None else ""

    @property
    def has_next(self) -> bool:
        """Whether somebody can start something of their turn."""
        return any(turn.can_start for turn in self.turns)

    @property
    def is_busy(self) -> bool:
        return bool(self.running) or any(turn.at_work for turn in self.turns)

    @property
    def soon(self) -> tuple[Ticking, ...]:
        """Return the timers of the day to come."""
        return tuple(timer for timer in self.timers if timer.is_soon)

    @property
    def far(self) -> tuple[Ticking, ...]:
        return tuple(timer for timer in self.timers if not timer.is_soon)

    @property
    def first(self) -> tuple[Item, ...]:
        """Return the most urgent of what fits, to be shown large."""
        return self.fits[:SHOWN_LARGE]

    @property
    def others(self) -> tuple[Item, ...]:
        return self.fits[SHOWN_LARGE:]

    def of(self, person: int) -> "TodayPage":
        """Return the page of one person: their turn, and what they could do beside it."""
        mine = tuple(turn for turn in self.turns if turn.person == person)
        if not mine:
            return self

        def theirs(items: tuple[Item, ...]) -> tuple[Item, ...]:
            can_do = (item for item in items if item.can_do is None or person in item.can_do)
            return tuple(replace(item, who=str(person)) for item in can_do)

        mine = tuple(_with_taps(turn) for turn in mine)
        return replace(
            self, person=person, turns=mine, fits=theirs(self.fits), part_of=theirs(self.part_of), blocked=()
        )


def today_page(db: Session, now: datetime) -> TodayPage:
    """Return what to do now, over all open jobs."""
    known = load_plan_facts(db, now)
    plan, problems = known.plan()
    on = known.shop.day_of(now)
    if plan is None or known.calendar is None:
        return TodayPage(on, len(known.jobs), None, problems)
    today = todays_list(plan, now, known.calendar)
    make = Items(known, plan, store.load_versions(db, known.jobs))
    turns = make.turns(today.turns)
    at_work = {item.task.key for turn in turns for item in turn.at_work}
    return TodayPage(
        on=on,
        open_jobs=len(known.jobs),
        today=today,
        problems=problems,
        is_open=known.calendar.is_open(now),
        room=known.calendar.between(today.starts_at, today.interrupted_at),
        people=tuple((turn.person, turn.name) for turn in turns if turn.name),
        turns=turns,
        running=tuple(item for item in make.noted(today.running) if item.task.key not in at_work),
        timers=tuple(make.ticking(timer) for timer in today.timers),
        fits=make.doable(today.fits, "fits"),
        part_of=make.doable(today.part_of, "part_of"),
        leave=make.noted(today.leave),
        get_ready=make.noted(today.get_ready),
        late=make.noted(today.late),
        late_jobs=late(plan),
        moves=_moves(plan, known),
        to_arrange=make.noted(today.to_arrange),
        blocked=make.noted(today.blocked),
        done=make.done(on),
        next_one=make.next_one(),
    )


SHOP_PAGES["today"] = today_page


def _moves(plan: Plan, known: PlanFacts) -> str:
    """Return what is finished on another day than in the plan people follow, in words."""
    if known.kept is None:
        return ""
    found = moved({key: (each.start, each.finish) for key, each in known.kept.tasks.items()}, plan)
    return moved_words(found, plan) if found.jobs else ""


def _with_taps(turn: Shown) -> Shown:
    """Return a turn on a page of its own, where everything in it is tapped."""
    at_work = tuple(replace(item, has_taps=True) for item in turn.at_work)
    return replace(turn, at_work=at_work, next=replace(turn.next, has_taps=True) if turn.next else None)
