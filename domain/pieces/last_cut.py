"""The last cut of a top to its length: when it is made, what it goes through, and openings cut after it."""

from collections.abc import Iterator
from enum import Enum
from typing import Any

from domain.figure import Figure
from domain.glue_up import Fastening, fastener_places, kept_clear
from domain.part import FinishChoice, Stage, Step, TaskKind, Wait, Work
from domain.pieces.ask import number
from domain.pieces.making import Making, each, inches
from domain.pieces.panel import Panel
from domain.pieces.steps import after
from domain.problem import Problem

INSTALL = "Install"


class LastCut(Enum):
    INSTALL = "at install"
    SHOP = "in the shop"


def openings_ask() -> Any:
    """Return a field for how many openings are cut into a top."""
    return number("Openings to cut", 0, most=6, help="For a sink or hob, to its template.", group=INSTALL)


def last_cuts(when: LastCut, cuts: Figure, openings: int, waits: tuple[Wait, ...]) -> tuple[Step, ...]:
    """Return the last cut to length and any openings. cuts: how many; waits: what must be done before."""
    stage = Stage.BUILD if when is LastCut.SHOP else Stage.INSTALL
    work = (Work("cut-to-length", cuts),)
    last = Step("cut-to-length", "Last cut to length", TaskKind.CUT, stage, work, after=waits)
    if not openings:
        return (last,)
    holes = (Work("cut-opening", each("Openings", openings, "as typed")),)
    opened = Step("openings", "Cut openings to template", TaskKind.CUT, stage, holes, after=after("cut-to-length"))
    return (last, opened)


def clear_of_the_last_cut(panel: Panel, making: Making) -> Iterator[Figure]:
    """Yield what the last cut takes off at each end, and where fasteners stand and may not stand [in]."""
    if panel.board_count == 1 or panel.extra is None:
        return
    if panel.ends_cut == 2:
        words = "extra length ÷ 2: half at each end"
        yield inches("Cut off later, at each end", panel.extra.value / 2, words, panel.extra)
    if panel.fastening is None:
        return
    length, extra, ends = panel.glued_length, panel.extra, panel.ends_cut
    where = fastener_places(panel.fastening, length, making.practice, extra_length=extra, ends_cut=ends)
    name = panel.fastening.value
    yield from dict.fromkeys(kept_clear(length, making.practice, extra_length=extra, ends_cut=ends))
    words = "clear of both ends, at the shop's spacing"
    yield each(f"{name.capitalize()}s in one joint", len(where), words, *where[:1])
    if len(where) > 1:
        words = "the same between all of them"
        yield inches(f"From one {name} to the next", where[1].value - where[0].value, words, where[0], where[1])


def coating_warnings(choice: FinishChoice | None, when: LastCut, *, is_coated_below: bool) -> Iterator[Problem]:
    """Yield what a finish on a top leaves bare: its underside, and an end that is cut after it is coated."""
    if choice and not is_coated_below:
        yield Problem("finish_underside", "A top coated on one side only takes up damp on the other and may cup.")
    if choice and not choice.on_site and when is LastCut.INSTALL:
        words = "The last cut at install bares an end. Take finish along and coat it the same day."
        yield Problem("last_cut", words)


def opening_warnings(fastening: Fastening | None, openings: int, making: Making) -> Iterator[Problem]:
    """Yield that openings are marked before fasteners are set, where a top has both."""
    if openings and fastening:
        clear = making.habit("fastener_keep_clear").length.tape()
        words = f"Mark the openings before the glue-up, and set no {fastening.value} within {clear} of their cuts."
        yield Problem("openings", words)
