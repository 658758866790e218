"""Pieces as they are made: built once, counted for all that are alike, their steps linked to one another."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from domain.figure import Figure, typed
from domain.part import Built, Face, Joint, Step, Work
from domain.pieces.making import times
from domain.pieces.piece import Piece, PlacedPiece, placing_problems, problems_of
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.take_off.shape import BuiltPiece, StepLink, StepRef

INSTALLED_AFTER = {
    "support_strips": ("base_cabinet",),
    "top": ("base_cabinet", "support_strips"),
    "corner_top": ("base_cabinet", "support_strips"),
    "shelf": ("base_cabinet",),
    "drawer": ("base_cabinet",),
    "door": ("base_cabinet",),
    "toe_kick": ("base_cabinet",),
    "filler": ("base_cabinet",),
}
"""What stands before a kind of piece that belongs to none is put in. Source: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Made:
    """A piece without problems: what one needs, and joints, faces and steps of all that are alike."""

    placed: PlacedPiece
    built: Built
    quantity: Figure
    joints: tuple[Joint, ...]
    faces: tuple[Face, ...]
    steps: tuple[Step, ...]

    def as_built(self) -> BuiltPiece:
        built = self.built
        return BuiltPiece(self.placed, self.steps, self.faces, built.weight, built.figures, built.problems)


@lru_cache(maxsize=512)
def build(piece: Piece, practice: ShopPractice, where: str) -> Built | tuple[Problem, ...]:
    """Return what one of a piece needs, or everything wrong with it. A pure function of its arguments."""
    return problems_of(piece, practice) or piece.build(practice, where)


@lru_cache(maxsize=512)
def make_one(placed: PlacedPiece, practice: ShopPractice) -> Made | tuple[Problem, ...]:
    """Return a piece made for all that are alike, or everything wrong with it."""
    built = build(placed.piece, practice, placed.where)
    if isinstance(built, tuple):
        return built
    quantity = typed("How many alike", placed.quantity, where=f"{placed.where}:quantity")
    if placed.quantity == 1:
        return Made(placed, built, quantity, built.joints, built.faces, built.steps)
    return Made(
        placed,
        built,
        quantity,
        tuple(_all_joints(joint, quantity) for joint in built.joints),
        tuple(replace(face, count=face.count * placed.quantity) for face in built.faces),
        tuple(_all_steps(step, quantity) for step in built.steps),
    )


def _all_joints(joint: Joint, quantity: Figure) -> Joint:
    fasteners = times(joint.fasteners, quantity) if joint.fasteners else None
    return replace(joint, count=joint.count * int(quantity.value), fasteners=fasteners)


def _all_steps(step: Step, quantity: Figure) -> Step:
    """Return a step for all that are alike: more work and more clamps, but waiting takes no longer."""
    work = tuple(Work(work.operation, times(work.quantity, quantity)) for work in step.work)
    return replace(step, work=work, clamps=step.clamps * int(quantity.value))


def make(placed: Sequence[PlacedPiece], practice: ShopPractice) -> tuple[tuple[Made, ...], tuple[Problem, ...]]:
    """Return the pieces that can be made, and what keeps the others out or their belonging from counting."""
    made: list[Made] = []
    problems: list[Problem] = []
    for one in placed:
        placing = placing_problems(one, placed)
        problems += _named(one, placing)
        if any(problem.field == "quantity" for problem in placing):
            continue
        found = make_one(one, practice)
        if isinstance(found, Made):
            made.append(found)
        else:
            problems += _named(one, found)
    return tuple(made), tuple(problems)


def _named(placed: PlacedPiece, problems: Iterable[Problem]) -> Iterator[Problem]:
    for problem in problems:
        yield Problem(f"{placed.where}:{problem.field}", f"{placed.name}: {problem.words}")


def step_links(pieces: Sequence[BuiltPiece]) -> tuple[StepLink, ...]:
    """Return the order between steps of different pieces: a piece and its owner, and what is installed first."""
    by_id = {one.placed.id: one for one in pieces}
    found: dict[tuple[StepRef, StepRef], StepLink] = {}
    for one in pieces:
        owner = by_id.get(one.placed.belongs_to) if one.placed.belongs_to is not None else None
        if owner and owner.placed.piece.kind in one.placed.piece.belongs_to:
            found |= {(link.first, link.then): link for link in _with_owner(one, owner)}
    for one in pieces:
        owner = by_id.get(one.placed.belongs_to) if one.placed.belongs_to is not None else None
        for link in _installed_after(one, owner, pieces):
            found.setdefault((link.first, link.then), link)
    return tuple(found.values())


def _with_owner(one: BuiltPiece, owner: BuiltPiece) -> Iterator[StepLink]:
    for link in one.placed.piece.links:
        first, then = (owner, one) if link.owner_first else (one, owner)
        if _has(first, link.first) and _has(then, link.then):
            ends = StepRef(first.placed.id, link.first), StepRef(then.placed.id, link.then)
            yield StepLink(*ends, link.at_least, link.why)


def _installed_after(one: BuiltPiece, owner: BuiltPiece | None, pieces: Iterable[BuiltPiece]) -> Iterator[StepLink]:
    """Yield what must stand before a piece is put in; its owner, if it has one of that kind, is enough."""
    kinds = INSTALLED_AFTER.get(one.placed.piece.kind, ())
    if not kinds or not _has(one, "install") or (owner and owner.placed.piece.kind in kinds):
        return
    for other in pieces:
        if other.placed.piece.kind in kinds and other is not one and _has(other, "install"):
            ends = StepRef(other.placed.id, "install"), StepRef(one.placed.id, "install")
            yield StepLink(*ends, why=f"{other.placed.name} stands first")


def _has(one: BuiltPiece, key: str) -> bool:
    return any(step.key == key for step in one.steps)
