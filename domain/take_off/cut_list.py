"""The cut list, and boards and sheets from it."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache

from domain.figure import Figure, Rule, Unit, add_up
from domain.lumber import AddOn, Extra, GradeYield, WasteShare, board_feet, grade_yield, gross, rough_size, usual_extra
from domain.material import Material, MaterialKind
from domain.part import Part
from domain.pieces.making import each, times
from domain.pieces.piece import PlacedPiece
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.sheet_goods import sheet_area, sheet_size, sheets_needed
from domain.take_off.built import Made, make_one
from domain.take_off.shape import CutLine, PartRef, TakeOffLine, WasteChoice, WasteMethod

OwnYields = tuple[tuple[tuple[str, str], Figure], ...]
"""What the shop's own jobs yielded, by species and grade [share]."""


def cut_lines(placed: Iterable[PlacedPiece], practice: ShopPractice) -> tuple[tuple[CutLine, ...], tuple[Problem, ...]]:
    """Return every part of every piece with its finished and rough size, and the parts no stock gives."""
    found = [_cut_lines_of(one, practice) for one in placed]
    return tuple(line for lines, _ in found for line in lines), tuple(one for _, problems in found for one in problems)


@lru_cache(maxsize=512)
def _cut_lines_of(placed: PlacedPiece, practice: ShopPractice) -> tuple[tuple[CutLine, ...], tuple[Problem, ...]]:
    one = make_one(placed, practice)
    if not isinstance(one, Made):
        return (), ()
    found = [_cut_line(one, part, practice) for part in one.built.parts]
    lines = tuple(line for line in found if isinstance(line, CutLine))
    problems = (problem for problem in found if isinstance(problem, Problem))
    return lines, tuple(Problem(f"{placed.where}:{one.field}", f"{placed.name}: {one.words}") for one in problems)


def _cut_line(one: Made, part: Part, practice: ShopPractice) -> CutLine | Problem:
    ref = PartRef(one.placed.id, one.placed.name, part.mark)
    pieces = times(part.counted or each("Pieces", part.count, "in one of it"), one.quantity)
    thickness, width, length = part.sizes[:3]
    sizes = (thickness, width, length)
    label = f"{ref.piece} {part.mark}, {part.name.lower()}"
    if part.material.kind is MaterialKind.SHEET:
        return CutLine(ref, part, pieces, sizes, sheet_area(part, alike=one.placed.quantity, label=label))
    rough = rough_size(part, practice, where=one.placed.where)
    if isinstance(rough, Problem):
        return rough
    if not part.material.size:
        part = replace(part, material=replace(part.material, size=rough.quarter))
    net = board_feet(rough.thickness, rough.width, rough.length, pieces, label=label)
    return CutLine(ref, part, pieces, sizes, net, rough)


def lumber_lines(
    cut: Iterable[CutLine], practice: ShopPractice, waste: WasteChoice, own: OwnYields = ()
) -> Iterator[TakeOffLine]:
    """Yield board feet by species, rough thickness and grade, and what to buy for them. own: the shop's own yields."""
    for material, lines in _by_material(cut, MaterialKind.LUMBER).items():
        net = add_up(f"{material.title}, net", (line.net for line in lines), Unit.BOARD_FOOT, "rough parts added up")
        needed = replace(gross(net, extra(material, practice, waste, own)), label=f"{material.title} to buy")
        yield TakeOffLine(material, net, needed, tuple(line.ref for line in lines))


def extra(material: Material, practice: ShopPractice, waste: WasteChoice, own: OwnYields = ()) -> Extra:
    """Return what is bought beyond the net of a wood: as the job says, else by the shop's habit or the grade.

    A layout is compared with the shop's habit; a wood that no job of the shop's own was made of goes by it too.
    """
    typed_share = None
    if waste.share is not None:
        rule = Rule("typed for this job", "typed", waste.where)
        typed_share = Figure(waste.method.value.capitalize(), waste.share, Unit.SHARE, rule)
    match waste.method:
        case WasteMethod.ADD_ON:
            return AddOn(typed_share) if typed_share else usual_extra(material.name, material.grade, practice)
        case WasteMethod.WASTE_SHARE:
            return WasteShare(typed_share or practice.figure("waste_share"))
        case WasteMethod.GRADE_YIELD:
            return GradeYield(typed_share) if typed_share else grade_yield(material.grade)
        case WasteMethod.OWN_YIELD:
            known = dict(own).get((material.name, material.grade))
            return GradeYield(known) if known else usual_extra(material.name, material.grade, practice)
        case WasteMethod.LAYOUT:
            return usual_extra(material.name, material.grade, practice)


def sheet_lines(
    made: Iterable[Made], cut: Iterable[CutLine], practice: ShopPractice
) -> tuple[tuple[TakeOffLine, ...], tuple[Problem, ...]]:
    """Return sheets by material, and the parts that fit no sheet."""
    many = {one.placed.id: one.placed.quantity for one in made}
    found: list[TakeOffLine] = []
    problems: list[Problem] = []
    for material, lines in _by_material(cut, MaterialKind.SHEET).items():
        if nothing := _nothing_left(material, practice):
            problems.append(nothing)
            continue
        parts = [_all_of(line, many[line.ref.piece_id]) for line in lines]
        need = sheets_needed(parts, practice)
        problems += [Problem(f"material:{material.key}", problem.words) for problem in need.problems]
        net = add_up(f"{material.title}, net area", (line.net for line in lines), Unit.SQUARE_FOOT)
        if need.sheets.value:
            needed = replace(need.sheets, label=f"{material.title} to buy")
            found.append(TakeOffLine(material, net, needed, tuple(line.ref for line in lines)))
    return tuple(found), tuple(problems)


def _nothing_left(material: Material, practice: ShopPractice) -> Problem | None:
    """Return the problem of a trim that leaves nothing of a sheet."""
    sheet, trim = sheet_size(material, practice), practice.length("sheet_trim")
    if min(sheet.width.length, sheet.length.length) > 2 * trim:
        return None
    words = f"Trimming {trim.tape()} off each edge leaves nothing of a sheet of {material.title}. Try 1/4 in."
    return Problem("practice:sheet_trim", words)


def _all_of(line: CutLine, many: int) -> Part:
    """Return the part counted for all pieces that are alike, named so that a message can say whose it is."""
    return replace(line.part, count=line.part.count * many, name=f"{line.ref.piece}: {line.part.name.lower()}")


def _by_material(cut: Iterable[CutLine], kind: MaterialKind) -> dict[Material, list[CutLine]]:
    found: dict[Material, list[CutLine]] = {}
    for line in cut:
        if line.part.material.kind is kind:
            found.setdefault(line.part.material, []).append(line)
    return found
