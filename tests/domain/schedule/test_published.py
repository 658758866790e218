"""Published job shops and projects: known optima, critical paths and floats of textbooks, as special cases of ours."""

from dataclasses import replace

import pytest

from domain.schedule import prove
from domain.schedule.check import violations
from domain.schedule.generate import first
from domain.schedule.problem import Activity, Lag, Problem
from domain.schedule.schedule import Proof, job_finishes
from domain.schedule.solve import Effort, solve
from domain.schedule.timing import Contradiction, windows
from scheduling_sets import JobShop, job_shops, single_mode, with_windows

SHOPS = {shop.name: shop for shop in job_shops()}
EASY = ("ft06", "la01", "la02", "la03", "la04", "la05")
"""Those that are solved to the optimum, and proved, with little work; ft10 takes longer."""


@pytest.mark.parametrize("name", EASY)
def test_a_published_job_shop_is_solved_to_its_optimum(name: str) -> None:
    """Source: tests/data/job_shop.json."""
    shop = SHOPS[name]
    *_, best = solve(shop.problem, effort=Effort(rounds=200, solver=5.0))
    assert violations(shop.problem, best.best) == ()
    assert job_finishes(shop.problem, best.best) == (shop.optimum,)
    assert best.proof is Proof.BEST
    assert best.bounds[0].slot <= shop.optimum


@pytest.mark.parametrize("shop", SHOPS.values(), ids=SHOPS)
def test_no_job_shop_is_planned_in_less_than_its_optimum(shop: JobShop) -> None:
    made = first(shop.problem)
    assert violations(shop.problem, made) == ()
    assert job_finishes(shop.problem, made)[0] >= shop.optimum


@pytest.mark.parametrize("shop", SHOPS.values(), ids=SHOPS)
def test_job_shops_are_whole(shop: JobShop) -> None:
    """Every job visits every machine once; 6 jobs by 6 machines, 10 by 10, and 10 by 5 in Lawrence's first set."""
    machines = {"ft06": 6, "ft10": 10}.get(shop.name, 5)
    assert len(shop.jobs) == (6 if shop.name == "ft06" else 10)
    assert all(sorted(machine for machine, _ in job) == list(range(machines)) for job in shop.jobs)


def project(steps: str) -> tuple[list[str], Problem]:
    """Return names and problem of a project told as `A2; B4(A)`: name, time and what comes before."""
    names, activities, lags = list[str](), list[Activity](), list[Lag]()
    for step in steps.split("; "):
        head, _, before = step.rstrip(")").partition("(")
        names.append(head[0])
        activities.append(Activity(int(head[1:])))
        lags += [Lag(names.index(one), len(names) - 1) for one in before.split(",") if one]
    return names, Problem(tuple(activities), tuple(lags), horizon=100)


HOUSE = "A2; B4(A); C10(B); D6(C); E4(C); F5(E); G7(D); H9(E,G); I7(C); J8(F,I); K4(J); L5(J); M2(H); N6(K,L)"
"""Building a house, 14 activities: duration 44. Source: F. S. Hillier, G. J. Lieberman, Introduction to Operations
Research, the chapter on project management with PERT and CPM; from memory.
"""
FOUNDRY = "A2; B3; C2(A); D4(B); E4(C); F3(C); G5(D,E); H2(F,G)"
"""A filter for a foundry, 8 activities: duration 15. Source: J. Heizer, B. Render, Operations Management, the chapter
on project management; from memory.
"""


@pytest.mark.parametrize(
    ("steps", "duration", "critical", "slack"),
    [
        (HOUSE, 44, "ABCEFJLN", {"D": 4, "G": 4, "H": 4, "I": 2, "K": 1, "M": 4}),
        (FOUNDRY, 15, "ACEGH", {"B": 1, "D": 1, "F": 6}),
    ],
)
def test_a_project_of_a_textbook_has_its_critical_path_and_floats(
    steps: str, duration: int, critical: str, slack: dict[str, int]
) -> None:
    names, problem = project(steps)
    found = windows(problem, [duration])
    both = zip(found.earliest_start, found.latest_start, strict=True)
    floats = {name: latest - earliest for name, (earliest, latest) in zip(names, both, strict=True)}
    assert max(found.earliest_finish) == duration
    assert "".join(name for name in names if not floats[name]) == critical
    assert {name: slots for name, slots in floats.items() if slots} == slack
    with pytest.raises(Contradiction):
        windows(problem, [duration - 1])


def test_the_times_of_the_house_are_those_of_the_textbook() -> None:
    """Source: as HOUSE; its table of earliest and latest starts."""
    names, problem = project(HOUSE)
    found = windows(problem, [44])
    earliest = dict(zip(names, found.earliest_start, strict=True))
    latest = dict(zip(names, found.latest_start, strict=True))
    assert list(earliest.values()) == [0, 2, 6, 16, 16, 20, 22, 29, 16, 25, 33, 33, 38, 38]
    assert list(latest.values()) == [0, 2, 6, 20, 16, 20, 26, 33, 18, 25, 34, 33, 42, 38]


@pytest.mark.parametrize("steps", [HOUSE, FOUNDRY])
def test_where_nothing_is_short_the_first_plan_is_the_critical_path(steps: str) -> None:
    _, problem = project(steps)
    made = first(problem)
    assert violations(problem, made) == ()
    assert made.start == windows(problem).earliest_start


SM = """
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1  R 2
------------------------------------------------------------------------
  1      1     0       0    0
  2      1     4       2    0
  3      1     3       2    1
  4      1     0       0    0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1  R 2
    3    1
************************************************************************
"""
SCH = """2 1 0 0
0 1 2 1 2 [0] [0]
1 1 2 2 3 [1] [4]
2 1 2 1 3 [-2] [3]
3 1 0
0 1 0 0
1 1 4 2
2 1 3 2
3 1 0 0
4
"""
"""Both made up, in the layouts of the published sets."""


def test_a_single_mode_file_is_read() -> None:
    problem = single_mode(SM)
    assert [activity.work for activity in problem.activities] == [0, 4, 3, 0]
    assert [(lag.before, lag.after) for lag in problem.lags] == [(0, 1), (0, 2), (1, 3), (2, 3)]
    assert [(hold.resource, hold.amount, hold.first) for hold in problem.holds] == [(0, 2, 1), (0, 2, 2), (1, 1, 2)]
    *_, best = solve(problem)
    assert job_finishes(problem, best.best) == (7,)


def test_a_file_with_windows_is_read_and_the_longest_time_is_a_limit() -> None:
    problem = with_windows(SCH)
    assert Lag(1, 2, 1, 2, from_start=True) in problem.lags
    *_, best = solve(problem)
    assert job_finishes(problem, best.best) == (4,)
    short = replace(problem, resources=(replace(problem.resources[0], capacity=3),))
    *_, best = solve(short)
    assert best.best.broken
    assert best.must_break == 1 or not prove.is_there()
