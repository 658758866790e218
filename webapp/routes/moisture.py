"""What wood settles at in the shop's air, and how far a width moves from one season to another."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from domain.figure import Figure, typed
from domain.length import Unit as LengthUnit
from domain.wood import emc_celsius, emc_fahrenheit, movement, species_names
from webapp.desk import reading
from webapp.forms import moisture as forms
from webapp.render import page
from webapp.routes.handbook import fine
from webapp.store import shop as store

router = APIRouter()


@dataclass(frozen=True)
class MoisturePage:
    """now, then: what wood settles at in either air; change: how much the width asked of moves between them.

    how_far: that in words; unknown: a width was asked of, and the table knows no movement of that wood.
    """

    now: Figure | None = None
    then: Figure | None = None
    change: Figure | None = None
    how_far: str = ""
    unknown: bool = False


@router.get("/handbook/moisture")
def show_moisture(request: Request) -> Response:
    query = request.query_params
    with reading(request) as db:
        unit = store.load_shop(db).unit
    question, problems = forms.read(query, unit) if forms.is_asked(query) else (None, [])
    return page(
        request, "handbook_moisture", status=422 if problems else 200, typed=forms.BLANK | dict(query),
        problems=problems, page=moisture_page(question, unit) if question else MoisturePage(), labels=forms.LABELS,
        scales=forms.SCALES, cuts=forms.CUTS, woods=(("", "no wood yet"), *((name, name) for name in species_names())),
    )  # fmt: skip


def moisture_page(question: forms.Question, unit: LengthUnit) -> MoisturePage:
    """Return what wood settles at, and how much a width of it moves, when that is asked."""
    emc = emc_celsius if question.scale == "C" else emc_fahrenheit
    now = emc(question.now.temperature, question.now.humidity)
    then = emc(question.then.temperature, question.then.humidity) if question.then else None
    if then is None or question.wood is None or question.width is None:
        return MoisturePage(now, then)
    across = typed(forms.LABELS["width"], question.width)
    change = movement(question.wood, question.cut, across, now, then)
    if change is None:
        return MoisturePage(now, then, unknown=True)
    way = "grows" if change.value > 0 else "shrinks"
    return MoisturePage(now, then, change, f"It {way} by {fine(change, unit)}" if change.value else "It stays as it is")
