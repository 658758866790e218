"""A search in a process of its own: what it finds arrives, and nothing of its end is felt here."""

import os
import subprocess
import sys
from collections.abc import Iterator
from itertools import islice
from multiprocessing import active_children
from pathlib import Path
from time import sleep

import pytest

from domain.schedule.schedule import Aim, Progress
from domain.schedule.solve import Effort
from searches_apart import SMALL, endless, failing, killed, progress, standing_back, two_steps
from webapp.apart import NICER, BrokeOff, Solve, solve_apart

TESTS = Path(__file__).parents[1]


def search(by: Solve, *, stops: bool = False) -> Iterator[Progress]:
    return solve_apart(SMALL, aim=Aim.SOONEST, start=None, effort=Effort(), stop=lambda: stops, by=by)


def test_what_is_found_arrives_in_order() -> None:
    assert list(search(two_steps)) == [progress(1), progress(2)]
    assert active_children() == []


def test_a_search_stands_back_behind_the_pages() -> None:
    assert list(search(standing_back)) == [progress(min(os.nice(0) + NICER, 19))]


@pytest.mark.parametrize(("by", "words"), [(killed, "is gone"), (failing, "ZeroDivisionError: invented")])
def test_a_search_that_is_killed_or_fails_says_so_after_what_it_had_found(by: Solve, words: str) -> None:
    found = search(by)
    assert next(found) == progress(1)
    with pytest.raises(BrokeOff, match=words):
        next(found)
    assert active_children() == []


def test_a_search_that_is_told_to_stop_is_gone_at_once() -> None:
    assert list(search(endless, stops=True)) == []
    assert active_children() == []


def test_a_search_nobody_listens_to_any_more_is_gone_at_once() -> None:
    found = search(endless)
    assert list(islice(found, 1)) == [progress(1)]
    found.close()  # type: ignore[attr-defined]
    assert active_children() == []


def test_when_the_app_is_killed_the_search_ends_with_it() -> None:
    script = "from webapp.apart import *; from searches_apart import *; from domain.schedule.schedule import Aim\n"
    script += "if __name__ == '__main__':\n    list(solve_apart(SMALL, aim=Aim.SOONEST, start=None, effort=Effort(), "
    script += "stop=lambda: False, by=endless))"
    path = os.pathsep.join([str(TESTS), str(TESTS.parent)])
    app = subprocess.Popen(
        [sys.executable, "-c", script], env={**os.environ, "PYTHONPATH": path}, stderr=subprocess.PIPE, text=True
    )
    assert app.stderr is not None
    child = int(app.stderr.readline())
    app.kill()
    app.wait()
    app.stderr.close()
    for _ in range(500):
        if not is_alive(child):
            return
        sleep(0.02)
    raise AssertionError("the search went on without the app")


def is_alive(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"
