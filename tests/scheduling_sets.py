"""Published things to schedule, read into problems: job shops, projects with limited resources, windows that close."""

import csv
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from domain.schedule.problem import Activity, Hold, Lag, Problem, Resource


@dataclass(frozen=True)
class Known:
    """What is published of an instance. lower, makespan: None where it is proven to have no schedule."""

    set: str
    lower: int | None
    makespan: int | None


def read(path: Path) -> Problem:
    """Return what a file of a published set asks. Raises ValueError for one that is neither `.sm` nor `.sch`."""
    readers = {".sm": single_mode, ".sch": with_windows}
    if path.suffix not in readers:
        raise ValueError(f"{path.name} is no .sm and no .sch")
    return readers[path.suffix](path.read_text())


def single_mode(text: str) -> Problem:
    """Return the project of a `.sm` file, its first and last activities included.

    Source: R. Kolisch, A. Sprecher, PSPLIB: a project scheduling problem library, European Journal of Operational
    Research 96, 1996, 205-216: activities run without a break; each starts when those before it are finished.
    """
    successors = {row[0] - 1: [one - 1 for one in row[3:]] for row in _rows(text, "PRECEDENCE RELATIONS")}
    requests = {row[0] - 1: row[2:] for row in _rows(text, "REQUESTS/DURATIONS")}
    if any(row[1] != 1 for row in _rows(text, "PRECEDENCE RELATIONS")):
        raise ValueError("an activity has more than one mode")
    (capacities,) = _rows(text, "RESOURCEAVAILABILITIES")
    return _project(
        [requests[number][0] for number in range(len(requests))],
        [Lag(before, after) for before, afters in successors.items() for after in afters],
        [requests[number][1:] for number in range(len(requests))],
        capacities,
    )


def _rows(text: str, title: str) -> list[list[int]]:
    """Return the rows of numbers below a title, up to the next line of stars."""
    below = text.split(title, 1)[1].split("\n", 1)[1].split("*" * 20, 1)[0]
    return [[int(word) for word in line.split()] for line in below.splitlines() if re.fullmatch(r"[\d\s]*\d\s*", line)]


def with_windows(text: str) -> Problem:
    """Return the project of a `.sch` file; what may start at most so long after something else is a lag's `most`.

    A line per activity: number, modes, how many follow, who they are, and in brackets the least time from start to
    start; a negative one is the longest time the other way. Then a line per activity: number, mode, time, needs. Then
    what there is of each resource.
    Source: C. Schwindt, ProGen/max, Report WIOR-449, University of Karlsruhe, 1995, as used by B. Franck, K. Neumann,
    C. Schwindt, Truncated branch-and-bound, schedule-construction, and schedule-improvement procedures for
    resource-constrained project scheduling, OR Spektrum 23, 2001, 297-324 (both from memory); the layout is plain from
    the files themselves.
    """
    lines = [re.sub(r"[\[\]]", " ", line).split() for line in text.splitlines() if line.strip()]
    table = [[int(word) for word in line] for line in lines]
    many, stock = table[0][0] + 2, table[0][1]
    lags: dict[tuple[int, int], tuple[int | None, int | None]] = {}
    for row in table[1 : many + 1]:
        before, count = row[0], row[2]
        for after, slots in zip(row[3 : 3 + count], row[3 + count :], strict=True):
            key = (before, after) if slots >= 0 else (after, before)
            least, most = lags.get(key, (None, None))
            lags[key] = (slots, most) if slots >= 0 else (least, -slots)
    needs = table[many + 1 : 2 * many + 1]
    return _project(
        [row[2] for row in needs],
        [Lag(*key, least, most, from_start=True) for key, (least, most) in lags.items()],
        [row[3 : 3 + stock] for row in needs],
        table[2 * many + 1],
    )


def _project(
    times: Sequence[int], lags: Sequence[Lag], needs: Sequence[Sequence[int]], capacities: Sequence[int]
) -> Problem:
    return Problem(
        tuple(Activity(time) for time in times),
        tuple(lags),
        tuple(Resource(capacity) for capacity in capacities),
        tuple(
            Hold(resource, amount, number, number)
            for number, row in enumerate(needs)
            for resource, amount in enumerate(row)
            if amount
        ),
        horizon=sum(times) + sum(max(0, lag.least or 0) for lag in lags) + 1,
    )


@dataclass(frozen=True)
class JobShop:
    """Jobs whose operations visit machines one after the other. jobs: pairs of machine and time."""

    name: str
    optimum: int
    jobs: tuple[tuple[tuple[int, int], ...], ...]

    @property
    def problem(self) -> Problem:
        """Everything as one project: it is finished when the last of its jobs is."""
        times, lags, needs = list[int](), list[Lag](), list[list[int]]()
        machines = 1 + max(machine for job in self.jobs for machine, _ in job)
        for job in self.jobs:
            lags += [Lag(len(times) + at, len(times) + at + 1) for at in range(len(job) - 1)]
            times += [time for _, time in job]
            needs += [[int(machine == at) for at in range(machines)] for machine, _ in job]
        return _project(times, lags, needs, [1] * machines)


def job_shops() -> Iterator[JobShop]:
    """Yield the published job shops; their sources are in the file."""
    read = json.loads((Path(__file__).parent / "data" / "job_shop.json").read_text())
    for one in read["instances"]:
        rows = [[int(word) for word in line.split()] for line in one["jobs"]]
        jobs = tuple(tuple(zip(row[::2], row[1::2], strict=True)) for row in rows)
        yield JobShop(one["name"], one["optimum"], jobs)


def best_known(folder: Path) -> dict[str, Known]:
    """Return what `best_known.csv` of a folder says, by file name; nothing where there is none."""
    path = folder / "best_known.csv"
    if not path.exists():
        return {}
    with path.open(newline="") as lines:
        return {
            row["file"]: Known(row["set"], _number(row["best_lower_bound"]), _number(row["best_known_makespan"]))
            for row in csv.DictReader(lines)
        }


def _number(word: str) -> int | None:
    return None if word == "infeasible" else int(word)
