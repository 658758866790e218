"""The days a job may be finished on, as columns on a sheet: where everything is drawn, for a template to print."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from domain.promise import Day
from domain.when import day

WIDTH, HEIGHT, HEAD, FOOT = 680, 190, 34, 26
MOST_DAYS = 90
"""Columns shown; a finish that may lie farther apart is drawn by its weeks."""
LEAST_SAID = 0.01
ROOM = 76
"""Room for a date under the columns [px]."""


@dataclass(frozen=True, slots=True)
class Column:
    """A day or week: its box, how many of 100 cases end in it, its date where there is room for one."""

    x: float
    y: float
    width: float
    height: float
    words: str


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line from top to bottom with words at its head."""

    x: float
    words: str
    anchor: str
    kind: str


@dataclass(frozen=True, slots=True)
class PromiseDrawing:
    """words: the same for a person who cannot see it."""

    columns: tuple[Column, ...]
    strokes: tuple[Stroke, ...]
    words: str
    width: int = WIDTH
    height: int = HEIGHT
    foot: int = HEIGHT - FOOT


def draw_promise(days: Sequence[Day], marks: Sequence[tuple[date, str, str]], today: date) -> PromiseDrawing:
    """Return the drawing of the days of a promise. marks: days to point out, with words and the name of their style."""
    first = min([days[0].on, *(on for on, _, _ in marks)])
    last = max([days[-1].on, *(on for on, _, _ in marks)])
    per = 1 if (last - first).days < MOST_DAYS else 7
    count = (last - first).days // per + 1
    step = WIDTH / count
    shares = [0.0] * count
    for each in days:
        shares[(each.on - first).days // per] += each.share
    tallest = max(shares)
    room = HEIGHT - HEAD - FOOT
    every = max(int(-(-ROOM // step)), 1)
    columns = []
    for number, share in enumerate(shares):
        height = round(room * share / tallest, 1)
        words = day(first + timedelta(days=number * per), today) if number % every == 0 else ""
        columns.append(
            Column(round(number * step + 1, 1), HEIGHT - FOOT - height, round(max(step - 2, 1), 1), height, words)
        )
    strokes = []
    for on, words, kind in marks:
        x = round(((on - first).days // per + 0.5) * step, 1)
        strokes.append(Stroke(x, words, "end" if x > WIDTH * 0.6 else "start", kind))
    seen = (each for each in days if each.share >= LEAST_SAID)
    said = ", ".join(f"{round(each.share * 100)} of 100 on {day(each.on, today)}" for each in seen)
    return PromiseDrawing(tuple(columns), tuple(strokes), f"Days the job is finished on: {said}.")
