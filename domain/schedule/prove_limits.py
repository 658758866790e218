"""What activities that may move keep to, in the solver's words: lags, people, resources and the air of rooms."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Any

from domain.schedule.arc import Arc, arcs_of
from domain.schedule.part import Span
from domain.schedule.problem import Air, Hold, Mode, Side
from domain.schedule.prove_hours import counted, shared
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
    near, far = _end(model, arc.before, arc.from_finish), _end(model, arc.after, arc.to_finish)
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


def _end(model: Model, number: int, finish: bool) -> Expression:
    return model.finish[number] if finish else model.start[number]


def _interval(model: Model, start: Expression, length: Expression, end: Expression, on_it: Expression = 1) -> Any:
    if isinstance(on_it, int):
        return model.model.new_interval_var(start, length, end, "")
    return model.model.new_optional_interval_var(start, length, end, on_it, "")


def _fixed(model: Model, spans: Iterable[Span]) -> list[Any]:
    return [model.model.new_fixed_size_interval_var(start, end - start, "") for start, end in spans]


def _between(model: Model, spans: Iterable[Span]) -> list[Span]:
    """Return those spans that reach into the time in which anything moves."""
    first, last = model.moving
    return [span for span in spans if span[1] > first and span[0] < last]


def _people(model: Model) -> None:
    """Let nobody be in two places at once."""
    activities, busy = model.part.problem.activities, model.part.busy
    working = [number for number in model.part.free if activities[number].crew and activities[number].work]
    if not working:
        return
    elsewhere = [_between(model, spans) for spans in busy]
    model.alike = _alike(model, working, elsewhere)
    everybody = sorted({person for number in working for person in model.who[number]})
    times = {n: (model.start[n], model.length[n], model.finish[n]) for n in working}
    if (hours := shared(model, working, elsewhere)) is not None:
        model.counted = True
        passed = counted(model, working, hours)
        times = {n: (passed[n], activities[n].work, passed[n] + activities[n].work) for n in working}
        elsewhere = [[(hours.passed(start), hours.passed(end)) for start, end in spans] for spans in elsewhere]
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
        spans = _between(model, [(start, end) for start, end, _ in model.part.taken[which]])
        taken = [(start, end, amount) for start, end, amount in model.part.taken[which] if (start, end) in set(spans)]
        most = max((amount for _, _, amount in taken), default=0)
        if not holds or sum(hold.amount for hold in holds) + most <= resource.capacity:
            continue
        amounts = _begun(model, holds, resource.capacity - most)
        intervals = [_held(model, hold) for hold in holds]
        intervals += _fixed(model, [(start, end) for start, end, _ in taken])
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
                    _add(model, model.start[other.first] >= model.finish[hold.last] + hold.spare, [])
    return amounts


def _held(model: Model, hold: Hold | Air) -> Any:
    start, end = model.start[hold.first], model.finish[hold.last] + hold.spare
    if hold.first == hold.last:
        return _interval(model, start, model.length[hold.first] + hold.spare, end)
    was = max(0, model.was[hold.last][1] + hold.spare - model.was[hold.first][0])
    most = model.window(hold.last, True)[1] + hold.spare - model.window(hold.first, False)[0]
    return _interval(model, start, model.number([(0, max(most, 0))], was), end)


@dataclass(frozen=True, slots=True)
class _Breath:
    """How long the air of a room is of one side: start and end, their windows, and where they were."""

    side: Side
    start: Expression
    end: Expression
    earliest: Span
    latest: Span
    was: Span
    fact: bool


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
                model.start[air.first],
                model.finish[air.last] + air.spare,
                (first[0], last[0] + air.spare),
                (first[1], last[1] + air.spare),
                (model.was[air.first][0], model.was[air.last][1] + air.spare),
                model.part.problem.activities[air.first].fact is not None,
            )
        )
    for room, side, span, fact in model.part.air:
        if room in rooms and _between(model, [span]):
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
        _add(model, other.start >= one.end, [first])
        _add(model, one.start >= other.end, [first.negated()])
    elif sooner:
        _add(model, other.start >= one.end, [])
    elif later:
        _add(model, one.start >= other.end, [])
    else:
        model.model.add_bool_or([])
