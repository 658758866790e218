"""Wishes that cannot all come true: the smallest set of them, in words with dates, and what would help."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice

from domain.plan.asked import Asked
from domain.plan.candidates import for_unmet, for_window
from domain.plan.planned import Plan, PlannedTask
from domain.plan.remedy import Remedy, Sand
from domain.plan.tried import Tried, offered
from domain.plan.unmet import Unmet
from domain.plan.window import Window
from domain.plan.wish_words import Around, say, together
from domain.schedule.contradiction import Conflict as Found
from domain.schedule.contradiction import Hopeless, smallest
from domain.schedule.problem import NoRoom
from domain.schedule.tied import Part, alone, tied
from domain.schedule.wish import Kind, Wish, wishes_of, without
from domain.task import Task

MOST_SHOWN = 4
"""Contradictions that are looked into at once; the next ones when these are settled."""
EFFORT = 0.1
"""Of the solver's work for each question, where the clock and the hours alone do not tell."""
ALWAYS = frozenset({Kind.LEAST})
"""What is no wish of anybody: how long glue cures and finish dries."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """wishes: each in words, of which any one given up lets the others be; words: why they contradict one another;
    keys: of the tasks they are about; is_proved: no plan keeps them all, else: none was found; remedies: each was
    tried and works, the least trouble first.
    """

    wishes: tuple[str, ...]
    words: str
    keys: tuple[str, ...]
    is_proved: bool
    remedies: tuple[Tried, ...] = ()


def conflicts(
    made: Plan, asked: Asked, *, job_id: int | None = None, scuffs: Mapping[str, Task] | None = None, most: int = 3
) -> tuple[Conflict, ...]:
    """Return what in a plan cannot be had together, and what would help.

    job_id: of this job alone; scuffs: the sanding before a coat, by the coat's key, where that is done at all;
    most: so many remedies for each.
    """
    own = None if job_id is None else {task.key for task in asked.tasks if task.job_id == job_id}
    missed = [
        one for one in made.windows if not one.is_met and _is_open(made, one) and (own is None or one.after in own)
    ]
    unmet = [one for one in made.unmet if own is None or one.key in own]
    return (
        *(_of_unmet(made, asked, one, most) for one in islice(unmet, MOST_SHOWN)),
        *(_of_window(made, asked, one, scuffs or {}, most) for one in islice(missed, MOST_SHOWN)),
    )


def _is_open(made: Plan, window: Window) -> bool:
    """Whether something can still be done about a missed window."""
    return not made.tasks[window.after].has_begun


def _of_unmet(made: Plan, asked: Asked, unmet: Unmet, most: int) -> Conflict:
    def gained(new: Plan) -> str:
        words = f"{new.jobs[new.tasks[unmet.key].task.job_id].words}"
        return "" if any(one.key == unmet.key for one in new.unmet) else f"Then it can be. {words}"

    remedies = offered(asked, made, for_unmet(made, unmet.key), gained, most=most) if unmet.key in made.tasks else ()
    return Conflict((unmet.words,), unmet.words, (unmet.key,), is_proved=True, remedies=remedies)


def _of_window(made: Plan, asked: Asked, window: Window, scuffs: Mapping[str, Task], most: int) -> Conflict:
    def gained(new: Plan) -> str:
        is_met = all(one.is_met for one in new.windows if (one.before, one.after) == (window.before, window.after))
        each = new.tasks[window.after]
        return (
            f"“{each.task.name}” then begins {new.say(each.start)}, in time."
            if is_met and _uses_hours(made, new, each)
            else ""
        )

    keys = (window.before, window.after)
    found = contradiction(made, window)
    remedies = offered(asked, made, _remedies(made, window, scuffs), gained, most=most)
    if found is None or not found.wishes or made.model is None:
        return Conflict((window.words,), window.words, keys, is_proved=False, remedies=remedies)
    around = Around(made, made.model, window)
    wishes = tuple(say(wish, around) for wish in found.wishes)
    return Conflict(wishes, together(found.wishes, around), keys, found.is_proved, remedies)


def _uses_hours(made: Plan, new: Plan, each: PlannedTask) -> bool:
    """Whether a task is done in the hours a plan has more than another, if it has any; else it stands for itself."""
    had, has = made.calendar.extra, new.calendar.extra
    on = new.calendar.local(each.start).date()
    return had == has or had.get(on) != has.get(on)


def contradiction(made: Plan, window: Window) -> Found | None:
    """Return the smallest set of wishes because of which a window is missed; None where it could not be found.

    Only what windows tie to it is looked at, so that it is found at once: what is impossible there is so altogether.
    """
    if made.model is None or made.schedule is None:
        return None
    found = asked_near(made, window)
    wishes = tuple(
        wish for wish in wishes_of(found.problem) if wish.kind not in ALWAYS and not _is_wait(found.there(wish), made)
    )
    try:
        conflict = smallest(found.problem, wishes, effort=EFFORT)
    except (Hopeless, NoRoom):
        return None
    return Found(tuple(found.there(wish) for wish in conflict.wishes), conflict.is_proved)


def asked_near(made: Plan, window: Window) -> Part:
    """Return what windows tie to a missed window, the other windows that are missed left out."""
    assert made.model is not None
    assert made.schedule is not None
    own = (window.after, window.before)
    others = [
        Wish(Kind.MOST, number)
        for number in made.schedule.broken
        if (made.model.links[number][0], made.model.links[number][1].before) != own
    ]
    problem = without(made.model.problem, *others)
    return alone(problem, tied(problem, [made.model.number[window.before], made.model.number[window.after]]))


def _is_wait(wish: Wish, made: Plan) -> bool:
    """Whether a limit is no window but a wait that begins by itself."""
    assert made.model is not None
    return wish.kind is Kind.MOST and made.model.links[wish.number][1].at_most is None


def _remedies(made: Plan, window: Window, scuffs: Mapping[str, Task]) -> Iterator[Remedy]:
    others = for_window(made, window)
    yield from islice(others, 2)
    if (scuff := scuffs.get(window.after)) is not None:
        yield Sand(window.before, window.after, scuff)
    yield from others
