"""What was asked of public holidays, and which of them are to be closed days."""

from collections.abc import Iterable, Mapping
from datetime import date

from domain.holiday import Holiday, Region, region_of
from domain.problem import Problem
from webapp.forms.field import Fields

LABELS = {"region": "State or country", "year": "Year"}


def read(asked: Mapping[str, str], today: date) -> tuple[tuple[Region, int] | None, list[Problem]]:
    """Return the region and year asked for; None without a problem while nobody has said a region."""
    fields = Fields(asked)
    typed = fields.raw("region")
    year = fields.whole("year", LABELS["year"], needed=False, least=2000, most=2100) or today.year
    if not typed:
        return None, fields.problems
    try:
        found = region_of(typed)
    except ValueError as error:
        fields.problem("region", f"{LABELS['region']}: {error}")
        return None, fields.problems
    return (None if fields.problems else (found, year)), fields.problems


def field_of(holiday: Holiday) -> str:
    """Return the field of the tick that closes the shop on a holiday."""
    return f"day_{holiday.day.isoformat()}"


def ticked(posted: Mapping[str, str], holidays: Iterable[Holiday]) -> tuple[Holiday, ...]:
    """Return the holidays that are ticked."""
    fields = Fields(posted)
    return tuple(holiday for holiday in holidays if fields.tick(field_of(holiday)))
