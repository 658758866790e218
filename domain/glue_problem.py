"""What stands in the way of a glue-up in this shop, and what would work: time, clamps, bench, cold."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import ceil

from domain.adhesive import adhesive, adhesive_families
from domain.clamp import clamps_by_pressure, clamps_by_spacing, joint_pressure
from domain.cure import cold_problems
from domain.figure import typed
from domain.glue_stage import GluePanel, GluePlan, joints_at_once
from domain.length import Length
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.when import clock
from domain.words import counted

CLAMPS = "shop:clamps"
"""Where the shop says how many clamps it has."""

MOST_HANDS = 8
"""People who still find room round one glue-up. Source: common practice, no source."""


def glue_problems(plan: GluePlan, practice: ShopPractice) -> tuple[Problem, ...]:
    """Return everything that keeps a glue-up from being done as planned; the rest of it stands.

    Fields are those of the piece, or addresses of what the shop sets, such as `practice:clamp_opening`.
    """
    return (
        *_not_for_edges(plan),
        *_late(plan, practice),
        *cold_problems(plan.panel.family, practice),
        *_too_wide(plan, practice),
        *_too_many_clamps(plan, practice),
        *_too_long(plan, practice),
    )


def _not_for_edges(plan: GluePlan) -> Iterator[Problem]:
    """Yield the problem of a glue that holds a sheet and not an edge. Source: notes of data/adhesives.csv."""
    family = plan.panel.family
    if adhesive(family).needs_no_clamps:
        instead = next(other for other in adhesive_families() if adhesive(other).is_squeezed)
        words = f"{family} is for sheets and edge strip, not for edge joints of solid wood. Try {instead}."
        yield Problem("glue", words)


def _late(plan: GluePlan, practice: ShopPractice) -> Iterator[Problem]:
    if not any(plan.is_late(stage) for stage in plan.in_turn):
        return
    panel, stage, people = plan.panel, plan.in_turn[0], int(plan.panel.crew.value)
    needed, there, kept = stage.closed.value, plan.open_time.value, "stays open for"
    if needed <= there:
        needed, there, kept = stage.pressed.value, plan.total_time.value, "wants its pressure within"
    ways = [way for way in (_more_hands(panel, people, practice), _slower_glue(panel, practice)) if way]
    try_this = " or ".join(ways) if ways else "a shorter panel: boards in two lengths"
    yield Problem(
        "glue",
        f"{counted(people, 'person', 'people')} cannot close even one joint of {panel.length.length.tape()} in time: "
        f"it takes {clock(needed)}, and {panel.family} {kept} {clock(there)}. Take {try_this}.",
    )


def _more_hands(panel: GluePanel, people: int, practice: ShopPractice) -> str:
    """Return how many people would close a joint in time, empty when no number would."""
    for hands in range(people + 1, MOST_HANDS + 1):
        if joints_at_once(replace(panel, crew=typed("People", hands)), practice):
            return f"{hands} people"
    return ""


def _slower_glue(panel: GluePanel, practice: ShopPractice) -> str:
    """Return a glue that stays open long enough, empty when none does."""
    for family in adhesive_families():
        if not adhesive(family).needs_no_clamps and joints_at_once(replace(panel, family=family), practice):
            return f"a glue that stays open longer, such as {family}"
    return ""


def _too_wide(plan: GluePlan, practice: ShopPractice) -> Iterator[Problem]:
    longest, width = practice.length("clamp_opening"), plan.in_turn[-1].width.length
    if plan.clamps.value and width > longest:
        yield Problem(
            "practice:clamp_opening",
            f"The panel is {width.tape()} across as glued, and the longest clamp opens to {longest.tape()}. Couple two "
            "clamps end to end, lengthen the pipes, or make it of two panels that are joined on site. Have longer "
            "clamps? Say so in Practice.",
        )


def _too_many_clamps(plan: GluePlan, practice: ShopPractice) -> Iterator[Problem]:
    owned = practice.owned
    if owned is None or plan.clamps.value <= owned.clamps:
        return
    needed, missing = int(plan.clamps.value), int(plan.clamps.value) - owned.clamps
    if not owned.clamps:
        yield Problem(CLAMPS, f"It takes {needed} clamps, and the shop's profile says 0. Type there how many you have.")
        return
    yield Problem(
        CLAMPS,
        f"It takes {needed} clamps at once, and the shop has {owned.clamps}. Borrow {missing}, "
        f"or {_fewer_clamps(plan, owned.clamps, practice)}.",
    )


def _fewer_clamps(plan: GluePlan, owned: int, practice: ShopPractice) -> str:
    """Return what makes the clamps of the shop enough."""
    panel, force = plan.panel, practice.figure("clamp_force")
    if owned < 2:
        return "glue shorter boards"
    ways = []
    if clamps_by_spacing(panel.length, practice).value > owned:
        apart = (panel.length.value - 2 * practice.value("clamp_from_end")) / (owned - 1)
        ways.append(f"set them {Length(Fraction(ceil(apart * 4), 4)).tape()} apart under stiff cauls")
    if adhesive(panel.family).is_squeezed:
        pressure = joint_pressure(panel.species, practice)
        pressed = clamps_by_pressure(panel.length, panel.thickness, pressure, force)
        if pressed.value > owned:
            stronger = ceil(pressed.came_from[0].value / owned / 50) * 50
            ways.append(f"use clamps of {stronger:,} lbf each")
    return f"{' and '.join(ways)}, and say so in Practice"


def _too_long(plan: GluePlan, practice: ShopPractice) -> Iterator[Problem]:
    bench, length = practice.length("bench_length"), plan.panel.length.length
    if length > bench:
        yield Problem(
            "practice:bench_length",
            f"The boards are {length.tape()} long as glued, and a glue-up in this shop is at most {bench.tape()} long. "
            f"Lay straight beams over horses, as long and level, and say so in Practice.",
        )
