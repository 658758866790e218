"""Wishes that cannot all come true: the smallest set of them, in words with dates, and what would help."""

from dataclasses import dataclass

from domain.plan.asked import Asked
from domain.plan.planned import Plan
from domain.plan.tried import Tried


@dataclass(frozen=True, slots=True)
class Conflict:
    """wishes: each in words, of which any one given up lets the others be; words: why they contradict one another;
    keys: of the tasks they are about; is_proved: no plan keeps them all, else: none was found; remedies: each was
    tried and works, the least trouble first.
    """

    wishes: tuple[str, ...]
    words: str
    keys: tuple[str, ...]
    is_proved: bool
    remedies: tuple[Tried, ...] = ()


def conflicts(made: Plan, asked: Asked) -> tuple[Conflict, ...]:
    """Return what in a plan cannot be had together, and what would help."""
    raise NotImplementedError
