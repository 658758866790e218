"""What the tasks of a job wait for beyond their own piece: other pieces, deliveries, coats, the way to the client."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta

from domain.job_steps import CLEAN_UP, DELIVER, handled_after, named_finishes
from domain.material import Material, MaterialKind
from domain.part import Stage, Step, TaskKind, Wait
from domain.practice import ShopPractice
from domain.take_off import BuiltPiece, FinishArea, TakeOff
from domain.task import Delivery

NEEDED_AT: Mapping[MaterialKind, frozenset[TaskKind]] = {
    MaterialKind.LUMBER: frozenset({TaskKind.MILL}),
    MaterialKind.SHEET: frozenset({TaskKind.CUT}),
    MaterialKind.GLUE: frozenset({TaskKind.GLUE_UP, TaskKind.ASSEMBLE}),
    MaterialKind.FASTENER: frozenset({TaskKind.ASSEMBLE, TaskKind.INSTALL}),
    MaterialKind.EDGE_STRIP: frozenset({TaskKind.OTHER, TaskKind.ASSEMBLE}),
    MaterialKind.HARDWARE: frozenset({TaskKind.ASSEMBLE, TaskKind.OTHER, TaskKind.INSTALL}),
    MaterialKind.ABRASIVE: frozenset({TaskKind.SAND}),
}
"""The kinds of work that a material is first needed for; where a piece has none of them, when it is begun."""

IN_GLUED_JOINTS = frozenset({"biscuit", "dowel"})
IN_SHOP = frozenset({Stage.BUILD, Stage.SHOP_FINISH})
AT_CLIENT = frozenset({Stage.INSTALL, Stage.SITE_FINISH})

Waiting = tuple[str, Wait]
"""A task by its key within the job, and what it waits for, by its key within the job."""


def job_waits(
    take_off: TakeOff, deliveries: Sequence[Delivery], own: Sequence[Step], practice: ShopPractice
) -> Mapping[str, Sequence[Wait]]:
    """Return the waits across pieces by the key of the task that waits. own: from job_steps()."""
    waits: dict[str, list[Wait]] = {}
    for then, wait in (
        *_between_pieces(take_off),
        *_materials(take_off, deliveries),
        *_shop_finishes(take_off, own, practice),
        *_at_client(take_off),
        *_site_finishes(take_off, own, practice),
    ):
        waits.setdefault(then, []).append(wait)
    return waits


def brings_lumber(delivery: Delivery) -> bool:
    """Whether boards come with it, or have come already."""
    return bool(delivery.lumber) or any(
        Material.from_key(key).kind is MaterialKind.LUMBER for key in delivery.materials
    )


def _between_pieces(take_off: TakeOff) -> Iterator[Waiting]:
    for link in take_off.links:
        first, then = (f"p{ref.piece_id}.{ref.step}" for ref in (link.first, link.then))
        yield then, Wait(first, link.at_least, why=link.why)


def _materials(take_off: TakeOff, deliveries: Iterable[Delivery]) -> Iterator[Waiting]:
    """Yield the waits for deliveries: lumber until it is used to the shop, finish before its first coat."""
    earlier = {built.placed.id: _upstream(built) for built in take_off.pieces}
    for delivery in deliveries:
        for line in take_off.lines:
            if line.material.key not in delivery.materials | delivery.lumber:
                continue
            is_lumber = line.material.kind is MaterialKind.LUMBER
            wait = Wait(f"{delivery.key}.{'acclimate' if is_lumber else 'delivery'}")
            if line.material.kind is MaterialKind.FINISH:
                yield from ((coat, wait) for coat in _first_coats(take_off, line.material.name))
                continue
            pieces = {ref.piece_id for ref in line.parts}
            for built in take_off.pieces:
                if built.placed.id in pieces:
                    yield from ((step, wait) for step in _needs(built, line.material, earlier[built.placed.id]))


def _first_coats(take_off: TakeOff, family: str) -> Iterator[str]:
    for name, area in named_finishes(take_off).items():
        if family == area.choice.colour:
            yield f"{name}.colour"
        elif family == area.choice.family:
            yield f"{name}.coat-1"


def _shop_finishes(take_off: TakeOff, own: Sequence[Step], practice: ShopPractice) -> Iterator[Waiting]:
    """Yield the waits of coats in the shop for the pieces, and of the delivery for dry coats."""
    for name, area in named_finishes(take_off).items():
        if area.choice.on_site:
            continue
        for built in _pieces_of(take_off, area):
            yield from ((_first_of(name, own), Wait(last)) for last in _last(built, IN_SHOP))
        dry = handled_after(area, practice)
        yield DELIVER, Wait(f"{name}.coat-{area.choice.coats}", dry, why="the finish is dry enough to handle")


def _at_client(take_off: TakeOff) -> Iterator[Waiting]:
    for built in take_off.pieces:
        yield from ((DELIVER, Wait(last)) for last in _last(built, IN_SHOP))
        yield from ((first, Wait(DELIVER)) for first in _first(built, AT_CLIENT))
        yield from ((CLEAN_UP, Wait(last)) for last in _last(built, AT_CLIENT))


def _site_finishes(take_off: TakeOff, own: Sequence[Step], practice: ShopPractice) -> Iterator[Waiting]:
    """Yield the waits of coats on site: soon after install, dry before the cleaning up."""
    soon = timedelta(minutes=int(practice.value("first_coat_within") * 60))
    missed = "it must be cleaned and sanded again first"
    window = Wait("", at_most=soon, why="bare wood takes up damp and dirt", if_missed=missed)
    for name, area in named_finishes(take_off).items():
        if not area.choice.on_site:
            continue
        first = _first_of(name, own)
        for built in _pieces_of(take_off, area):
            yield from ((first, replace(window, step=last)) for last in _last(built, AT_CLIENT))
        yield first, Wait(DELIVER)
        last, dry = f"{name}.coat-{area.choice.coats}", handled_after(area, practice)
        yield CLEAN_UP, Wait(last, dry, why="the last coat is dry to the touch")


def _pieces_of(take_off: TakeOff, area: FinishArea) -> tuple[BuiltPiece, ...]:
    return tuple(built for built in take_off.pieces if built.placed.id in area.pieces)


def _first_of(name: str, own: Sequence[Step]) -> str:
    """Return the key of the first step of a finish."""
    return next(step.key for step in own if step.key.startswith(f"{name}."))


def _first(built: BuiltPiece, stages: frozenset[Stage]) -> tuple[str, ...]:
    """Return the keys within the job of those steps in the stages that wait for none of them."""
    inside = {step.key for step in built.steps if step.stage in stages}
    first = (step for step in built.steps if step.key in inside and not inside & {wait.step for wait in step.after})
    return tuple(f"p{built.placed.id}.{step.key}" for step in first)


def _last(built: BuiltPiece, stages: frozenset[Stage]) -> tuple[str, ...]:
    """Return the keys within the job of those steps in the stages that none of them waits for."""
    inside = [step for step in built.steps if step.stage in stages]
    waited_for = {wait.step for step in inside for wait in step.after}
    return tuple(f"p{built.placed.id}.{step.key}" for step in inside if step.key not in waited_for)


def _needs(built: BuiltPiece, material: Material, earlier: Mapping[str, set[str]]) -> tuple[str, ...]:
    """Return the keys within the job of the steps of a piece at which a material is first needed.

    earlier: from _upstream().
    """
    kinds = NEEDED_AT.get(material.kind, frozenset())
    if material.name in IN_GLUED_JOINTS:
        kinds |= {TaskKind.GLUE_UP}
    using = {step.key for step in built.steps if step.kind in kinds}
    first = [step.key for step in built.steps if step.key in using and not using & earlier[step.key]]
    return tuple(f"p{built.placed.id}.{key}" for key in first) or _first(built, frozenset(Stage))


def _upstream(built: BuiltPiece) -> Mapping[str, set[str]]:
    """Return for each step all steps of its piece that come before it; steps stand in the order of making."""
    before: dict[str, set[str]] = {}
    for step in built.steps:
        direct = {wait.step for wait in step.after}
        before[step.key] = direct.union(*(before.get(key, set()) for key in direct))
    return before
