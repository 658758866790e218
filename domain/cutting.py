"""What becomes of the boards and the rack when a job's boards are cut: what is stored as cut, what is left over."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from hashlib import sha256
from math import floor

from domain.buying import MaterialPlan, Round, SizeUsed, Stand
from domain.buying.words import bound_words
from domain.layout.shape import Laid, Layout, Rectangle
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.rack import RackPiece, RackPlace, next_mark


@dataclass(frozen=True, slots=True)
class Offcut:
    """What is left of a board and worth keeping. key: tells it from the others of its material."""

    key: str
    width: Length
    length: Length


@dataclass(frozen=True, slots=True)
class BoardToCut:
    """One board or sheet of a layout that is not cut yet. key: of the round and the place in its layout."""

    key: str
    number: int
    size: SizeUsed
    laid: Laid
    offcuts: tuple[Offcut, ...]


@dataclass(frozen=True, slots=True)
class CutUp:
    """What is stored once boards are cut. layouts: what was cut; used: boards of the rack; offcuts: new ones on it."""

    layouts: tuple[Layout, ...]
    used: tuple[RackPiece, ...]
    offcuts: tuple[RackPiece, ...]


def boards_to_cut(plan: MaterialPlan) -> tuple[BoardToCut, ...]:
    """Return every board or sheet of a material that is laid out and not cut, in the order they are taken up."""
    return tuple(_boards(plan))


def _boards(plan: MaterialPlan) -> Iterator[BoardToCut]:
    sizes = {one.source.key: one for one in plan.sizes}
    number = 0
    for place, each in enumerate(plan.rounds):
        if each.stand is Stand.CUT:
            continue
        for at, laid in enumerate(each.layout.laid):
            number += 1
            if size := sizes.get(laid.source):
                key = f"{place}-{at}"
                keep, kind = each.layout.to_cut.keep, plan.material.kind
                kept = (one for one in laid.offcuts if is_worth_keeping(one, keep, kind))
                offcuts = tuple(
                    Offcut(f"{key}-{n}", *map(_down, (one.width, one.length))) for n, one in enumerate(kept)
                )
                yield BoardToCut(key, number, size, laid, offcuts)


def _down(size: Length) -> Length:
    """Return a size as an offcut is measured, down to the eighth of an inch. Source: common practice, no source."""
    return Length(Fraction(floor(size.inches * 8), 8))


def is_worth_keeping(offcut: Rectangle, keep: tuple[Length, Length], kind: MaterialKind) -> bool:
    """Whether an offcut is as wide and as long as the shop keeps; of a sheet either way round.

    keep: width and length, as a layout has them.
    """
    width, length = keep
    as_is = offcut.width >= width and offcut.length >= length
    turned = offcut.width >= length and offcut.length >= width
    return as_is or (turned and kind is MaterialKind.SHEET)


def cut_up(
    plan: MaterialPlan,
    cut: Collection[str],
    kept: Mapping[str, tuple[Length, Length]],
    rack: Iterable[RackPiece],
    *,
    job_id: int,
) -> CutUp:
    """Return what to store of boards that are cut for a job.

    cut: keys of the boards; kept: width and length of the offcuts to keep, by their keys; rack: all of it, also what
    is cut up, so that no mark is given twice.
    """
    boards = [one for one in boards_to_cut(plan) if one.key in cut]
    pieces = [one.size.piece for one in boards if one.size.piece is not None]
    used = tuple(replace(piece, place=RackPlace.SHOP, cut_for=job_id) for piece in pieces)
    offcuts = tuple(_on_the_rack(plan.material, boards, kept, tuple(rack), job_id))
    return CutUp(tuple(_layouts(plan, cut)), used, offcuts)


def _layouts(plan: MaterialPlan, cut: Collection[str]) -> Iterator[Layout]:
    """Yield each round's layout with the boards that are cut."""
    for place, each in enumerate(plan.rounds):
        laid = tuple(one for at, one in enumerate(each.layout.laid) if f"{place}-{at}" in cut)
        if laid and each.stand is not Stand.CUT:
            yield replace(each.layout, laid=laid, unplaced={})


def _on_the_rack(
    wanted: Material,
    boards: Iterable[BoardToCut],
    kept: Mapping[str, tuple[Length, Length]],
    rack: tuple[RackPiece, ...],
    job_id: int,
) -> Iterator[RackPiece]:
    """Yield the offcuts as pieces of the rack. They are paid for by this job, so they have no price for the next."""
    marked = list(rack)
    for board in boards:
        for offcut in board.offcuts:
            if offcut.key not in kept:
                continue
            width, length = kept[offcut.key]
            whole = wanted if wanted.kind is MaterialKind.SHEET else board.size.material
            piece = RackPiece(
                id=0, mark=next_mark(marked), material=whole, width=width, length=length,
                offcut_of=job_id, note=f"left of {board.size.title}",
            )  # fmt: skip
            marked.append(piece)
            yield piece


def seen_as(plan: MaterialPlan) -> str:
    """Return what tells the layouts a person saw from any others of the material."""
    laid = [(one.fingerprint, one.layout.laid) for one in plan.rounds if one.stand is not Stand.CUT]
    return sha256(repr(laid).encode()).hexdigest()[:16]


def bound_of_cut(rounds: Iterable[Round], material: Material) -> str:
    """Return how far layouts that were cut whole could have been from the best, in words; of others nothing."""
    whole = [one for one in rounds if one.stand is Stand.CUT and _is_whole(one.layout)]
    return bound_words([replace(one, stand=Stand.USUAL) for one in whole], material)


def _is_whole(layout: Layout) -> bool:
    """Whether every part that was asked for lies on it."""
    return sum(len(one.places) for one in layout.laid) == sum(blank.count for blank in layout.to_cut.blanks)


def rack_used(plan: MaterialPlan, place: RackPlace) -> tuple[RackPiece, ...]:
    """Return the boards and sheets in this place that the layouts take and that are not cut up yet."""
    pieces = (one.piece for one in plan.sizes if one.piece is not None)
    return tuple(piece for piece in pieces if piece.is_whole and piece.place is place)
