"""The solver's door, and the only one: patterns chosen from a pool, and prices of blanks. Whole numbers in and out.

OR-Tools is an extra. Without it `has_solver()` is false and nothing else here may be asked.
Source: M. Monaci, P. Toth, A set-covering-based heuristic approach for bin-packing problems, INFORMS Journal on
Computing 18, 2006, 71-85, for choosing boards from a pool that quick ways have filled.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from threading import Thread
from typing import Any

SEED = 1
LARGEST = 1 << 40
"""Costs are made coarser above it, so that the solver's sums stay within 64 bits; what is chosen is costed exactly."""

ASKED_EVERY = 0.02
"""Seconds between two questions whether to stop."""


@cache
def has_solver() -> bool:
    """Whether OR-Tools is installed."""
    return find_spec("ortools") is not None


@dataclass(frozen=True, slots=True)
class Column:
    """One way to cut a board. used: pairs of piece and how many; lost: what it loses beside its cost, small."""

    stock: int
    used: tuple[tuple[int, int], ...]
    lost: int = 0


@dataclass(frozen=True, slots=True)
class Choice:
    """How many of each column are cut. proven: no choice from this pool is better."""

    many: tuple[int, ...]
    proven: bool


@dataclass(frozen=True, slots=True)
class Pool:
    """columns; wanted: how many of each piece; costs, limits: of each stock; lanes: columns that one board takes."""

    columns: Sequence[Column]
    wanted: Sequence[int]
    costs: Sequence[int]
    limits: Sequence[int]
    lanes: Sequence[int]


def choose(
    pool: Pool, start: Sequence[int], *, effort: float, stop: Callable[[], bool], fixed: tuple[int, int] | None = None
) -> Choice | None:
    """Return the columns that cost least, then are fewest boards, and hold every piece; None where none are found.

    start: a choice to begin from; effort: the solver's own measure of work, so that the answer never hangs on how busy
    the machine is; fixed: cost and boards that may not grow while what is lost is made small.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    coarse = max(1, max(pool.costs, default=0) * sum(pool.wanted) // LARGEST)
    many = [model.new_int_var(0, _most(column, pool), f"c{at}") for at, column in enumerate(pool.columns)]
    boards = [model.new_int_var(0, limit, f"b{at}") for at, limit in enumerate(pool.limits)]
    for stock, board in enumerate(boards):
        mine = [many[at] for at, column in enumerate(pool.columns) if column.stock == stock]
        if pool.lanes[stock] == 1:
            model.add(sum(mine) == board)
        else:
            model.add(sum(mine) <= pool.lanes[stock] * board)
    holds: list[list[tuple[int, int]]] = [[] for _ in pool.wanted]
    for at, column in enumerate(pool.columns):
        for which, used in column.used:
            holds[which].append((at, used))
    for which, wanted in enumerate(pool.wanted):
        model.add(sum(used * many[at] for at, used in holds[which]) >= wanted)
    cost = sum((price // coarse) * board for price, board in zip(pool.costs, boards, strict=True))
    every = sum(boards)
    if fixed is None:
        model.minimize(cost * (sum(pool.wanted) + 1) + every)
    else:
        model.add(sum(price * board for price, board in zip(pool.costs, boards, strict=True)) <= fixed[0])
        model.add(every <= fixed[1])
        model.minimize(sum(column.lost * many[at] for at, column in enumerate(pool.columns)))
    for at, value in enumerate(start):
        model.add_hint(many[at], value)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    # At 1 it takes "one of these boards at least" for logic alone, without a relaxation.
    solver.parameters.linearization_level = 2
    solver.parameters.max_deterministic_time = effort
    status = _solve(solver, model, stop)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return Choice(tuple(solver.value(one) for one in many), status == cp_model.OPTIMAL)


def _most(column: Column, pool: Pool) -> int:
    needed = max(-(-pool.wanted[which] // used) for which, used in column.used)
    return min(needed, pool.limits[column.stock] * pool.lanes[column.stock])


def _solve(solver: Any, model: Any, stop: Callable[[], bool]) -> object:
    """Return the solver's status; it works aside, so that it can be told to stop within an eye's blink."""
    found: list[object] = []
    aside = Thread(target=lambda: found.append(solver.solve(model)), daemon=True)
    aside.start()
    while aside.is_alive():
        aside.join(ASKED_EVERY)
        if stop():
            solver.stop_search()
    return found[0] if found else None


class Prices:
    """What each piece is worth in the best mix of columns cut in part: for finding new columns, and for bounds that are
    then proven in whole numbers; never a bound by themselves. Columns can be added between two answers.
    """

    def __init__(self, pool: Pool) -> None:
        from ortools.linear_solver import pywraplp  # type: ignore[import-untyped]

        self._solver = pywraplp.Solver.CreateSolver("GLOP")
        self._optimal = pywraplp.Solver.OPTIMAL
        self._pool = pool
        self._many: list[Any] = []
        endless = self._solver.infinity()
        self._needs = [self._solver.Constraint(wanted, endless) for wanted in pool.wanted]
        self._rooms = [
            self._solver.Constraint(-endless, limit * lanes)
            for limit, lanes in zip(pool.limits, pool.lanes, strict=True)
        ]
        self._solver.Objective().SetMinimization()
        for column in pool.columns:
            self.add(column)

    def add(self, column: Column) -> None:
        many = self._solver.NumVar(0, self._solver.infinity(), "")
        cost = self._pool.costs[column.stock] / self._pool.lanes[column.stock]
        self._solver.Objective().SetCoefficient(many, cost)
        self._rooms[column.stock].SetCoefficient(many, 1)
        for which, used in column.used:
            self._needs[which].SetCoefficient(many, used)
        self._many.append(many)

    def want(self, wanted: Sequence[int], limits: Sequence[int]) -> None:
        """Change how many of each piece are wanted, and how many columns of each stock there are."""
        for need, many in zip(self._needs, wanted, strict=True):
            need.SetLb(many)
        for room, limit in zip(self._rooms, limits, strict=True):
            room.SetUb(limit)

    def solve(self) -> tuple[list[float], list[float]] | None:
        """Return about what each piece and each limit is worth; None where the columns cannot hold everything."""
        if self._solver.Solve() != self._optimal:
            return None
        return [need.dual_value() for need in self._needs], [room.dual_value() for room in self._rooms]

    def mix(self) -> list[float]:
        """Return how many of each column are cut, in part."""
        return [many.solution_value() for many in self._many]
