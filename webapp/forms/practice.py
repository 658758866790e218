"""What was typed for a habit of the shop -> its value, or problems."""

from collections.abc import Mapping
from fractions import Fraction

from domain.figure import Unit
from domain.length import Length
from domain.length import Unit as LengthUnit
from domain.practice import PRACTICES, Practice
from domain.problem import Problem
from webapp.forms.field import Fields
from webapp.forms.number import as_typed, share_as_typed, size_as_typed


def fill(practice: Practice, value: Fraction, unit: LengthUnit) -> str:
    """Return a value of a habit as its field shows it. unit: of sizes in this shop."""
    match practice.unit:
        case Unit.INCH:
            return size_as_typed(Length(value), unit)
        case Unit.SHARE:
            return share_as_typed(value)
        case _:
            return as_typed(value)


def read(
    key: str, posted: Mapping[str, str], unit: LengthUnit, usual: Fraction
) -> tuple[Fraction | None, list[Problem]]:
    """Return the value typed for a habit, None for its usual one: nothing typed, or the very same.

    The field is named by the key. Raises KeyError for an unknown habit.
    """
    practice, fields = PRACTICES[key], Fields(posted, unit)
    value = _value(practice, fields)
    return (None if value == usual else value), fields.problems


def _value(practice: Practice, fields: Fields) -> Fraction | None:
    key, label, least, most = practice.key, practice.label, practice.least, practice.most
    match practice.unit:
        case Unit.INCH:
            size = fields.size(key, label, needed=False, least=Length(least), most=Length(most))
            return None if size is None else size.inches
        case Unit.SHARE:
            return fields.share(key, label, needed=False, least=int(least * 100), most=most * 100)
        case _:
            return fields.number(key, label, needed=False, least=least, most=most)
