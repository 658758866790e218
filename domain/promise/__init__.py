"""How sure a finish is: spreads of durations, drawn again and again, played through the plan."""

from domain.promise.odds import Odds, Pull, odds
from domain.promise.spread import Spread

__all__ = ["Odds", "Pull", "Spread", "odds"]
