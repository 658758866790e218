"""What a task may slip, as figures that say how they were counted."""

from datetime import timedelta
from fractions import Fraction

from domain.figure import Figure, Rule, Unit
from domain.plan.planned import Plan, PlannedTask
from domain.schedule.slip import last_start
from domain.task import Clock

METHOD = "critical path method, as in scheduling handbooks; from memory"


def total_float(plan: Plan, each: PlannedTask) -> Figure:
    """Return what a task may slip until its job's promise, or its earliest finish, is lost [min]; below 0: too late."""
    has_promise = plan.jobs[each.task.job_id].promised_on is not None
    until = "the promise still holds" if has_promise else "the job's earliest finish still holds"
    if each.has_begun:
        words = f"from its finish as it stands, {plan.say(each.earliest_finish)}, to the latest with which {until}"
        return _figure("Total float", each.total_float, f"{words}, {plan.say(each.latest_finish)}", each)
    words = f"from its earliest start, {plan.say(each.earliest_start)}, to the latest with which {until}"
    return _figure("Total float", each.total_float, f"{words}, {plan.say(each.latest_start)}", each)


def plan_slip(plan: Plan, each: PlannedTask) -> Figure:
    """Return what a task may slip in the plan with its people, clamps and all, and move nothing else [min]."""
    slack = timedelta()
    if plan.model is not None and plan.schedule is not None and each.key in plan.model.number:
        last = plan.model.grid.instant(last_start(plan.model.problem, plan.schedule, plan.model.number[each.key]))
        attended = each.task.clock is Clock.ATTENDED
        slack = plan.calendar.between(each.start, last) if attended else last - each.start
    words = "what it may slip while every other task stays where it is, with its people, clamps and bench"
    return _figure("Can slip", max(slack, timedelta()), words, each)


def _figure(label: str, slack: timedelta, words: str, each: PlannedTask) -> Figure:
    """Return float in minutes of shop time, or in hours, when they are many in days, that pass day and night."""
    minutes = Fraction(slack // timedelta(minutes=1))
    if each.task.clock is Clock.ATTENDED:
        return Figure(label, minutes, Unit.MINUTE, Rule(f"{words}; counted in shop hours", METHOD))
    rule = Rule(f"{words}; counted day and night", METHOD)
    if abs(slack) >= timedelta(days=2):
        return Figure(label, minutes / 1440, Unit.DAY, rule)
    return Figure(label, minutes / 60, Unit.HOUR, rule)
