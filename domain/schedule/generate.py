"""Makes a complete schedule at once: activities one after the other, each at its first place."""

from collections.abc import Sequence
from itertools import islice

from domain.schedule.cost import cost
from domain.schedule.order import loose_order, serving_order
from domain.schedule.orders import better_orders
from domain.schedule.place import Placing
from domain.schedule.plain import at_once, plain_of, schedule_of
from domain.schedule.prepared import Prepared, Team
from domain.schedule.priority import rules
from domain.schedule.problem import NoRoom, Problem
from domain.schedule.schedule import Cost, Schedule

SMALL = 300
"""So many activities are placed in every way at once."""
PLAIN_WORK = 6000
"""Activities placed to find a first schedule where placing one is quick."""


class Generator:
    """Makes schedules of one problem from priorities, the lower the sooner an activity is served."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.prepared = Prepared(problem)

    def schedule(
        self,
        priorities: Sequence[float],
        *,
        teams: Sequence[Team | None] | None = None,
        kept: Schedule | None = None,
        loose: bool = False,
    ) -> Schedule:
        """Return a schedule. teams: who does an activity, None where anybody may; kept: whose teams stay if they can;
        loose: what is begun need not be led to its end before anything else.

        Raises NoRoom if the horizon is too short.
        """
        order = (loose_order if loose else serving_order)(self.prepared, priorities)
        return Placing(self.prepared).run(order, teams, kept)


def first(problem: Problem, *, kept: Schedule | None = None) -> Schedule:
    """Return a good schedule at once. kept: an earlier one that as little as possible should differ from.

    Raises NoRoom if the horizon is too short.
    """
    if kept is None and (plain := plain_of(problem)) is not None:
        starts = at_once(plain)
        for better, _ in better_orders(plain, starts, 0, PLAIN_WORK // len(starts), lambda: False):
            starts = better
        return schedule_of(problem, plain, starts)
    generator = Generator(problem)
    if kept is not None:
        return generator.schedule(kept.start, kept=kept)
    found: list[tuple[Cost, Schedule]] = []
    trouble: NoRoom | None = None
    # Small problems are made in every way there is; big ones in another way where the first leaves something amiss.
    is_small = len(problem.activities) <= SMALL
    for priorities in islice(rules(generator.prepared), 4 if is_small else 2):
        try:
            made = generator.schedule(priorities)
        except NoRoom as raised:
            trouble = raised
            continue
        found.append((cost(problem, made), made))
        if not is_small and found[-1][0].is_kept:
            break
    if not found:
        raise trouble or NoRoom()
    return min(found, key=lambda each: each[0])[1]
