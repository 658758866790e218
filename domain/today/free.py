"""Who and what is free at an instant: people, clamps by length, benches; and until when the rest is taken."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from domain.length import Length
from domain.person import Person
from domain.plan import Plan, PlannedTask, TaskState
from domain.task import Clock, Task
from domain.words import counted, listing

Taken = tuple[datetime, int]
"""From when on so many more are free."""
Short = tuple[str, datetime | None]
"""What is short, in words, and when there will be enough of it: None for never."""


@dataclass(frozen=True, slots=True)
class Free:
    """What is free of a plan's people and things at `at`, with everything that has begun still going on."""

    plan: Plan
    at: datetime

    def taken(self, task: Task) -> str:
        """Return which things a task needs that others have for now, and until when; empty when all are free."""
        return "; ".join(words for words, until in self._things(task) if until is not None)

    def short(self, task: Task) -> str:
        """Return of what there are too few for a task: people who are busy, things there are never enough of."""
        too_few = [words for words, until in self._things(task) if until is None]
        return "; ".join([words for words in (self._nobody(task),) if words] + too_few)

    def _things(self, task: Task) -> list[Short]:
        there = self.plan.resources
        benches = self._short(task.bench, there.benches, self._held("bench"), "bench", "benches")
        return [one for one in (*self._clamps(task), benches) if one[0]]

    def _nobody(self, task: Task) -> str:
        """Return why nobody can begin a task, or too few can; empty when enough are free."""
        there = self.plan.resources
        if not there.people:
            return self._short(task.crew, there.hands, self._hands(), "person", "people")[0]
        if not self.leads(task):
            able = [one for one in there.people if self._may(one, task) and one.can_lead(task.kind)]
            return "; ".join(self._where(one) for one in able) or "nobody here can do it"
        free = len([one for one in there.people if not self._where(one)])
        return "" if free >= task.crew else f"needs {counted(task.crew, 'person', 'people')}, {free} free"

    @property
    def benches(self) -> int:
        """Return how many benches are free."""
        held = (amount for until, amount in self._held("bench") if until > self.at)
        return self.plan.resources.benches - sum(held)

    def leads(self, task: Task) -> frozenset[int]:
        """Return the ids of the people who are free and can lead a task."""
        those = self.plan.resources.people
        able = (one for one in those if self._may(one, task) and one.can_lead(task.kind))
        return frozenset(one.id for one in able if not self._where(one))

    def _may(self, person: Person, task: Task) -> bool:
        return not task.who or person.id in task.who

    def _where(self, person: Person) -> str:
        """Return where a person is instead of free, in words; empty when free."""
        for each in at_work(self.plan):
            if person.id in each.who:
                return f"{person.name} is at “{each.task.name}” until {self.plan.say(each.finish)}"
        return away(self.plan, person, self.at)

    def _hands(self) -> list[Taken]:
        return [(each.finish, each.task.crew) for each in at_work(self.plan)]

    def _clamps(self, task: Task) -> Iterator[Short]:
        """Yield where clamps are short: of all, and of those that open as far as the task's must."""
        there = self.plan.resources
        yield self._short(task.clamps, there.clamps, self._held("clamps"), "clamp", "clamps")
        if task.clamps and task.clamp_length is not None and there.clamps_of:
            long = sum(those.count for those in there.clamps_of if not those.length < task.clamp_length)
            held = self._held("clamps", task.clamp_length)
            yield self._short(task.clamps, long, held, "clamp that is long enough", "clamps that are long enough")

    def _held(self, what: str, least: Length | None = None) -> list[Taken]:
        """Return what is held by what has begun. least: only clamps that must open so far."""
        taken: list[Taken] = []
        for each in self.plan.tasks.values():
            amount: int = getattr(each.task, what)
            if not amount or not each.has_begun:
                continue
            length = each.task.clamp_length
            if least is not None and (length is None or length < least):
                continue
            until = self.plan.tasks.get(each.task.until, each)
            if not until.is_over:
                taken.append((until.finish, amount))
        return taken

    def _short(self, want: int, there: int, taken: Sequence[Taken], one: str, many: str) -> Short:
        """Return what is short in words, empty when nothing is; and when there will be enough, None: never."""
        free = there - sum(amount for _, amount in taken)
        if want <= free:
            return "", None
        words = f"needs {counted(want, one, many)}, {max(free, 0)} free"
        for at, amount in sorted(taken):
            free += amount
            if want <= free:
                return (f"{words} until {self.plan.say(at)}" if at > self.at else words), at
        return words, None


def at_work(plan: Plan) -> tuple[PlannedTask, ...]:
    """Return the hands-on tasks that are going on."""
    tasks = plan.tasks.values()
    return tuple(each for each in tasks if each.state is TaskState.RUNNING and each.task.clock is Clock.ATTENDED)


def away(plan: Plan, person: Person, at: datetime) -> str:
    """Return why a person is not there at an instant, in words; empty when they are."""
    for absence in plan.resources.absences:
        if absence.person_id == person.id and absence.starts_at <= at < absence.ends_at:
            return f"{person.name} is away until {plan.say(absence.ends_at)}"
    if person.weekly is None:
        return ""
    local = plan.calendar.local(at)
    hours = person.weekly[local.weekday()]
    if any(opens <= local.time() < closes or closes <= opens <= local.time() for opens, closes in hours):
        return ""
    later = [opens for opens, _ in hours if opens > local.time()]
    if later:
        return f"{person.name} does not work before {min(later):%H:%M}"
    return f"{person.name} does not work {'any more today' if hours else f'on {local:%A}s'}"


def names(plan: Plan, who: Sequence[int]) -> str:
    """Return people by name in a row."""
    known = {person.id: person.name for person in plan.resources.people}
    return listing([known[one] for one in who if one in known])
