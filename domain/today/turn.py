"""Whose turn it is: what each person is at, what comes next for them by the plan, and what keeps it from starting."""

from collections.abc import Callable, Collection, Mapping
from datetime import datetime, timedelta

from domain.plan import Plan, PlannedTask, blocked_by
from domain.plan.grid import SLOT
from domain.plan.why import held
from domain.task import Clock
from domain.today.free import at_work, away
from domain.today.items import Doable, Turn
from domain.words import sentence

AT_ONCE = timedelta(minutes=SLOT)
"""What the plan starts within a slot of its grid, it starts now."""

MakeDoable = Callable[[PlannedTask], Doable]


def turns(
    plan: Plan, can_start: Collection[str], against: Mapping[str, str], starts_at: datetime, doable: MakeDoable
) -> tuple[Turn, ...]:
    """Return what everybody does next, in the order they were named; where nobody is, what each pair of hands does.

    can_start: keys of what can and should start at starts_at; against: what speaks against others, by key;
    doable: makes an item of a task.
    """
    making = _Making(plan, can_start, against, starts_at, doable)
    people, hands = plan.resources.people, plan.resources.hands
    if people:
        return tuple(making.turn(one.id, one.name, away(plan, one, starts_at)) for one in people)
    return tuple(making.turn(number, "") for number in range(1, max(hands, 1) + 1))


class _Making:
    """The turns of one plan."""

    def __init__(
        self,
        plan: Plan,
        can_start: Collection[str],
        against: Mapping[str, str],
        starts_at: datetime,
        doable: MakeDoable,
    ) -> None:
        self.plan, self.starts_at, self.doable = plan, starts_at, doable
        self.can_start, self.against = can_start, against
        self.names = {person.id: person.name for person in plan.resources.people}
        ahead = (each for each in plan.tasks.values() if each.task.clock is Clock.ATTENDED and not each.has_begun)
        self.ahead = sorted(ahead, key=lambda each: (each.start, each.latest_start, each.task.position, each.key))

    def turn(self, number: int, name: str, gone: str = "") -> Turn:
        at_it = tuple(each for each in at_work(self.plan) if self._is_on(each, number))
        then = next((each for each in self.ahead if self._is_on(each, number)), None)
        if then is None:
            return Turn(number, name, at_it, away=gone)
        is_now = then.start < self.starts_at + AT_ONCE and then.key in self.can_start and not at_it and not gone
        return Turn(
            person=number,
            name=name,
            at_work=at_it,
            next=self.doable(then),
            starts_at=max(then.start, self.starts_at),
            can_start=is_now,
            others=tuple(self.names[one] for one in then.who if one in self.names and one != number),
            wait="" if is_now or at_it or gone else self._wait(then),
            away=gone,
        )

    def _is_on(self, each: PlannedTask, number: int) -> bool:
        return number in each.who if self.names else number - 1 in each.places

    def _wait(self, each: PlannedTask) -> str:
        """Return what keeps a task from starting at once, as a sentence; empty when only the shop hours do."""
        if each.waits_for:
            return sentence(blocked_by(self.plan, each.key))
        return sentence(self.against.get(each.key) or held(self.plan, each))
