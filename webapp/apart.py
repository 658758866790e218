"""Runs a search for a better plan in a process of its own: pages stay quick, and a crash of the solver stays there."""

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import suppress
from multiprocessing import get_context, parent_process
from multiprocessing.connection import Connection, wait
from threading import Thread
from typing import Protocol

from domain.schedule.problem import Problem
from domain.schedule.schedule import Aim, Progress, Schedule
from domain.schedule.solve import Effort, solve

LOOK = 0.1
"""Seconds between looks whether the search is to stop."""
LAST_BREATH = 5.0
"""Seconds that an ended process gets to be gone."""
NICER = 10
"""By so much the search stands back behind the pages, which somebody waits for."""


class Solve(Protocol):
    """What looks for better schedules; it must be known by name in another process."""

    def __call__(self, problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort) -> Iterator[Progress]: ...


class SolveApart(Protocol):
    """What runs a search elsewhere, until it is through or told to stop. Raises BrokeOff."""

    def __call__(
        self, problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort, stop: Callable[[], bool]
    ) -> Iterator[Progress]: ...


class BrokeOff(Exception):
    """The search ended before its time: it failed, or its process was killed."""


def solve_apart(
    problem: Problem,
    *,
    aim: Aim,
    start: Schedule | None,
    effort: Effort,
    stop: Callable[[], bool],
    by: Solve = solve,
) -> Iterator[Progress]:
    """Yield what a search finds in another process, until it is through or told to stop. Raises BrokeOff."""
    context = get_context("spawn")
    here, there = context.Pipe()
    process = context.Process(target=_search, args=(there, by, problem, aim, start, effort), name="plan", daemon=True)
    process.start()
    there.close()
    try:
        yield from _heard(here, stop)
    finally:
        process.kill()
        process.join(LAST_BREATH)
        here.close()


def _heard(here: Connection, stop: Callable[[], bool]) -> Iterator[Progress]:
    while not stop():
        if not here.poll(LOOK):
            continue
        try:
            told = here.recv()
        except (EOFError, OSError):
            raise BrokeOff("the process of the search is gone") from None
        if told is None:
            return
        if isinstance(told, str):
            raise BrokeOff(told)
        yield told


def _search(there: Connection, by: Solve, problem: Problem, aim: Aim, start: Schedule | None, effort: Effort) -> None:
    """Search, and send what is found; None when through, text when it failed. Ends when nobody listens any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the app itself is told, and ends this
    if hasattr(os, "nice"):
        os.nice(NICER)
    Thread(target=_end_with_the_app, daemon=True).start()
    with suppress(BrokenPipeError, ConnectionError):
        try:
            for progress in by(problem, aim=aim, start=start, effort=effort):
                there.send(progress)
            there.send(None)
        except (BrokenPipeError, ConnectionError):
            raise
        except Exception as error:
            there.send(f"{type(error).__name__}: {error}")


def _end_with_the_app() -> None:
    """End this process as soon as the app is gone, killed or not: nobody would stop it otherwise."""
    app = parent_process()
    if app is not None:
        wait([app.sentinel])
        os._exit(0)
