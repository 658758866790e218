"""An option: a named change to a job's pieces, priced beside the job as it stands."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from domain.pieces.ask import NONE
from domain.pieces.piece import PlacedPiece
from domain.problem import Problem
from domain.words import counted


@dataclass(frozen=True, slots=True)
class OtherWood:
    """Another species. wood: only what is made of it, empty for what a piece is mainly made of.

    grade: empty leaves it as it is.
    """

    other_wood: str
    wood: str = ""
    grade: str = ""


@dataclass(frozen=True, slots=True)
class OtherSheet:
    """Another sheet material. sheet: only what is made of it, empty for what a piece is mainly made of."""

    other_sheet: str
    sheet: str = ""


@dataclass(frozen=True, slots=True)
class OtherFinish:
    """Another finish, or another number of coats, where there is a finish.

    other_finish, coats, colour: empty or None leaves it; finish: only pieces finished with it, empty for any.
    """

    other_finish: str
    finish: str = ""
    coats: int | None = None
    colour: str | None = None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A piece left out, with all that belongs to it."""

    left_out: int


Change = OtherWood | OtherSheet | OtherFinish | LeftOut


@dataclass(frozen=True, slots=True)
class Option:
    """A named set of changes. words: for the client, empty for usual_words();
    pieces: only these and what belongs to them, empty for all. Raises ValueError without a name or a change.
    """

    id: int
    name: str
    changes: tuple[Change, ...]
    words: str = ""
    pieces: tuple[int, ...] = ()
    version: int = 1

    def __post_init__(self) -> None:
        if not self.name or not self.changes:
            raise ValueError("an option has a name and changes something")


def apply(option: Option, placed: Iterable[PlacedPiece]) -> tuple[PlacedPiece, ...]:
    """Return the job's pieces with the option's changes; the job itself stays as it is."""
    pieces = tuple(placed)
    for change in option.changes:
        pieces = tuple(_changed(change, pieces, _meant(option, pieces)))
    return pieces


def option_problems(option: Option, placed: Sequence[PlacedPiece]) -> tuple[Problem, ...]:
    """Return a problem for each change that would change nothing in the job."""
    problems = []
    for change in option.changes:
        if tuple(_changed(change, placed, _meant(option, placed))) == tuple(placed):
            words = f"{_in_words(change, placed)}: no piece of this job would change. Choose what the job has."
            problems.append(Problem("changes", words))
    return tuple(problems)


def usual_words(option: Option, placed: Sequence[PlacedPiece]) -> str:
    """Return the option as the client reads it, unless the maker words it: `Black cherry instead of white oak`."""
    return option.words or "; ".join(_in_words(change, placed) for change in option.changes)


def with_belongings(ids: Iterable[int], placed: Iterable[PlacedPiece]) -> frozenset[int]:
    """Return the pieces with these ids and everything that belongs to them, however deep."""
    owners = {piece.id: piece.belongs_to for piece in placed}
    found = frozenset(ids)
    while more := {piece_id for piece_id, owner in owners.items() if owner in found} - found:
        found |= more
    return found


def for_pieces(options: Iterable[Option], numbers: Mapping[int, int]) -> Iterator[Option]:
    """Yield options that mean the same pieces by other numbers, but those that only meant pieces that are gone.

    numbers: the other number of each piece that is there, by its own.
    """
    for option in options:
        meant = tuple(numbers[number] for number in option.pieces if number in numbers)
        changes = tuple(
            LeftOut(numbers[change.left_out]) if isinstance(change, LeftOut) else change
            for change in option.changes
            if not isinstance(change, LeftOut) or change.left_out in numbers
        )
        if changes and (meant or not option.pieces):
            yield replace(option, changes=changes, pieces=meant)


def _meant(option: Option, placed: Sequence[PlacedPiece]) -> frozenset[int]:
    return with_belongings(option.pieces or (piece.id for piece in placed), placed)


def _changed(change: Change, placed: Sequence[PlacedPiece], meant: frozenset[int]) -> Iterator[PlacedPiece]:
    if isinstance(change, LeftOut):
        gone = with_belongings([change.left_out], placed) & meant
        yield from (piece for piece in placed if piece.id not in gone)
        return
    for piece in placed:
        new = _new_choices(change, piece.piece) if piece.id in meant else {}
        yield replace(piece, piece=_replace(piece.piece, new)) if new else piece


def _new_choices(change: OtherWood | OtherSheet | OtherFinish, piece: Any) -> dict[str, Any]:
    """Return the fields of a piece that change; a piece that does not ask for them keeps what it is."""
    if isinstance(change, OtherWood):
        names = _made_of(piece, "species", change.wood, is_used=getattr(piece, "is_solid", True))
        new = dict.fromkeys(names, change.other_wood)
        return new | _known(piece, {"grade": change.grade or None}) if "species" in new else new
    if isinstance(change, OtherSheet):
        names = _made_of(piece, "sheet", change.sheet, is_used=not getattr(piece, "is_solid", False))
        return dict.fromkeys(names, change.other_sheet)
    finish = getattr(piece, "finish", NONE)
    if finish == NONE or (change.finish and finish != change.finish):
        return {}
    return _known(piece, {"finish": change.other_finish or None, "coats": change.coats, "colour": change.colour})


def _made_of(piece: Any, what: str, named: str, *, is_used: bool) -> list[str]:
    """Return the fields that say what a piece is made of: its main one, or all that hold the named material.

    Inner parts, such as `box_species` or `back_sheet`, change only when their own material is named.
    is_used: whether the main one is what the piece is really made of.
    """
    names = [field.name for field in fields(piece)]
    inner = [name for name in names if name.endswith(f"_{what}")] if named else []
    main = [what] if what in names and is_used else []
    return [name for name in main + inner if not named or getattr(piece, name) == named]


def _known(piece: Any, new: dict[str, Any]) -> dict[str, Any]:
    asked = {field.name for field in fields(piece)}
    return {name: value for name, value in new.items() if name in asked and value is not None}


def _replace(piece: Any, new: dict[str, Any]) -> Any:
    return replace(piece, **new)


def _in_words(change: Change, placed: Iterable[PlacedPiece]) -> str:
    if isinstance(change, OtherWood):
        return _instead(change.other_wood, change.wood)
    if isinstance(change, OtherSheet):
        return _instead(change.other_sheet, change.sheet)
    if isinstance(change, LeftOut):
        return f"Without {next((p.name for p in placed if p.id == change.left_out), 'a piece that is gone')}"
    said = [_instead(change.other_finish, change.finish)] if change.other_finish else []
    if change.coats is not None:
        said.append(counted(change.coats, "coat"))
    if change.colour is not None:
        said.append("no stain" if change.colour == NONE else f"over {change.colour}")
    return ", ".join(said) or "Another finish"


def _instead(new: str, old: str) -> str:
    return f"{new} instead of {old}" if old else new
