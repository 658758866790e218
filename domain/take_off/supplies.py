"""Everything that is neither board nor sheet: glue, fasteners, edge strip, hardware, finish and abrasives."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from math import ceil

from domain.figure import Figure, Rule, Unit, add_up
from domain.finish import area, discs_needed, finish_needed, scuff_sheets_needed
from domain.glue_up import glue_needed, glued_area
from domain.material import Material, MaterialKind
from domain.part import FinishChoice, Item
from domain.pieces.making import times
from domain.pieces.steps import GRITS
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.take_off.built import Made
from domain.take_off.shape import BuiltPiece, FinishArea, PartRef, TakeOffLine

SCUFF_GRIT = "320"
"""Grit between coats. Source: common practice, no source."""


def glue_lines(made: Sequence[Made], practice: ShopPractice) -> tuple[tuple[TakeOffLine, ...], tuple[Problem, ...]]:
    """Return glue by family from the area of its joints, and the families whose spread nobody knows."""
    by_family: dict[str, list[Made]] = {}
    for one in made:
        for family in dict.fromkeys(joint.glue for joint in one.built.joints if joint.glue):
            by_family.setdefault(family, []).append(one)
    found: list[TakeOffLine] = []
    problems: list[Problem] = []
    for family, users in by_family.items():
        joints = [joint for one in users for joint in one.joints if joint.glue == family]
        material, needed = Material(MaterialKind.GLUE, family), glue_needed(joints, family, practice)
        if isinstance(needed, Problem):
            problems.append(Problem(f"material:{material.key}", needed.words))
        else:
            found.append(TakeOffLine(material, glued_area(joints), needed, tuple(_ref(one) for one in users)))
    return tuple(found), tuple(problems)


def item_lines(made: Iterable[Made], practice: ShopPractice) -> Iterator[TakeOffLine]:
    """Yield fasteners, edge strip and hardware, each material once."""
    found: dict[Material, list[tuple[Made, Item]]] = {}
    for one in made:
        for item in (*_fastened(one), *one.built.items):
            if item.quantity.value:
                found.setdefault(item.material, []).append((one, item))
    for material, used in found.items():
        quantities = [times(item.quantity, one.quantity) for one, item in used]
        net = add_up(f"{material.title}, net", quantities, material.unit)
        refs = tuple(dict.fromkeys(_ref(one) for one, _ in used))
        why = "; ".join(dict.fromkeys(item.why for _, item in used if item.why))
        yield TakeOffLine(material, net, _with_spares(material, net, practice), refs, why)


def _fastened(one: Made) -> Iterator[Item]:
    for joint in one.built.joints:
        if joint.fastener and joint.fasteners:
            yield Item(joint.fastener, joint.fasteners, joint.name.lower())


def _with_spares(material: Material, net: Figure, practice: ShopPractice) -> Figure:
    """Return what is needed for a net quantity: spare fasteners, edge strip that overhangs, hardware as counted."""
    label = f"{material.title} to have"
    match material.kind:
        case MaterialKind.FASTENER:
            spare = practice.figure("spare_fasteners")
            value = Fraction(ceil(net.value * (1 + spare.value)))
            return Figure(label, value, net.unit, Rule("net × (1 + spare), rounded up"), (net, spare))
        case MaterialKind.EDGE_STRIP:
            more = practice.figure("edge_strip_extra")
            return Figure(label, net.value * (1 + more.value), net.unit, Rule("net × (1 + above net)"), (net, more))
        case _:
            return Figure(label, net.value, net.unit, Rule("as counted"), (net,))


def finish_areas(pieces: Iterable[BuiltPiece]) -> Iterator[FinishArea]:
    """Yield everything that gets one finish, together."""
    found: dict[FinishChoice, list[BuiltPiece]] = {}
    for one in pieces:
        for choice in dict.fromkeys(face.finish for face in one.faces):
            found.setdefault(choice, []).append(one)
    for choice, users in found.items():
        faces = tuple(face for one in users for face in one.faces if face.finish == choice)
        yield FinishArea(choice, area(faces), faces, tuple(one.placed.id for one in users))


def finish_lines(pieces: Sequence[BuiltPiece], practice: ShopPractice) -> Iterator[TakeOffLine]:
    """Yield finish and stain by family, the first coat with its own coverage."""
    needed = finish_needed((face for one in pieces for face in one.faces), practice)
    for family, gallons in needed.items():
        users = [one for one in pieces if any(_takes(face.finish, family) for face in one.faces)]
        faces = [face for one in users for face in one.faces if _takes(face.finish, family)]
        refs = tuple(PartRef(one.placed.id, one.placed.name) for one in users)
        yield TakeOffLine(Material(MaterialKind.FINISH, family), area(faces), gallons, refs)


def _takes(choice: FinishChoice, family: str) -> bool:
    return family in (choice.family, choice.colour)


def abrasive_lines(
    pieces: Sequence[BuiltPiece], finishes: Iterable[FinishArea], practice: ShopPractice
) -> Iterator[TakeOffLine]:
    """Yield discs of each grit for what is sanded before a finish, and sheets for scuffing between coats."""
    sanded = area(face for one in pieces for face in one.faces)
    users = tuple(PartRef(one.placed.id, one.placed.name) for one in pieces if one.faces)
    if not users:
        return
    for grit in GRITS:
        disc = Material(MaterialKind.ABRASIVE, "sanding disc", grit)
        yield TakeOffLine(disc, sanded, discs_needed(sanded, grit, practice), users, "sanding before the finish")
    scuffed = [one for one in finishes if one.choice.coats > 1]
    if scuffed:
        sheets = [scuff_sheets_needed(one.area, one.choice.coats - 1, practice) for one in scuffed]
        together = add_up("Area scuffed", (one.area for one in scuffed), Unit.SQUARE_FOOT)
        ids = {piece_id for one in scuffed for piece_id in one.pieces}
        refs = tuple(ref for ref in users if ref.piece_id in ids)
        needed = add_up("Scuffing sheets", sheets, Unit.EACH)
        yield TakeOffLine(
            Material(MaterialKind.ABRASIVE, "scuffing sheet", SCUFF_GRIT), together, needed, refs, "between coats"
        )


def _ref(one: Made) -> PartRef:
    return PartRef(one.placed.id, one.placed.name)
