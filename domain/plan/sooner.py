"""What it would take to bring a task forward, each way tried before it is said."""

from datetime import timedelta

from domain.plan.asked import Asked
from domain.plan.candidates import for_task
from domain.plan.planned import Plan
from domain.plan.tried import Tried, offered
from domain.when import span

WORTH_SAYING = timedelta(minutes=15)
"""Bringing a task forward by less helps nobody."""


def sooner(made: Plan, asked: Asked, key: str, *, most: int = 3) -> tuple[Tried, ...]:
    """Return what would let a task start sooner, tried. Raises KeyError for a key not in the plan."""
    start = made.tasks[key].start

    def gained(new: Plan) -> str:
        then = new.tasks[key].start
        won = start - then
        return f"It starts {new.say(then)}, {span(won)} sooner." if won >= WORTH_SAYING else ""

    return offered(asked, made, for_task(made, key), gained, most=most)
