"""Searches that behave in a certain way, known by name in another process."""

import os
import signal
import sys
from collections.abc import Iterator
from fractions import Fraction
from time import sleep

from domain.schedule.problem import Activity, Problem
from domain.schedule.schedule import Aim, Cost, Progress, Proof, Schedule
from domain.schedule.solve import Effort

SMALL = Problem((Activity(3), Activity(2)))


def progress(done: int = 0) -> Progress:
    return Progress(Schedule((0, 0), (3, 2), ((), ())), Cost(0, 0, 3, 0), (), Proof.NONE, Fraction(done, 2), "a test")


def two_steps(problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort) -> Iterator[Progress]:
    yield progress(1)
    yield progress(2)


def killed(problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort) -> Iterator[Progress]:
    yield progress(1)
    os.kill(os.getpid(), signal.SIGKILL)


def failing(problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort) -> Iterator[Progress]:
    yield progress(1)
    raise ZeroDivisionError("invented")


def endless(problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort) -> Iterator[Progress]:
    print(os.getpid(), flush=True, file=sys.stderr)
    yield progress(1)
    while True:
        sleep(0.01)


def standing_back(problem: Problem, *, aim: Aim, start: Schedule | None, effort: Effort) -> Iterator[Progress]:
    """Say how far the process stands back behind others."""
    yield progress(os.nice(0))
