"""How sure a finish is: spreads of durations, drawn again and again, played through the plan."""

from domain.promise.learnt import Learnt, assumed, learnt
from domain.promise.odds import Odds, Pull, odds
from domain.promise.of_plan import Day, Promise, Swing, promise, sources, spread_of
from domain.promise.spread import Spread

__all__ = [
    "Day", "Learnt", "Odds", "Promise", "Pull", "Spread", "Swing", "assumed", "learnt", "odds", "promise", "sources",
    "spread_of",
]  # fmt: skip
