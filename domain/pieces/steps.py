"""The steps that kinds of piece share: milling, gluing in stages, flattening, sanding, lifting in."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import timedelta

from domain.cure import clamp_time, cure_before_machining
from domain.exact import product
from domain.figure import Figure, Rule, Unit
from domain.finish import area
from domain.glue_stage import GluePlan
from domain.part import Face, Stage, Step, TaskKind, Wait, Work
from domain.pieces.making import each, lifters
from domain.practice import COMMON, ShopPractice

GRITS = ("120", "150", "180")
"""Sanding sequence before a finish. Source: common practice, no source."""

MACHINE_WAIT = "glue cures before a machine touches it"


@dataclass(frozen=True, slots=True)
class GlueUp:
    """A glue-up in stages. feet: joint glued at once, of each stage in turn [ft]; clamps: held at once; crew: people.

    joins: the earlier stages that each stage joins, by their numbers from 1; empty: each joins the one before;
    fresh: whether a stage glues edges straight from the jointer, of each in turn; empty: the first only;
    names: what each stage joins, in words; at_once: how many stages the shop has clamps and benches for;
    panel: how the whole is glued up, if it is a panel.
    """

    feet: tuple[Figure, ...]
    family: str
    clamps: int
    crew: int = 1
    bench: int = 1
    joins: tuple[tuple[int, ...], ...] = ()
    fresh: tuple[bool, ...] = ()
    names: tuple[str, ...] = ()
    at_once: int = 1
    panel: GluePlan | None = None


def grits() -> Figure:
    return each("Grits", len(GRITS), ", then ".join(GRITS), source=COMMON)


def work(operation: str, quantity: Figure) -> tuple[Work, ...]:
    """Return work of one operation, none when there is nothing to do."""
    return (Work(operation, quantity),) if quantity.value else ()


def after(*steps: str, why: str = "") -> tuple[Wait, ...]:
    return tuple(Wait(step, why=why) for step in steps)


def glue_steps(glue_up: GlueUp, practice: ShopPractice, waits: tuple[Wait, ...]) -> tuple[Step, ...]:
    """Return the steps of a glue-up, stage by stage: spread and clamp, wait, clamps off, cure.

    waits: what stages of fresh edges wait for. A stage waits until the clamps are off the stages it joins. Stages that
    join nothing of each other follow one another with the same hands, and wait only for clamps or a bench to be free.
    """
    steps: list[Step] = []
    for number, feet in enumerate(glue_up.feet, start=1):
        is_fresh = glue_up.fresh[number - 1] if glue_up.fresh else number == 1
        before = (*(waits if is_fresh else ()), *_stage_waits(glue_up, number))
        steps += _stage(glue_up, number, feet, practice, before)
    return tuple(steps)


def _stage_waits(glue_up: GlueUp, number: int) -> tuple[Wait, ...]:
    """Return what a stage waits for of the stages before it, each once."""
    joins = glue_up.joins[number - 1] if glue_up.joins else tuple(range(max(number - 1, 1), number))
    found = {f"unclamp-{stage}": "the next boards are glued to this stage" for stage in joins}
    if number > glue_up.at_once:
        found.setdefault(f"unclamp-{number - glue_up.at_once}", "its clamps and its place on the bench are needed")
    if number > 1 and f"unclamp-{number - 1}" not in found:
        found[f"glue-up-{number - 1}"] = "the same hands glue up one after another"
    return tuple(Wait(step, why=why) for step, why in found.items())


def _stage(glue_up: GlueUp, number: int, feet: Figure, practice: ShopPractice, waits: tuple[Wait, ...]) -> list[Step]:
    of = f" {number} of {len(glue_up.feet)}" if len(glue_up.feet) > 1 else ""
    joins = f", {glue_up.names[number - 1]}" if of and glue_up.names else ""
    spread, pressed, off = f"glue-up-{number}", f"clamp-{number}", f"unclamp-{number}"
    squeezed, cured = clamp_time(glue_up.family, practice), cure_before_machining(glue_up.family, practice)
    return [
        Step(spread, f"Glue-up{of}{joins}", TaskKind.GLUE_UP, work=work("glue-up", feet), after=waits,
             crew=glue_up.crew, clamps=glue_up.clamps, bench=glue_up.bench, until=off,
             panel=glue_up.panel if number == 1 else None),
        Step(pressed, f"In clamps{of}", TaskKind.CLAMP, elapsed=squeezed, after=after(spread)),
        Step(off, f"Clamps off and scrape{of}", TaskKind.UNCLAMP, work=work("unclamp", feet),
             after=after(pressed, why="the glue holds by then")),
        Step(f"cure-{number}", f"Glue cures{of}", TaskKind.CURE, elapsed=cured,
             after=after(spread, why="the cure counts from the glue-up")),
    ]  # fmt: skip


def assembly_steps(name: str, done: tuple[Work, ...], feet: Figure, family: str, practice: ShopPractice, *,
                   key: str, suffix: str, clamps: int, waits: tuple[Wait, ...]) -> tuple[Step, ...]:  # fmt: skip
    """Return the steps of an assembly that is glued at once: glue up, wait, clamps off.

    key: of the glue-up; suffix: of the clamp steps; feet: of joint to scrape [ft].
    """
    pressed, off = f"clamp-{suffix}", f"unclamp-{suffix}"
    return (
        Step(key, name, TaskKind.GLUE_UP, work=done, after=waits, clamps=clamps, bench=1, until=off),
        Step(pressed, "In clamps", TaskKind.CLAMP, elapsed=clamp_time(family, practice), after=after(key)),
        Step(off, "Clamps off and scrape", TaskKind.UNCLAMP, work=work("unclamp", feet),
             after=after(pressed, why="the glue holds by then")),
    )  # fmt: skip


def cured(stages: int) -> tuple[Wait, ...]:
    """Return the waits of a step that puts a glued-up piece on a machine."""
    numbers = range(1, stages + 1)
    return (*after(f"unclamp-{stages}"), *after(*(f"cure-{number}" for number in numbers), why=MACHINE_WAIT))


def fresh(step: str, practice: ShopPractice) -> Wait:
    """Return the wait for jointed edges, which do not stay good for ever."""
    limit = timedelta(minutes=int(practice.value("joint_stays_fresh") * 60))
    return Wait(step, at_most=limit, why="jointed edges move and gather dust", if_missed="the edges are jointed again")


def square_feet(label: str, width: Figure, length: Figure, count: int = 1) -> Figure:
    value = product(count, width.value, length.value, over=144)
    words = "width × length ÷ 144" if count == 1 else f"{count} × width × length ÷ 144"
    return Figure(label, value, Unit.SQUARE_FOOT, Rule(words), (width, length))


def sand_step(surfaces: Iterable[Face], waits: tuple[Wait, ...]) -> tuple[Step, ...]:
    """Return the sanding before a finish, none for a piece left raw."""
    sanded = area(surfaces)
    if not sanded.value:
        return ()
    many = grits()
    quantity = Figure("Sanded area", sanded.value * many.value, Unit.SQUARE_FOOT, Rule("area × grits"), (sanded, many))
    return (Step("sand", "Sand", TaskKind.SAND, work=work("sand", quantity), after=waits),)


def install_step(operation: str, name: str, weight: Figure | None, practice: ShopPractice, *,
                 extra: Iterable[Work] = (), waits: tuple[Wait, ...] = ()) -> Step:  # fmt: skip
    """Return the step that puts one at its place, by as many people as its weight asks for."""
    crew = int(lifters(weight, practice).value)
    one = each("How many", 1, "one of it")
    work_of_it = (Work(operation, one), *extra)
    return Step("install", name, TaskKind.INSTALL, Stage.INSTALL, work_of_it, after=waits, crew=crew)
