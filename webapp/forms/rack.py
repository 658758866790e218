"""What was typed about a board or sheet -> a RackPiece, or problems."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from domain.length import Length, Unit
from domain.material import MaterialKind
from domain.problem import Problem
from domain.rack import CUT_FROM, RackPiece, RackPlace
from domain.words import cut_short
from webapp.forms import material as material_forms
from webapp.forms.field import Fields
from webapp.forms.number import size_as_typed

LABELS = {
    "name": "Name",
    "size": "Thickness",
    "grade": "Grade",
    "width": "Width",
    "length": "Length",
    "count": "How many alike",
    "mark": "Mark",
    "place": "Where it is",
    "price": "Price",
    "supplier": "Supplier",
    "set_aside_for": "Set aside for",
    "offcut_of": "Left over from",
    "note": "Note",
}

PRICE_OF = {MaterialKind.LUMBER: "a board foot", MaterialKind.SHEET: "a sheet"}
"""What a price is of."""

SMALLEST, LARGEST = Length.of("1/4"), Length.feet(40)
LONGEST_MARK, MOST_ALIKE = 20, 100


@dataclass(frozen=True, slots=True)
class Known:
    """What a board is read against. unit: of bare numbers; marks: taken already, in lower case; jobs: by id."""

    unit: Unit = "in"
    marks: frozenset[str] = frozenset()
    jobs: Mapping[int, str] = field(default_factory=dict)


def blank(kind: MaterialKind) -> dict[str, str]:
    """Return what a new board or sheet starts with."""
    return dict.fromkeys(LABELS, "") | {"kind": kind.value, "place": RackPlace.SHOP.value, "count": "1"}


def fill(piece: RackPiece, unit: Unit) -> dict[str, str]:
    """Return a board or sheet as the form shows it."""
    return material_forms.fill(piece.material) | {
        "width": size_as_typed(piece.width, unit),
        "length": size_as_typed(piece.length, unit),
        "count": "1",
        "mark": piece.mark,
        "place": piece.place.value,
        "price": "" if piece.price is None else piece.price.plain(),
        "supplier": piece.supplier,
        "set_aside_for": "" if piece.set_aside_for is None else str(piece.set_aside_for),
        "offcut_of": "" if piece.offcut_of is None else str(piece.offcut_of),
        "note": piece.note,
    }


def known_kind(text: str) -> MaterialKind | None:
    """Return the kind a query or a form names, None when it is nothing that lies on a rack."""
    kind = material_forms.known_kind(text)
    return kind if kind in CUT_FROM else None


def ask_of(kind: MaterialKind) -> material_forms.MaterialAsk:
    """Return how a material of the rack is asked for: a sheet without the size it is sold in."""
    ask = material_forms.asks()[kind]
    return replace(ask, grade="", grades=()) if kind is MaterialKind.SHEET else ask


def read(posted: Mapping[str, str], known: Known) -> tuple[tuple[RackPiece, ...], list[Problem]]:
    """Return the boards or sheets as typed, as many as are alike, or none and every problem. An empty mark stays so."""
    kind = known_kind(posted.get("kind", ""))
    its_own_size = {"grade": ""} if kind is MaterialKind.SHEET else {}
    fields = Fields(dict(posted) | its_own_size, known.unit)
    if kind is None:
        fields.problem("kind", f"“{cut_short(fields.raw('kind'))}” does not lie on a rack. Choose lumber or sheet.")
        return (), fields.problems
    material = material_forms.read(fields, kind)
    width, length = (fields.size(name, LABELS[name], least=SMALLEST, most=LARGEST) for name in ("width", "length"))
    count = fields.whole("count", LABELS["count"], needed=False, least=1, most=MOST_ALIKE)
    mark = _mark(fields, known, count or 1)
    place = fields.choice("place", LABELS["place"], RackPlace, usual=RackPlace.SHOP)
    price = fields.money("price", LABELS["price"], needed=False)
    supplier, note = fields.text("supplier", LABELS["supplier"]), fields.text("note", LABELS["note"])
    aside, offcut_of = (read_job(fields, name, known.jobs) for name in ("set_aside_for", "offcut_of"))
    if fields.problems or not (material and width and length and place):
        return (), fields.problems
    piece = RackPiece(
        id=0, mark=mark, material=material, width=width, length=length, place=place, price=price, supplier=supplier,
        set_aside_for=aside, offcut_of=offcut_of, note=note,
    )  # fmt: skip
    return tuple(_alike(piece, count or 1)), []


def read_one(
    posted: Mapping[str, str], known: Known, old: RackPiece, *, version: int
) -> tuple[RackPiece | None, list[Problem]]:
    """Return a board or sheet that is there as typed anew, or None and every problem. An empty mark keeps the old."""
    typed = dict(posted) | {"kind": old.material.kind.value, "count": "1"}
    pieces, problems = read(typed, known)
    if problems:
        return None, problems
    (piece,) = pieces
    return replace(piece, id=old.id, mark=piece.mark or old.mark, cut_for=old.cut_for, version=version), []


def read_job(fields: Fields, name: str, jobs: Mapping[int, str]) -> int | None:
    """Return the job that is chosen, None for none or after noting a problem."""
    chosen = fields.raw(name)
    job_id = next((known for known in jobs if str(known) == chosen), None)
    if chosen and job_id is None:
        fields.problem(name, f"{LABELS[name]} “{cut_short(chosen)}” is not a job here. Choose one of the list.")
    return job_id


def _mark(fields: Fields, known: Known, count: int) -> str:
    mark = " ".join(fields.text("mark", LABELS["mark"], most=LONGEST_MARK).split())
    taken = next((one for one in _marks(mark, count) if one.casefold() in known.marks), "")
    if mark and taken:
        fields.problem("mark", f"Mark “{cut_short(taken)}” is on another board. Leave it empty for the next free one.")
    return mark


def _marks(mark: str, count: int) -> tuple[str, ...]:
    """Return the marks of boards alike: the mark itself of a single one, else numbered: `12-1`, `12-2`."""
    return (mark,) if count == 1 or not mark else tuple(f"{mark}-{number}" for number in range(1, count + 1))


def _alike(piece: RackPiece, count: int) -> tuple[RackPiece, ...]:
    marks = _marks(piece.mark, count)
    return tuple(replace(piece, mark=mark) for mark in (marks if len(marks) == count else marks * count))
