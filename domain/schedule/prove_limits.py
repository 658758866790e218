"""What activities that may move keep to, in the solver's words: lags, people, resources and the air of rooms."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from domain.schedule.arc import Arc, arcs_of
from domain.schedule.energy import follows
from domain.schedule.part import Span
from domain.schedule.problem import Hold, Mode, Side
from domain.schedule.prove_hours import Counted
from domain.schedule.prove_model import Expression, Model
from domain.schedule.starts import asked


def add_limits(model: Model) -> None:
    """Add everything that activities keep to; what joins one to something that stays is in its window already."""
    held = model.part.held
    for arcs in model.timing.after:
        for arc in arcs:
            if arc.before not in held and arc.after not in held:
                _keep(model, arc, [])
    for arc in arcs_of(model.part.problem, (), held):
        if arc.limits and arc.lag in model.missed:
            _keep(model, arc, [model.missed[arc.lag].negated()])
    _people(model)
    _resources(model)
    _airs(model)


def _keep(model: Model, arc: Arc, when: list[Any]) -> None:
    """Let the ends of two activities keep their distance whenever all of the literals are true."""
    if (
        arc.hours is None
        and model.window(arc.before, arc.from_finish)[1] + arc.least <= model.window(arc.after, arc.to_finish)[0]
    ):
        return
    if _keep_counted(model, arc, when):
        return
    near, far = model.end(arc.before, arc.from_finish), model.end(arc.after, arc.to_finish)
    if arc.hours is None:
        _add(model, far >= near + arc.least, when)
        return
    start, finish, _ = model.was[arc.before]
    was = finish if arc.from_finish else start
    wanted = asked(arc, *model.window(arc.before, arc.from_finish), model.window(arc.after, arc.to_finish)[0])
    ways: list[tuple[list[Span], Expression]] = [(runs, near + shift) for shift, runs in wanted.shifts.items()]
    ways += [([(first, last)], slot) for first, last, slot in wanted.slots]
    chosen = []
    for runs, least in ways:
        here = model.yes_or_no(any(first <= was <= last for first, last in runs))
        model.within(near, runs, [here, *when])
        _add(model, far >= least, [here, *when])
        chosen.append(here)
    model.model.add_exactly_one(chosen)


def _add(model: Model, what: Any, when: Sequence[Any]) -> None:
    """Add a comparison; one of plain numbers has been decided already."""
    if isinstance(what, bool):
        if not what:
            model.model.add_bool_or([literal.negated() for literal in when])
    elif when:
        model.model.add(what).only_enforce_if(when)
    else:
        model.model.add(what)


def _keep_counted(model: Model, arc: Arc, when: list[Any]) -> bool:
    """Let two pieces of work keep their distance in open slots; return whether that says all of it."""
    counted = model.counted
    if counted is None or arc.before not in counted.passed or arc.after not in counted.passed:
        return False
    is_a_wait = arc.hours is None and arc.least >= 0 and arc.from_finish and not arc.to_finish
    near, far = counted.at(arc.before, arc.from_finish), counted.at(arc.after, arc.to_finish)
    if is_a_wait:
        _add(model, far >= near, when)
        return arc.least == 0
    if arc.hours is counted.hours:
        _add(model, far >= near + arc.least, when)
        return True
    return False


def _interval(model: Model, start: Expression, length: Expression, end: Expression, on_it: Expression = 1) -> Any:
    if isinstance(on_it, int):
        return model.model.new_interval_var(start, length, end, "")
    return model.model.new_optional_interval_var(start, length, end, on_it, "")


def _fixed(model: Model, spans: Iterable[Span]) -> list[Any]:
    return [model.model.new_fixed_size_interval_var(start, end - start, "") for start, end in spans]


def _people(model: Model) -> None:
    """Let nobody be in two places at once."""
    activities, working, elsewhere = model.part.problem.activities, model.working, model.busy
    if not working:
        return
    model.alike = _alike(model, working, elsewhere)
    everybody = sorted({person for number in working for person in model.who[number]})
    if (counted := model.counted) is not None:
        times = {n: (counted.at(n, False), activities[n].work, counted.at(n, True)) for n in working}
        elsewhere = [[counted.span(span) for span in spans] for spans in elsewhere]
    else:
        times = {n: (model.start[n], model.length[n], model.finish[n]) for n in working}
    spells = [_interval(model, *times[n]) for n in working]
    away = [_fixed(model, elsewhere[person]) for person in everybody]
    if len(everybody) > 1:
        gone = [interval for intervals in away for interval in intervals]
        model.model.add_cumulative(
            spells + gone, [activities[n].crew for n in working] + [1] * len(gone), len(everybody)
        )
    if model.alike:
        return
    for person, intervals in zip(everybody, away, strict=True):
        own = list(intervals)
        for number, spell in zip(working, spells, strict=True):
            on_it = model.who[number].get(person, 0)
            if isinstance(on_it, int):
                own += [spell] * on_it
            else:
                own.append(_interval(model, *times[number], on_it))
        model.model.add_no_overlap(own)


def _alike(model: Model, working: Sequence[int], elsewhere: Sequence[Sequence[Span]]) -> bool:
    """Whether any team can be found afterwards: everybody may do everything and is there until the end."""
    problem = model.part.problem
    everybody = set(problem.activities[working[0]].leads)
    free = all(
        set(problem.activities[number].leads) == everybody and problem.activities[number].mode is not Mode.PASSIVE
        for number in working
    )
    first = min(model.windows.earliest_start[number] for number in working)
    there = all(start <= first for person in everybody for start, _ in elsewhere[person])
    same = len({problem.people[person].calendar for person in everybody}) == 1
    return free and there and same and len(everybody) > 1


def _resources(model: Model) -> None:
    """Let no more be held than there is."""
    problem = model.part.problem
    for which, resource in enumerate(problem.resources):
        holds = [hold for hold in problem.holds if hold.resource == which and hold.amount]
        spans = model.between([(start, end) for start, end, _ in model.part.taken[which]])
        taken = [(start, end, amount) for start, end, amount in model.part.taken[which] if (start, end) in set(spans)]
        most = max((amount for _, _, amount in taken), default=0)
        if not holds or sum(hold.amount for hold in holds) + most <= resource.capacity:
            continue
        amounts = _begun(model, holds, resource.capacity - most)
        spans = [(start, end) for start, end, _ in taken]
        if (counted := _all_counted(model, holds, spans)) is not None:
            spans = [counted.span(span) for span in spans]
        intervals = [_held(model, hold, counted) for hold in holds] + _fixed(model, spans)
        amounts += [amount for _, _, amount in taken]
        if 2 * min(amounts) > resource.capacity:
            model.model.add_no_overlap(intervals)
        else:
            model.model.add_cumulative(intervals, amounts, resource.capacity)


def _begun(model: Model, holds: Sequence[Hold], capacity: int) -> list[int]:
    """Return how much of each hold counts. What facts alone hold too much of is no mistake of the plan: it counts up to
    what there is, and nothing else is held before that has come to its end.
    """
    amounts, left = [], capacity
    for hold in holds:
        begun = model.part.problem.activities[hold.first].fact is not None
        amounts.append(min(hold.amount, max(left, 0)) if begun else hold.amount)
        left -= amounts[-1] if begun else 0
        if amounts[-1] < hold.amount:
            model.exact = False
            for other in holds:
                if other.first not in model.part.held:
                    _add(model, model.end(other.first, False) >= model.end(hold.last, True) + hold.spare, [])
    return amounts


def _all_counted(model: Model, holds: Sequence[Hold], taken: Sequence[Span]) -> Counted | None:
    """Return the time in which holds can be told apart by the open slots before them; None where some cannot."""
    counted = model.counted
    if counted is None or any(counted.hours.between(*span) <= 0 for span in taken):
        return None
    ends = {end for hold in holds for end in (hold.first, hold.last)}
    return counted if ends <= counted.passed.keys() and not any(hold.spare for hold in holds) else None


def _held(model: Model, hold: Hold, counted: Counted | None) -> Any:
    was = model.was[hold.first][0], max(model.was[hold.last][1] + hold.spare, model.was[hold.first][0])
    reach = model.window(hold.first, False)[0], model.window(hold.last, True)[1] + hold.spare
    lasts: Expression | None
    if counted is not None:
        start, end, lasts = counted.at(hold.first, False), counted.at(hold.last, True), counted.work(hold.first)
        was, reach = counted.span(was), counted.span(reach)
    else:
        start, end = model.end(hold.first, False), model.end(hold.last, True) + hold.spare
        lasts = model.lasts(hold.first)
    if hold.first == hold.last and lasts is not None:
        return _interval(model, start, lasts + hold.spare, end)
    if hold.first != hold.last and not follows(model.part.problem, hold.first, hold.last):
        # What ends before it begins holds nothing, which is no reason to put it in order.
        latest = model.window(hold.first, False)[1]
        reach = reach[0], max(reach[1], counted.hours.passed(latest) if counted is not None else latest)
        freed = model.number([reach], was[1])
        model.model.add(freed >= end)
        end = freed
    return _interval(model, start, model.number([(0, max(reach[1] - reach[0], 0))], was[1] - was[0]), end)


@dataclass(frozen=True, slots=True)
class _Breath:
    """How long the air of a room is of one side: start and end, their windows, and where they were; first, last: the
    activities it begins and ends with, where they may move.
    """

    side: Side
    start: Expression
    end: Expression
    earliest: Span
    latest: Span
    was: Span
    fact: bool
    first: int | None = None
    last: int | None = None


def _airs(model: Model) -> None:
    """Let no dust fly while a finish is wet, pair by pair, wherever both could be at once."""
    rooms: dict[int, list[_Breath]] = {}
    for air in model.part.problem.airs:
        if air.first == air.last and model.part.problem.activities[air.first].work + air.spare <= 0:
            continue
        first, last = model.window(air.first, False), model.window(air.last, True)
        rooms.setdefault(air.room, []).append(
            _Breath(
                air.side,
                model.end(air.first, False),
                model.end(air.last, True) + air.spare,
                (first[0], last[0] + air.spare),
                (first[1], last[1] + air.spare),
                (model.was[air.first][0], model.was[air.last][1] + air.spare),
                model.part.problem.activities[air.first].fact is not None,
                air.first,
                air.last if air.spare >= 0 else None,
            )
        )
    for room, side, span, fact in model.part.air:
        if room in rooms and model.between([span]):
            rooms[room].append(_Breath(side, *span, span, span, span, fact))
    for breaths in rooms.values():
        dust = [breath for breath in breaths if breath.side is Side.DUST]
        wet = [breath for breath in breaths if breath.side is Side.WET]
        for one, other in product(dust, wet):
            _apart(model, one, other)


def _apart(model: Model, one: _Breath, other: _Breath) -> None:
    """Let two spans of air not meet: the one ends before the other begins, or the other way round."""
    stays = all(isinstance(end, int) for end in (one.start, one.end, other.start, other.end))
    if stays or (one.fact and other.fact):
        return
    if one.latest[1] <= other.earliest[0] or other.latest[1] <= one.earliest[0]:
        return
    if one.latest[1] - one.earliest[0] <= 0 or other.latest[1] - other.earliest[0] <= 0:
        return
    sooner, later = one.earliest[1] <= other.latest[0], other.earliest[1] <= one.latest[0]
    if sooner and later:
        first = model.yes_or_no(one.was[1] <= other.was[0])
        _after(model, one, other, [first])
        _after(model, other, one, [first.negated()])
    elif sooner:
        _after(model, one, other, [])
    elif later:
        _after(model, other, one, [])
    else:
        model.model.add_bool_or([])


def _after(model: Model, one: _Breath, other: _Breath, when: list[Any]) -> None:
    """Let one span of air come after another whenever all of the literals are true."""
    _add(model, other.start >= one.end, when)
    counted = model.counted
    if counted is not None and one.last in counted.passed and other.first in counted.passed:
        # What the clock asks for already; but open slots alone say it at once where hands are few.
        _add(model, counted.at(other.first, False) >= counted.at(one.last, True), when)
