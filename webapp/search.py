"""The search for better layouts: one thread beside the pages, a material at a time, the best kept as it is found."""

import logging
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from threading import Condition, Event, Thread
from typing import Protocol

from domain.buying import MaterialPlan, Round, Stand
from domain.layout.better import improve
from domain.layout.shape import Layout, Progress
from domain.material import Material
from domain.search import NOTHING_BETTER, Search, SearchState, is_better, progress_words
from webapp.store.buying import load_buying_plan
from webapp.store.database import Database
from webapp.store.job import load_job
from webapp.store.layout import keep_layout, load_layouts_of
from webapp.store.rows import Missing

log = logging.getLogger("benchday")

LONGEST_END = 5.0
"""Seconds that a search gets to end when the app is stopped; what it found so far is kept already."""

Key = tuple[int, str]


class Improve(Protocol):
    """What looks for better layouts than one there is. stop: asked over and over whether to end."""

    def __call__(self, start: Layout, *, stop: Callable[[], bool]) -> Iterator[Progress]: ...


class Searcher:
    """Searches for what it is asked, one material after another. Its thread is there only while there is work."""

    def __init__(self, database: Database, now: Callable[[], datetime], *, improve: Improve = improve) -> None:
        self._database, self._now, self._improve = database, now, improve
        self._changed = Condition()
        self._told: dict[Key, Search] = {}
        self._stops: dict[Key, Event] = {}
        self._thread: Thread | None = None
        self._is_closing = False

    def ask(self, job_id: int, materials: Iterable[Material]) -> None:
        """Search for better layouts of these materials of a job, after what was asked before."""
        with self._changed:
            for material in materials:
                key = job_id, material.key
                if not ((told := self._told.pop(key, None)) and told.is_under_way):
                    told, self._stops[key] = Search(job_id, material), Event()
                self._told[key] = told
            if self._thread is None and not self._is_closing:
                self._thread = Thread(target=self._run, name="search", daemon=True)
                self._thread.start()

    def stop(self, job_id: int) -> None:
        """Stop searching for a job; the best so far stays."""
        with self._changed:
            for key, told in self._told.items():
                if key[0] == job_id and told.is_under_way:
                    self._stops[key].set()
                    self._told[key] = replace(told, state=SearchState.STOPPED)

    def of(self, job_id: int) -> Mapping[str, Search]:
        """Return what is told of a job's searches, by the key of the material."""
        with self._changed:
            return {key: told for (job, key), told in self._told.items() if job == job_id}

    def close(self) -> None:
        """Stop, and wait for the thread to end."""
        with self._changed:
            self._is_closing = True
            for stop in self._stops.values():
                stop.set()
            thread = self._thread
        if thread is not None:
            thread.join(LONGEST_END)

    def _run(self) -> None:
        while (turn := self._next()) is not None:
            key, stop = turn
            try:
                self._search(key, stop)
            except Missing:
                self._break_off(key, stop, SearchState.STOPPED)
            except Exception as error:
                log.error("a search for a better layout broke off", exc_info=error)
                self._break_off(key, stop, SearchState.FAILED)

    def _next(self) -> tuple[Key, Event] | None:
        """Return what waits longest, and what stops it; None, and the thread is given up, when nothing does."""
        with self._changed:
            waiting = (key for key, told in self._told.items() if told.state is SearchState.WAITING)
            key = None if self._is_closing else next(waiting, None)
            if key is None:
                self._thread = None
                return None
            self._told[key] = replace(self._told[key], state=SearchState.SEARCHING)
            return key, self._stops[key]

    def _search(self, key: Key, stop: Event) -> None:
        """Search round after round: what usual sizes have to give depends on what the rack can."""
        searched: set[str] = set()
        gains: list[str] = []
        while (found := self._open_round(key, searched)) is not None and not stop.is_set():
            plan, each = found
            searched.add(each.fingerprint)
            gains += self._improve_round(key, stop, plan.material, each)
        words = ". ".join(gains) or NOTHING_BETTER
        self._tell(key, stop, Fraction(1), words, state=SearchState.DONE)

    def _open_round(self, key: Key, searched: set[str]) -> tuple[MaterialPlan, Round] | None:
        """Return the first round that may still get better; None when there is none, or the parts are others now."""
        with self._database.read() as db:
            plans = load_buying_plan(db, key[0]).materials
        plan = next((one for one in plans if one.material.key == key[1]), None)
        if plan is None or (searched and not searched & {each.fingerprint for each in plan.rounds}):
            return None
        rounds = (each for each in plan.rounds if each.stand is not Stand.CUT and each.fingerprint not in searched)
        found = next((each for each in rounds if not (each.layout.improved or each.layout.is_best)), None)
        return None if found is None else (plan, found)

    def _improve_round(self, key: Key, stop: Event, material: Material, each: Round) -> list[str]:
        """Look for a better layout of one round, and return what was gained in words, if anything was."""
        best = first = each.layout
        self._tell(key, stop, Fraction(0), progress_words(best, first, material))
        for progress in self._improve(first, stop=stop.is_set):
            if is_better(progress.best, best):
                best = progress.best
                self._keep(key[0], each.fingerprint, best)
            self._tell(key, stop, progress.done, progress_words(best, first, material))
        is_less = best.cost < first.cost or len(best.laid) < len(first.laid)
        return [progress_words(best, first, material)] if is_less else []

    def _keep(self, job_id: int, fingerprint: str, layout: Layout) -> None:
        """Keep a layout unless a better one was kept meanwhile. Raises Missing when the job is gone."""
        if self._is_closing:
            return
        with self._database.write("A better layout kept", at=self._now()) as db:
            load_job(db, job_id)
            kept = load_layouts_of(db, [job_id])[job_id].get(fingerprint)
            if kept is None or is_better(layout, kept):
                keep_layout(db, job_id, fingerprint, layout, at=self._now())

    def _tell(
        self, key: Key, stop: Event, done: Fraction, words: str, *, state: SearchState = SearchState.SEARCHING
    ) -> None:
        """Say how far a search has come, unless it was stopped or asked for anew."""
        with self._changed:
            if self._still_counts(key, stop):
                self._told[key] = replace(self._told[key], state=state, done=done, words=words)

    def _break_off(self, key: Key, stop: Event, state: SearchState) -> None:
        """Say that a search ended where it was, unless it was stopped or asked for anew."""
        with self._changed:
            if self._still_counts(key, stop):
                self._told[key] = replace(self._told[key], state=state)

    def _still_counts(self, key: Key, stop: Event) -> bool:
        return self._stops.get(key) is stop and not stop.is_set()
