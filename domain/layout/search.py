"""Ruin and recreate: some boards are taken apart and filled again another way, kept where it is no worse.

Source: G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt, G. Dueck, Record breaking optimization results using the ruin and
recreate principle, Journal of Computational Physics 159, 2000, 139-171.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import product
from random import Random

from domain.layout.fill import First, Rule
from domain.layout.first import orders
from domain.layout.pack import Key, Packing, Pattern, Task, Try, pack, pack_by_strips
from domain.layout.shape import Way

ASKED_EVERY = 16
"""Boards filled between two questions whether to stop."""

STRIPS = 0.5
"""How often boards are filled by strips, which is slow and good."""

STRIPS_WORK = 8
"""Boards filled the other way in the time of one filled by strips."""

POWERS = (1.05, 1.1, 1.0, 1.15)
"""Pieces are worth their area to the power of: large ones a little more than their area, so that they go first."""

WORSE = 0.02
"""How often a filling that is a little worse is kept, so that the search does not stay where it is."""

Stop = Callable[[], bool]


@dataclass(slots=True)
class Search:
    """best: the best packing so far; now: where the search stands; pool: every filled board seen, by what is on it."""

    best: Packing
    seed: int = 1
    pool: dict[Key, Pattern] = field(default_factory=dict)
    now: list[Pattern] = field(init=False)
    task: Task = field(init=False)
    filled: int = 0

    _random: Random = field(init=False)
    _orders: list[list[int]] = field(init=False)

    def __post_init__(self) -> None:
        self.task = self.best.task
        self._random = Random(self.seed)
        self._orders = orders(self.task.pieces)
        self.take(self.best)
        self.restart()

    def take(self, packing: Packing) -> None:
        """Remember every board of a packing, and the packing where it is the best."""
        self._remember(packing)
        if packing.beats(self.best):
            self.best = packing

    def know(self, pattern: Pattern) -> None:
        """Remember a filled board."""
        known = self.pool.setdefault(pattern.key, pattern)
        if known is not pattern and pattern.kept > known.kept:
            self.pool[pattern.key] = pattern

    def restart(self) -> None:
        """Go on from the best."""
        self.now = list(self.best.patterns)

    def by_strips(self, stop: Stop) -> Iterator[None]:
        """Fill all boards anew by strips, both ways, the pieces by several values; yield after each."""
        left, limits = [piece.count for piece in self.task.pieces], [stock.limit for stock in self.task.stocks]
        rest = (self._orders[0], Rule(First.LARGER, rows=True, snug=False))
        for power, way in product(POWERS, Way):
            values = [int(piece.area**power) for piece in self.task.pieces]
            self.take(pack_by_strips(self.task, values, way, rest, left, limits, stop))
            self.restart()
            yield

    def run(self, work: int, stop: Stop, goal: tuple[int, int]) -> None:
        """Go on until so many boards were filled, cost and boards come down to the goal or it is to stop."""
        end = self.filled + work
        while self.filled < end and self.best.score > (0, *goal) and not stop():
            self._again(stop)

    def _again(self, stop: Stop) -> None:
        """Take some boards apart, the emptiest of all most often, and fill them again with what found no place."""
        chance = self._random
        ruined = self._ruined()
        left = [0] * len(self.task.pieces)
        limits = [stock.limit for stock in self.task.stocks]
        out = set(ruined)
        for at, pattern in enumerate(self.now):
            if at in out:
                for which, many in pattern.used:
                    left[which] += many
            else:
                limits[pattern.stock] -= 1
        for which, many in enumerate(self._left()):
            left[which] += many
        if chance.random() < STRIPS:
            values = self._values()
            way, rest = chance.choice(tuple(Way)), self._try(left)
            again = pack_by_strips(self.task, values, way, rest, left, limits, stop)
            self.filled += (len(again.patterns) + 1) * STRIPS_WORK
        else:
            tries = [self._try(left) for _ in range(chance.choice((1, 1, 2, 3)))]
            again = pack(self.task, tries, left, limits)
            self.filled += (len(again.patterns) + 1) * len(tries)
        old = Packing(self.task, tuple(self.now[at] for at in ruined), tuple(self._left()))
        if _worth(again) > _worth(old) and not (again.score == old.score and chance.random() < WORSE):
            self._remember(again)
            return
        self.now = [pattern for at, pattern in enumerate(self.now) if at not in out] + list(again.patterns)
        self.take(Packing(self.task, tuple(self.now), again.left))

    def _left(self) -> list[int]:
        """Return how many of each piece are on no board now."""
        left = [piece.count for piece in self.task.pieces]
        for pattern in self.now:
            for which, many in pattern.used:
                left[which] -= many
        return left

    def _remember(self, packing: Packing) -> None:
        for pattern in packing.patterns:
            self.know(pattern)

    def _ruined(self) -> list[int]:
        chance = self._random
        many = min(len(self.now), chance.choice((2, 2, 3, 3, 4, 5)))
        chosen = set(chance.sample(range(len(self.now)), many))
        if chance.random() < 0.5:
            chosen.add(min(range(len(self.now)), key=lambda at: self.now[at].filled.area))
        return sorted(chosen)

    def _values(self) -> list[int]:
        chance = self._random
        power, noise = chance.choice(POWERS), chance.choice((0.0, 0.02, 0.1))
        return [int(piece.area**power * (1 + noise * chance.random())) for piece in self.task.pieces]

    def _try(self, left: list[int]) -> Try:
        """Return an order by one of the keys with some places exchanged, and a rule."""
        chance = self._random
        order = [which for which in chance.choice(self._orders) if left[which]]
        noise = chance.choice((0.0, 0.5, 1.5, 4.0, 10.0))
        if noise:
            places = {which: at + noise * chance.random() * 2 for at, which in enumerate(order)}
            order.sort(key=places.__getitem__)
        return order, Rule(chance.choice(tuple(First)), chance.random() < 0.6, chance.random() < 0.4)


def _worth(packing: Packing) -> tuple[int, int, int, float]:
    """Return what is to be small: as scored, then boards as unlike each other in how full they are as can be."""
    stocks = packing.task.stocks
    return *packing.score, -sum(one.filled.area**2 / stocks[one.stock].area for one in packing.patterns)
