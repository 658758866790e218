"""A search for a better layout of one material, as people are told of it."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from math import floor

from domain.layout.shape import Layout
from domain.material import Material
from domain.rack import so_many

NOTHING_BETTER = "nothing better was found"
"""Said of a search that is over and gained nothing."""


class SearchState(Enum):
    """Where a search stands; the value is what a person reads."""

    WAITING = "waits its turn"
    SEARCHING = "searching"
    DONE = "searched through"
    STOPPED = "stopped, best so far kept"
    FAILED = "broke off, best so far kept"


@dataclass(frozen=True, slots=True)
class Search:
    """The search for one material of a job. done: share of the work; words: how far it has come."""

    job_id: int
    material: Material
    state: SearchState = SearchState.WAITING
    done: Fraction = Fraction(0)
    words: str = ""

    @property
    def is_under_way(self) -> bool:
        return self.state in (SearchState.WAITING, SearchState.SEARCHING)

    @property
    def percent(self) -> int:
        """Return whole hundredths of the work that are done."""
        return min(floor(self.done * 100), 100)


def progress_words(best: Layout, first: Layout, material: Material) -> str:
    """Return the best so far against what it began with: `11 boards, was 12; no layout needs fewer than 11`."""
    words = so_many(len(best.laid), material.kind)
    if len(best.laid) != len(first.laid):
        words += f", was {len(first.laid)}"
    if best.cost < first.cost:
        words += f", {floor((first.cost - best.cost) / first.cost * 100)} % less to buy than at first"
    return f"{words}; no layout needs fewer than {so_many(max(best.bound.count, 1), material.kind)}"


def is_better(found: Layout, kept: Layout) -> bool:
    """Whether a layout is worth keeping in the place of another of the same question."""
    before, after = sum(kept.unplaced.values()), sum(found.unplaced.values())
    if (after, found.cost, len(found.laid)) != (before, kept.cost, len(kept.laid)):
        return (after, found.cost, len(found.laid)) < (before, kept.cost, len(kept.laid))
    return found.improved and not kept.improved
