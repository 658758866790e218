"""What was typed about an option of a job -> an Option, or problems."""

from collections.abc import Iterable, Mapping, Sequence

from domain.option import Change, LeftOut, Option, OtherFinish, OtherSheet, OtherWood, option_problems
from domain.pieces.piece import PlacedPiece
from domain.problem import Problem
from domain.words import cut_short
from webapp.forms.field import LONGEST_NOTE, Fields

LABELS = {
    "name": "Name of the option",
    "words": "In words for the client",
    "wood": "Instead of",
    "other_wood": "Another wood",
    "grade": "Grade",
    "sheet": "Instead of",
    "other_sheet": "Another sheet",
    "finish": "Instead of",
    "other_finish": "Another finish",
    "coats": "Coats",
    "colour": "Stain under it",
}
BLANK = dict.fromkeys(LABELS, "")
MOST_COATS = 12


def fill(option: Option) -> dict[str, str]:
    """Return the option as its form shows it: one change of each kind, and any number of pieces left out."""
    shown = BLANK | {"name": option.name, "words": option.words}
    for change in option.changes:
        shown |= _shown(change)
    return shown | {piece_name(piece_id): "yes" for piece_id in option.pieces}


def piece_name(piece_id: int) -> str:
    """Return the name of the tick that an option is for this piece."""
    return f"piece_{piece_id}"


def left_out_name(piece_id: int) -> str:
    """Return the name of the tick that leaves a piece out."""
    return f"left_out_{piece_id}"


def labels(placed: Sequence[PlacedPiece]) -> dict[str, str]:
    """Return the label of every field, ticks among them."""
    ticks = {piece_name(piece.id): f"Only for {piece.name}" for piece in placed}
    return LABELS | ticks | {left_out_name(piece.id): f"Without {piece.name}" for piece in placed}


def read(
    posted: Mapping[str, str],
    placed: Sequence[PlacedPiece],
    others: Iterable[Option] = (),
    *,
    option_id: int = 0,
    version: int = 1,
) -> tuple[Option | None, list[Problem]]:
    """Return the option as typed, or None and every problem.

    placed: the pieces of the job it is for; others: the job's options, which the client tells apart by their names.
    """
    fields = Fields(posted)
    name = fields.text("name", LABELS["name"], needed=True)
    if name in {option.name for option in others if option.id != option_id}:
        fields.problem("name", f"{LABELS['name']} “{cut_short(name)}” is taken. Give this one another.")
    words = fields.text("words", LABELS["words"], most=LONGEST_NOTE)
    coats = fields.whole("coats", LABELS["coats"], needed=False, least=1, most=MOST_COATS)
    changes = tuple(_changes(fields, coats, placed))
    if not changes and not fields.problems:
        fields.problem(
            "other_wood", "The option changes nothing yet. Choose another wood, sheet or finish, or a piece."
        )
    if fields.problems:
        return None, fields.problems
    pieces = tuple(piece.id for piece in placed if fields.tick(piece_name(piece.id)))
    option = Option(option_id, name, changes, words, pieces, version)
    if problems := option_problems(option, placed):
        return None, list(problems)
    return option, []


def _changes(fields: Fields, coats: int | None, placed: Sequence[PlacedPiece]) -> list[Change]:
    changes: list[Change] = []
    if other := fields.text("other_wood", LABELS["other_wood"]):
        changes.append(OtherWood(other, fields.raw("wood"), fields.raw("grade")))
    elif fields.raw("grade"):
        fields.problem("other_wood", "A grade needs its wood. Choose the wood, the same one if only the grade changes.")
    if sheet := fields.text("other_sheet", LABELS["other_sheet"]):
        changes.append(OtherSheet(sheet, fields.raw("sheet")))
    finish, colour = fields.text("other_finish", LABELS["other_finish"]), fields.text("colour", LABELS["colour"])
    if finish or coats is not None or colour:
        changes.append(OtherFinish(finish, fields.raw("finish"), coats, colour or None))
    return changes + [LeftOut(piece.id) for piece in placed if fields.tick(left_out_name(piece.id))]


def _shown(change: Change) -> dict[str, str]:
    match change:
        case OtherWood():
            return {"other_wood": change.other_wood, "wood": change.wood, "grade": change.grade}
        case OtherSheet():
            return {"other_sheet": change.other_sheet, "sheet": change.sheet}
        case OtherFinish():
            coats = "" if change.coats is None else str(change.coats)
            return {
                "other_finish": change.other_finish,
                "finish": change.finish,
                "coats": coats,
                "colour": change.colour or "",
            }
        case LeftOut():
            return {left_out_name(change.left_out): "yes"}
