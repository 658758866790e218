"""Everything that is neither board nor sheet: glue, fasteners, edge strip, hardware, finish and abrasives."""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import chain
from math import ceil

from domain.exact import summed
from domain.figure import Figure, Rule, Unit, add_up, together
from domain.finish import discs_needed, gallons, scuff_sheets_needed
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
        faces = {one.placed.id: [face for face in one.faces if face.finish == choice] for one in users}
        areas = {piece_id: [face.area for face in own] for piece_id, own in faces.items()}
        yield FinishArea(
            choice=choice,
            area=add_up("Area to finish", chain(*areas.values()), Unit.SQUARE_FOOT),
            faces=tuple(chain(*faces.values())),
            by_piece={piece_id: summed(face.value for face in own) for piece_id, own in areas.items()},
        )


def finish_lines(
    pieces: Iterable[BuiltPiece], finishes: Iterable[FinishArea], practice: ShopPractice
) -> Iterator[TakeOffLine]:
    """Yield finish and stain by family, the first coat with its own coverage."""
    found: dict[str, list[tuple[FinishArea, int]]] = {}
    for one in finishes:
        for family, coats in ((one.choice.colour, 1), (one.choice.family, one.choice.coats)):
            if family and coats:
                found.setdefault(family, []).append((one, coats))
    named = {one.placed.id: PartRef(one.placed.id, one.placed.name) for one in pieces}
    for family, used in found.items():
        net = add_up(f"{family}, area", (one.area for one, _ in used), Unit.SQUARE_FOOT)
        parts = [gallons(one.area, coats, family, practice) for one, coats in used]
        refs = tuple(named[each] for each in dict.fromkeys(each for one, _ in used for each in one.pieces))
        yield TakeOffLine(Material(MaterialKind.FINISH, family), net, together(family, parts, Unit.GALLON), refs)


def abrasive_lines(
    pieces: Iterable[BuiltPiece], finishes: Sequence[FinishArea], practice: ShopPractice
) -> Iterator[TakeOffLine]:
    """Yield discs of each grit for what is sanded before a finish, and sheets for scuffing between coats."""
    sanded = add_up("Sanded before the finish", (one.area for one in finishes), Unit.SQUARE_FOOT)
    users = tuple(PartRef(one.placed.id, one.placed.name) for one in pieces if one.faces)
    if not users:
        return
    for grit in GRITS:
        disc = Material(MaterialKind.ABRASIVE, "sanding disc", grit)
        yield TakeOffLine(disc, sanded, discs_needed(sanded, grit, practice), users, "sanding before the finish")
    scuffed = [one for one in finishes if one.choice.coats > 1]
    if scuffed:
        sheets = [scuff_sheets_needed(one.area, one.choice.coats - 1, practice) for one in scuffed]
        together = add_up("Scuffed between coats", (one.area for one in scuffed), Unit.SQUARE_FOOT)
        ids = {piece_id for one in scuffed for piece_id in one.pieces}
        refs = tuple(ref for ref in users if ref.piece_id in ids)
        needed = add_up("Scuffing sheets", sheets, Unit.EACH)
        material = Material(MaterialKind.ABRASIVE, "scuffing sheet", SCUFF_GRIT)
        yield TakeOffLine(material, together, needed, refs, "between coats")


def _ref(one: Made) -> PartRef:
    return PartRef(one.placed.id, one.placed.name)
