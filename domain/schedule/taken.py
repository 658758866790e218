"""A schedule in the making: what is placed where, and what it takes. What was placed last can be taken back."""

from domain.schedule.hours import hours_of
from domain.schedule.prepared import Prepared, Team
from domain.schedule.schedule import Schedule
from domain.schedule.timetable import FOREVER, Busy, Usage


class Taken:
    """Starts, finishes and teams of what is placed; who is busy, what is in use, what is held without an end yet."""

    def __init__(self, prepared: Prepared) -> None:
        self.prepared = prepared
        problem = prepared.problem
        many = len(problem.activities)
        self.activities = problem.activities
        self.start, self.finish = [0] * many, [0] * many
        self.team: list[Team] = [()] * many
        self.placed = [False] * many
        self.busy = [Busy(hours_of(problem.calendars[person.calendar])) for person in problem.people]
        self.load = [0] * len(problem.people)
        self.usage = [Usage([-FOREVER], [0]) for _ in range(prepared.timetables)]
        self.pending: list[list[int]] = [[] for _ in range(prepared.timetables)]

    def put(self, number: int, start: int, finish: int, team: Team) -> None:
        """Place an activity, with all that it takes."""
        self.start[number], self.finish[number], self.team[number] = start, finish, team
        self.placed[number] = True
        prepared = self.prepared
        if start < finish:
            for person in team:
                if prepared.fixed[number]:
                    self.busy[person].cover(start, finish)
                else:
                    self.busy[person].add(start, finish)
                self.load[person] += self.activities[number].work
        for need in prepared.needs[number]:
            if start < finish + need.spare:
                self.usage[need.uses].add(start, finish + need.spare, need.amount)
        for place in prepared.opens[number]:
            span = prepared.spans[place]
            if self.placed[span.last]:
                self._hold(place, 1)
            else:
                self.pending[span.need.uses].append(place)
        for place in prepared.closes[number]:
            span = prepared.spans[place]
            if self.placed[span.first]:
                self.pending[span.need.uses].remove(place)
                self._hold(place, 1)

    def _hold(self, place: int, sign: int) -> None:
        span = self.prepared.spans[place]
        begins, ends = self.start[span.first], self.finish[span.last] + span.need.spare
        if begins < ends:
            self.usage[span.need.uses].add(begins, ends, sign * span.need.amount)

    def take_back(self, number: int) -> None:
        """Take back all that an activity takes."""
        start, finish = self.start[number], self.finish[number]
        prepared = self.prepared
        if start < finish:
            for person in self.team[number]:
                self.busy[person].remove(start)
                self.load[person] -= self.activities[number].work
        for need in prepared.needs[number]:
            if start < finish + need.spare:
                self.usage[need.uses].add(start, finish + need.spare, -need.amount)
        for place in prepared.closes[number]:
            span = prepared.spans[place]
            if self.placed[span.first]:
                self._hold(place, -1)
                self.pending[span.need.uses].append(place)
        for place in prepared.opens[number]:
            span = prepared.spans[place]
            if self.placed[span.last]:
                self._hold(place, -1)
            else:
                self.pending[span.need.uses].remove(place)
        self.placed[number] = False

    def held(self, where: int, start: int, end: int, most: int) -> int:
        """Return when something is free again that is held over a span by what has no end yet."""
        held = sorted((self.start[self.prepared.spans[place].first], self.prepared.spans[place].need.amount)
                      for place in self.pending[where])  # fmt: skip
        total = clash = 0
        for begins, amount in held:
            total += amount
            if begins < end:
                if total > most:
                    return FOREVER
                clash = max(clash, self.usage[where].until(max(begins, start), end, most - total))
        return clash

    def in_the_way(self, where: int, begins: int, ends: int) -> int | None:
        """Return what takes something within a span and can be moved, the last of several."""
        prepared = self.prepared
        stays = [(number, number, need) for number, needs in enumerate(prepared.needs) for need in needs]
        stays += [(span.first, span.last, span.need) for span in prepared.spans]
        found = [
            (self.start[first], first)
            for first, last, need in stays
            if need.uses == where and self.placed[first] and self.placed[last] and not prepared.fixed[first]
            if self.start[first] < ends and self.finish[last] + need.spare > begins
        ]
        return max(found)[1] if found else None

    def schedule(self) -> Schedule:
        """Return what is placed as a schedule."""
        return Schedule(tuple(self.start), tuple(self.finish), tuple(self.team), tuple(self._broken()))

    def _broken(self) -> list[int]:
        found = []
        for after, links in enumerate(self.prepared.links_in):
            for link in links:
                if link.most is not None:
                    begins = self.start[link.other] if link.from_start else self.finish[link.other]
                    ends = self.finish[after] if link.to_finish else self.start[after]
                    if (link.hours.between(begins, ends) if link.hours else ends - begins) > link.most:
                        found.append(link.lag)
        return sorted(found)
