"""What was typed about a piece -> a placed piece of its kind, or problems; fields come from what the kind asks."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import groupby
from typing import Any

from domain.length import Length
from domain.pieces.ask import Asked, asks
from domain.pieces.piece import MOST_ALIKE, Piece, PlacedPiece, field_problems, placing_problems, problems_of
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.shop import Shop
from domain.words import cut_short
from webapp.forms.field import LONGEST_NOTE, Fields, size_text, understood

PLACING = {"name": "Name", "quantity": "How many", "belongs_to": "Belongs to", "notes": "Notes"}

ONE_LINE: Mapping[str, str] = {
    "top": "Boards glued edge to edge: a counter, a worktop, a table top",
    "corner_top": "Two edge-glued legs along two walls, joined and bolted at the corner",
    "built_up_edge": "A strip glued under the front of a top, so that it looks thicker",
    "support_strips": "Plywood on the cabinets that carries a top and takes its screws",
    "base_cabinet": "A case of sheet goods that stands on the floor",
    "drawer": "A box on slides with its front, for an opening in a cabinet",
    "shelf": "A board or a strip-edged sheet, on pins or fixed",
    "door": "Frame and panel, or a slab, hung on a cabinet",
    "toe_kick": "The board along the floor, fitted to it",
    "filler": "A strip between a cabinet or top and a wall that is not straight",
    "part_list": "Anything else: parts typed or pasted, one to a line",
}
"""What each kind of piece is, for somebody choosing one."""

_BETWEEN = re.compile(r"\s*[,;\n]\s*")
_DECIMAL_COMMA = re.compile(r"\d,\d", re.ASCII)


@dataclass(frozen=True, slots=True)
class Question:
    """One field as a page shows it. control: size, number, sizes, text, lines, choose or tick;
    options: pairs of what is posted and what is read; echo: how a typed size is understood.
    """

    name: str
    label: str
    help: str
    control: str
    options: tuple[tuple[str, str], ...] = ()
    echo: str = ""
    needed: bool = False


def labels(kind: type[Piece]) -> dict[str, str]:
    return PLACING | {asked.name: asked.ask.label for asked in asks(kind)}


def questions(kind: type[Piece], typed: Mapping[str, str], shop: Shop) -> tuple[tuple[str, tuple[Question, ...]], ...]:
    """Return what the form asks under its headings, in the order in which a heading first comes up."""
    headings = list(dict.fromkeys(asked.ask.group for asked in asks(kind)))
    in_order = sorted(asks(kind), key=lambda asked: headings.index(asked.ask.group))
    return tuple(
        (heading or "Choices", tuple(_question(asked, typed, shop) for asked in group))
        for heading, group in groupby(in_order, key=lambda asked: asked.ask.group)
    )


def fill(placed: PlacedPiece, shop: Shop) -> dict[str, str]:
    """Return a piece as its form shows it; a tick that is off is empty."""
    choices = {asked.name: _as_typed(getattr(placed.piece, asked.name), shop) for asked in asks(type(placed.piece))}
    placing = {"name": placed.name, "quantity": str(placed.quantity), "notes": placed.notes}
    return {**choices, **placing, "belongs_to": str(placed.belongs_to or "")}


def read(
    kind: type[Piece],
    posted: Mapping[str, str],
    shop: Shop,
    practice: ShopPractice,
    others: Iterable[PlacedPiece],
    *,
    piece_id: int = 0,
    version: int = 1,
) -> tuple[PlacedPiece | None, list[Problem]]:
    """Return the piece as typed, or None and every problem. others: the other pieces of the job.

    A field that was not posted at all has its usual value, save a tick, which is then off.
    """
    fields = Fields(posted, shop.unit)
    choices = {asked.name: _read(fields, asked) for asked in asks(kind)}
    piece = kind(**{name: value for name, value in choices.items() if value is not None})
    name = fields.text("name", PLACING["name"], needed=True)
    notes = fields.text("notes", PLACING["notes"], most=LONGEST_NOTE)
    quantity = fields.whole("quantity", PLACING["quantity"], least=1, most=MOST_ALIKE)
    owner = _owner(fields)
    unread = {problem.field for problem in fields.problems}
    if unread:
        more = [problem for problem in field_problems(piece) if problem.field not in unread]
        return None, _in_order(kind, [*fields.problems, *more])
    placed = PlacedPiece(piece_id, name, quantity or 1, piece, owner, notes, version)
    problems = [*problems_of(piece, practice), *placing_problems(placed, others)]
    return (None if problems else placed), problems


def _owner(fields: Fields) -> int | None:
    text = fields.raw("belongs_to")
    if not text:
        return None
    if text.isascii() and text.isdigit() and len(text) < 10:
        return int(text)
    fields.problem("belongs_to", f"{PLACING['belongs_to']} “{cut_short(text)}” is not a piece of this job. Choose one.")
    return None


def _read(fields: Fields, asked: Asked) -> Any:
    """Return the value of one field, or None after noting its problem or when it was not posted."""
    name, kind, ask = asked
    if kind is bool:
        return fields.tick(name)
    if name not in fields.posted:
        return None
    if kind is Length:
        return fields.size(name, ask.label, least=ask.least, most=ask.most)  # type: ignore[arg-type]
    if kind is int:
        return fields.whole(name, ask.label, least=ask.least or 0, most=ask.most)  # type: ignore[arg-type]
    if isinstance(kind, type) and issubclass(kind, Enum):
        return fields.choice(name, ask.label, kind)
    if kind is str:
        return fields.posted[name].replace("\r\n", "\n").strip()
    return _read_sizes(fields, asked)


def _read_sizes(fields: Fields, asked: Asked) -> tuple[Length, ...] | None:
    """Return sizes typed in a row. `5,5` may mean five and a half to some, so it is refused."""
    name, _, ask = asked
    text = fields.raw(name)
    if len(text) > ask.longest:
        fields.problem(name, f"{ask.label} is {len(text):,} characters long. Keep it to {ask.longest:,}.")
        return None
    if clash := _DECIMAL_COMMA.search(text):
        fields.problem(
            name, f"{ask.label} “{clash[0]}” is unclear. Put a space after the comma between sizes, and 1/2 or .5 "
            "for a half: 5 1/2, 6, 4 3/4.",
        )  # fmt: skip
        return None
    one_by_one = Fields({name: ""}, fields.unit)
    found = []
    for part in (part for part in _BETWEEN.split(text) if part):
        one_by_one.posted = {name: part}
        found.append(one_by_one.size(name, ask.label, least=ask.least, most=ask.most))  # type: ignore[arg-type]
    fields.problems += one_by_one.problems[:3]
    return None if one_by_one.problems else tuple(size for size in found if size)


def _in_order(kind: type[Piece], problems: Sequence[Problem]) -> list[Problem]:
    """Return problems in the order in which the form asks."""
    places = [*PLACING, *(asked.name for asked in asks(kind))]
    return sorted(problems, key=lambda problem: places.index(problem.field) if problem.field in places else 0)


def _as_typed(value: Any, shop: Shop) -> str:
    match value:
        case bool():
            return "yes" if value else ""
        case Length():
            return size_text(value, shop.unit)
        case Enum():
            return str(value.value)
        case tuple():
            return ", ".join(size_text(size, shop.unit) for size in value)
        case _:
            return str(value)


def _question(asked: Asked, typed: Mapping[str, str], shop: Shop) -> Question:
    name, kind, ask = asked
    options: tuple[str, ...] = ask.options() if ask.options else ()
    echo = ""
    if isinstance(kind, type) and issubclass(kind, Enum):
        control, options = "choose", tuple(str(member.value) for member in kind)
    elif kind is str:
        control = "choose" if ask.only_options else "lines" if ask.lines else "text"
    elif kind is Length:
        control, echo = "size", understood(typed.get(name, ""), shop)
    else:
        control = {bool: "tick", int: "number"}.get(kind, "sizes")
    if control == "sizes":
        echo = _echo_sizes(typed.get(name, ""), asked, shop)
    return Question(name, ask.label, ask.help, control, tuple((one, one) for one in options), echo, ask.needed)


def _echo_sizes(text: str, asked: Asked, shop: Shop) -> str:
    sizes = _read_sizes(Fields({asked.name: text}, shop.unit), asked)
    return ", ".join(size.tape(precision=shop.precision, unit=shop.unit) for size in sizes or ())
