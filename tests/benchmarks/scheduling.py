"""Published sets of projects: how near to the best known makespans a search comes in so many seconds.

`python -m tests.benchmarks.scheduling FOLDER --seconds 5` reads every `.sm` and `.sch` file of a folder and prints CSV:
file, makespan or `infeasible`, lower bound, proven, seconds, checked. If there is a best_known.csv beside them (columns
set, file, best_lower_bound, best_known_makespan), a line per set follows, apart from the CSV, on standard error.
"""

import csv
import sys
from argparse import ArgumentParser
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

sys.path.insert(0, "tests")

from domain.schedule.check import violations
from domain.schedule.problem import Problem
from domain.schedule.schedule import Progress, Proof, job_finishes
from domain.schedule.solve import Effort, solve
from domain.schedule.timing import Contradiction
from scheduling_sets import Known, best_known, read

ENDLESS = 1 << 40
"""Rounds, and units of the solver's work: the clock of this command ends a search, not its effort."""

ORDERS = 0.3
"""Share of the time for trying other orders before the solver is asked."""


@dataclass(frozen=True)
class Outcome:
    """makespan: None where the best schedule misses a window, or there is none; proven: that no schedule is better."""

    file: str
    makespan: int | None
    lower: int | None
    proven: bool
    seconds: float
    checked: bool

    @property
    def row(self) -> tuple[str, str, str, str, str, str]:
        finish = str(self.makespan) if self.makespan is not None else "infeasible" if self.proven else ""
        lower = "" if self.lower is None else str(self.lower)
        proven, checked = ("yes" if it else "no" for it in (self.proven, self.checked))
        return self.file, finish, lower, proven, f"{self.seconds:.2f}", checked


def search(problem: Problem, seconds: float, *, with_solver: bool) -> tuple[Progress | None, float]:
    """Return the last step of a search that is stopped after so many seconds, and how many it took.

    The solver has what is left after other orders were tried for a share of the time. None: limits were found that no
    schedule can keep to.
    """
    begun = perf_counter()

    def is_over(share: float) -> Callable[[], bool]:
        return lambda: perf_counter() - begun >= share * seconds

    share = ORDERS if with_solver else 1.0
    try:
        best = last(solve(problem, effort=Effort(rounds=ENDLESS, solver=0), stop=is_over(share)))
        if with_solver and not is_closed(best):
            effort = Effort(rounds=0, solver=float(ENDLESS))
            best = last(solve(problem, start=best.best, effort=effort, stop=is_over(1.0)))
    except Contradiction:
        return None, perf_counter() - begun
    return best, perf_counter() - begun


def last(steps: Iterator[Progress]) -> Progress:
    *_, best = steps
    return best


def is_closed(best: Progress) -> bool:
    """Whether no schedule of the only job is better, or every one misses a window."""
    return best.must_break > 0 or best.proof is Proof.BEST


def outcome(path: Path, seconds: float, *, with_solver: bool) -> Outcome:
    """Return what comes of one file, its schedule checked by code that shares nothing with the search."""
    problem = read(path)
    best, took = search(problem, seconds, with_solver=with_solver)
    if best is None:
        return Outcome(path.name, None, None, proven=True, seconds=took, checked=True)
    (finish,) = job_finishes(problem, best.best)
    lower = max(bound.slot for bound in best.bounds)
    is_whole = not best.best.broken
    return Outcome(
        path.name,
        finish if is_whole else None,
        lower,
        proven=is_closed(best) or (is_whole and lower == finish),
        seconds=took,
        checked=violations(problem, best.best) == (),
    )


def summary(outcomes: Iterable[Outcome], known: dict[str, Known]) -> list[str]:
    """Return a line per set: how many are at the best known makespan, and how far from it all are on average."""
    sets: dict[str, list[tuple[Outcome, Known]]] = {}
    for one in outcomes:
        if one.file in known:
            sets.setdefault(known[one.file].set, []).append((one, known[one.file]))
    return [_line(name, pairs) for name, pairs in sets.items()]


def _line(name: str, pairs: Sequence[tuple[Outcome, Known]]) -> str:
    closed = sum(one.proven for one, _ in pairs)
    reached = sum(one.makespan == best.makespan and (best.makespan is not None or one.proven) for one, best in pairs)
    better = sum(
        one.makespan is not None and best.makespan is not None and one.makespan < best.makespan for one, best in pairs
    )
    gaps = [
        one.makespan / best.makespan - 1
        for one, best in pairs
        if one.makespan is not None and best.makespan is not None
    ]
    wrong = [one.file for one, best in pairs if _contradicts(one, best)]
    return (
        f"{name}: {len(pairs)} files, {reached} at the best known, {better} better, {closed} closed, "
        f"mean gap {100 * sum(gaps) / max(1, len(gaps)):.2f} % of {len(gaps)}, "
        f"{sum(one.seconds for one, _ in pairs) / len(pairs):.2f} s each, "
        f"checked {sum(one.checked for one, _ in pairs)}" + (f", AGAINST WHAT IS PUBLISHED: {wrong}" if wrong else "")
    )


def _contradicts(one: Outcome, best: Known) -> bool:
    """Whether an outcome cannot be true if what is published is."""
    if best.makespan is None or best.lower is None:
        return one.makespan is not None
    if one.makespan is None:
        return one.proven
    return (
        one.makespan < best.lower or (one.lower or 0) > best.makespan or (one.proven and one.makespan > best.makespan)
    )


def main(words: Sequence[str], say: Callable[[str], object] = sys.stderr.write) -> None:
    parser = ArgumentParser(prog="python -m tests.benchmarks.scheduling", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seconds", type=float, default=5.0, help="for each file")
    parser.add_argument("--without-solver", action="store_true", help="as if OR-Tools were not installed")
    parser.add_argument("--only", default="", help="only files whose name begins so")
    asked = parser.parse_args(words)
    table = csv.writer(sys.stdout, lineterminator="\n")
    table.writerow(("file", "makespan", "lower_bound", "proven", "seconds", "checked"))
    outcomes = []
    for path in sorted(path for end in ("sm", "sch") for path in asked.folder.glob(f"{asked.only}*.{end}")):
        outcomes.append(outcome(path, asked.seconds, with_solver=not asked.without_solver))
        table.writerow(outcomes[-1].row)
        sys.stdout.flush()
    for line in summary(outcomes, best_known(asked.folder)):
        say(line + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
