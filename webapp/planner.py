"""The search for a better plan of all open jobs: beside the pages, the best kept as it is found."""

import logging
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from threading import Condition, Event, Thread

from domain.plan import Plan
from domain.plan.kept import KeptPlan, changes, kept_plan
from domain.plan.search import PlanSearch
from domain.plan.standing import standing_words
from domain.schedule.schedule import Progress
from domain.schedule.solve import Effort
from domain.search import SearchState
from webapp.apart import BrokeOff, SolveApart, solve_apart
from webapp.store.database import Database
from webapp.store.kept_plan import keep_plan, load_kept_at
from webapp.store.plan import load_plan_facts

log = logging.getLogger("benchday")

LONGEST_END = 5.0
"""Seconds that a search gets to end when the app is stopped; what it found so far is kept already."""

NOTHING_TO_PLAN = "nothing can be planned yet"
CHANGED = "something was changed meanwhile: the plan follows it, look again"


class Planner:
    """Looks for a better plan when it is asked. Its thread is there only while there is work."""

    def __init__(
        self,
        database: Database,
        now: Callable[[], datetime],
        *,
        solve: SolveApart = solve_apart,
        effort: Effort = Effort(),
    ) -> None:
        self._database, self._now, self._solve, self._effort = database, now, solve, effort
        self._changed = Condition()
        self._told: PlanSearch | None = None
        self._stop = Event()
        self._thread: Thread | None = None
        self._is_closing = False
        self._before: KeptPlan | None = None

    def ask(self) -> None:
        """Look for a better plan, unless that is done already."""
        with self._changed:
            if self._is_closing or (self._told is not None and self._told.is_under_way):
                return
            former, self._stop = self._thread, Event()
            self._told = PlanSearch()
            self._thread = Thread(target=self._run, args=(self._stop, former), name="plan", daemon=True)
            self._thread.start()

    def stop(self) -> None:
        """Stop looking; the best so far stays."""
        with self._changed:
            if self._told is not None and self._told.is_under_way:
                self._stop.set()
                self._told = replace(self._told, state=SearchState.STOPPED)

    @property
    def told(self) -> PlanSearch | None:
        """Return what is told of the search; None before the first."""
        with self._changed:
            return self._told

    def back(self) -> bool:
        """Follow the plan again that stood before the last search; return whether there is one to go back to."""
        with self._changed:
            before, self._before = self._before, None
            if before is None or (self._told is not None and self._told.is_under_way):
                return False
            self._told = None
        with self._database.write("The plan as it was before kept", at=self._now()) as db:
            keep_plan(db, before, at=self._now())
        return True

    def keep_daily(self) -> None:
        """Keep the plan of the day, once a day: what has moved since is told against it."""
        at = self._now()
        with self._database.read() as db:
            known, kept_at = load_plan_facts(db, at), load_kept_at(db)
        plan, _ = known.plan()
        is_of_today = kept_at is not None and known.shop.day_of(kept_at) == known.shop.day_of(at)
        if is_of_today or plan is None or plan.schedule is None:
            return
        if known.kept is None or known.kept.facts != known.fingerprint or changes(known.kept, plan):
            with self._database.write("The plan of the day kept", at=at) as db:
                keep_plan(db, kept_plan(plan, facts=known.fingerprint), at=at)

    def close(self) -> None:
        """Stop, and wait for the thread to end."""
        with self._changed:
            self._is_closing = True
            self._stop.set()
            thread = self._thread
        if thread is not None:
            thread.join(LONGEST_END)

    def _run(self, stop: Event, former: Thread | None) -> None:
        if former is not None:
            former.join(LONGEST_END)
        try:
            self._search(stop)
        except BrokeOff as broken:
            log.warning("a search for a better plan broke off: %s", broken)
            self._tell(stop, state=SearchState.FAILED, why=str(broken))
        except Exception as error:
            log.error("a search for a better plan broke off", exc_info=error)
            self._tell(stop, state=SearchState.FAILED, why="something went wrong on our side; the log says what")

    def _search(self, stop: Event) -> None:
        plan, facts = self._begun()
        if plan is None or plan.model is None or plan.schedule is None:
            self._tell(stop, state=SearchState.DONE, words=NOTHING_TO_PLAN)
            return
        self._tell(stop, state=SearchState.SEARCHING)
        first = kept_plan(plan, facts=facts)
        with self._changed:
            self._before = first
        problem, aim = plan.model.problem, plan.resources.aim
        best: Progress | None = None
        for progress in self._solve(problem, aim=aim, start=plan.schedule, effort=self._effort, stop=stop.is_set):
            if best is None or progress.cost <= best.cost:
                found = kept_plan(plan, facts=facts, progress=progress)
                if not self._keep(found, facts, stop):
                    return
                best = progress
                words, moved = standing_words(plan, progress), len(changes(first, found))
                self._tell(stop, done=progress.done, words=words, moved=moved)
        self._tell(stop, state=SearchState.DONE, done=Fraction(1))

    def _begun(self) -> tuple[Plan | None, str]:
        """Return the plan as it stands, and the fingerprint of what it was made from."""
        with self._database.read() as db:
            known = load_plan_facts(db, self._now())
        return known.plan()[0], known.fingerprint

    def _keep(self, found: KeptPlan, facts: str, stop: Event) -> bool:
        """Keep a plan unless the search was stopped or the facts are others by now; return whether it was kept."""
        if stop.is_set():
            return False
        is_kept = None
        while is_kept is None:
            is_kept = self._keep_unless_written(found, facts)
        if not is_kept:
            self._tell(stop, state=SearchState.STOPPED, words=CHANGED)
        return is_kept

    def _keep_unless_written(self, found: KeptPlan, facts: str) -> bool | None:
        """Keep a plan of these facts; return whether they still are, None when something was written while we looked.

        We look before we write, so that nobody who writes waits for it.
        """
        at, seen = self._now(), self._database.changes
        with self._database.read() as db:
            if load_plan_facts(db, at).fingerprint != facts:
                return False
        with self._database.write("A better plan kept", at=at) as db:
            db.connection()  # from here on nobody else writes
            if self._database.changes != seen:
                return None
            keep_plan(db, found, at=at)
        return True

    def _tell(self, stop: Event, **said: object) -> None:
        """Say how far the search has come, unless it was stopped or asked for anew."""
        with self._changed:
            if self._stop is stop and not stop.is_set() and self._told is not None:
                self._told = replace(self._told, **said)  # type: ignore[arg-type]
