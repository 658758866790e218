"""Finding a figure on a page by its path, so that its working can be opened.

Every noun says here how its page is built; a path such as `lines.3.needed` is then walked over that page.
"""

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from datetime import datetime
from itertools import islice
from typing import Any

from sqlmodel import Session

from domain.figure import Figure

PAGES: dict[str, Callable[[Session, int, datetime], object]] = {}
"""noun -> what builds its page of a job, from the store, the job's id and the time. Each route module adds its own."""

SHOP_PAGES: dict[str, Callable[[Session, datetime], object]] = {}
"""noun -> what builds its page outside a job."""

DEEPEST, LONGEST = 80, 1_000
"""Steps and characters of a path: a total is some fifteen figures away from what was typed, two steps each."""
MOST_AT_ONCE = 400
"""Figures shown in one working; beyond, each opens by itself: the total of a job rests on thousands."""

NOTHING_THERE = object()


def find(page: object, at: str) -> Figure | None:
    """Return the figure at a path of field names, tuple indexes and mapping keys; None when there is none.

    Only fields of dataclasses are looked at, never other attributes.
    """
    steps = at.split(".")
    if len(at) > LONGEST or len(steps) > DEEPEST:
        return None
    here = page
    for step in steps:
        here = _next(here, step)
    return here if isinstance(here, Figure) else None


def is_long(figure: Figure) -> bool:
    """Whether a working is too long to be shown at once."""
    return next(islice(figure.walk(), MOST_AT_ONCE, None), None) is not None


def _next(here: Any, step: str) -> Any:
    if isinstance(here, Mapping):
        return next((here[key] for key in here if str(key) == step), NOTHING_THERE)
    if isinstance(here, tuple):
        is_index = step.isascii() and step.isdigit() and len(step) < 9
        return here[int(step)] if is_index and int(step) < len(here) else NOTHING_THERE
    if is_dataclass(here) and not isinstance(here, type):
        return getattr(here, step) if step in {field.name for field in fields(here)} else NOTHING_THERE
    return NOTHING_THERE
