"""Finishes that no schedule can beat, and what they follow from."""

from domain.schedule.problem import Problem
from domain.schedule.schedule import Bound


def bounds(problem: Problem) -> tuple[Bound, ...]:
    """Return for each job the greatest finish that no schedule of it can beat, the other jobs left out."""
    raise NotImplementedError


def labour_total(problem: Problem) -> int:
    """Return what the sum of the finishes of all jobs cannot be less than [slots]."""
    raise NotImplementedError
