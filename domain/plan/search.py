"""A search for a better plan of all open jobs, as people are told of it."""

from dataclasses import dataclass
from fractions import Fraction
from math import floor

from domain.search import SearchState


@dataclass(frozen=True, slots=True)
class PlanSearch:
    """Where the search stands. done: share of the work; words: the best so far, and what no plan can beat;
    moved: how many tasks stand elsewhere than in the plan it began with; why: what broke it off, if anything did.
    """

    state: SearchState = SearchState.WAITING
    done: Fraction = Fraction(0)
    words: str = ""
    moved: int = 0
    why: str = ""

    @property
    def is_under_way(self) -> bool:
        return self.state in (SearchState.WAITING, SearchState.SEARCHING)

    @property
    def percent(self) -> int:
        """Return whole hundredths of the work that are done."""
        return min(floor(self.done * 100), 100)
