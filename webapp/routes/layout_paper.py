"""Boards and sheets on paper for the saw, and as tables: what to buy, and every cut."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from fastapi import APIRouter, Request, Response

from domain.buying import Round, SizeUsed, Stand
from domain.buying.plan import is_bought
from domain.caution import GOVERNS, cautions_for, lifting_a_sheet
from domain.layout.shape import Laid
from domain.length import Length
from domain.material import MaterialKind
from domain.part import TaskKind
from domain.practice import ShopPractice
from domain.saw_cut import SHORT, SawCut, saw_cuts
from domain.sheet_goods import sheet_weight
from domain.shop import Shop
from webapp import csv_text, desk
from webapp.desk import reading
from webapp.drawing.drawn import Drawn
from webapp.render import page
from webapp.routes.layout_page import LayoutPage, MaterialView, drawings_of, layout_page
from webapp.store.shop import load_practice, load_shop

router = APIRouter()


@dataclass(frozen=True)
class BoardToSaw:
    """One way of cutting, for one board or several alike. names: of parts by the blank's key."""

    drawn: Drawn
    cuts: tuple[SawCut, ...]
    names: Mapping[str, str]


@router.get("/jobs/{job_id}/layout/print")
def print_layout(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = layout_page(db, job_id, desk.now(request))
        shop, practice = load_shop(db), load_practice(db)
    to_saw = [(view, tuple(_boards(view, shop))) for view in shown.materials if view.boards]
    heaviest = max((weight for view, _ in to_saw for weight in _sheet_weights(view, practice)), default=None)
    cautions = cautions_for([TaskKind.CUT], [view.material for view, _ in to_saw])
    any_short = any(cut.is_short for _, boards in to_saw for board in boards for cut in board.cuts)
    return page(
        request, "layout_print", job=shown.job, page=shown, to_saw=to_saw, cautions=cautions, governs=GOVERNS,
        sheets=lifting_a_sheet(heaviest) if heaviest else None, any_short=any_short, short=SHORT, is_bought=is_bought,
    )  # fmt: skip


def _boards(view: MaterialView, shop: Shop) -> Iterator[BoardToSaw]:
    """Yield each way of cutting once, as it is drawn."""
    for each, drawings in drawings_of(view, shop):
        names = {blank.key: blank.name for blank in each.layout.to_cut.blanks}
        for laid, drawn in zip(dict.fromkeys(each.layout.laid), drawings, strict=True):
            yield BoardToSaw(drawn, saw_cuts(each.layout, laid), names)


def _sheet_weights(view: MaterialView, practice: ShopPractice) -> Iterator[Fraction]:
    """Yield what a whole sheet of each size weighs [lb]; nothing for boards."""
    if view.material.kind is MaterialKind.SHEET and view.lines:
        part = replace(view.lines[0].part, count=1, sizes=())
        for size in view.plan.sizes:
            yield sheet_weight(replace(part, width=size.width, length=size.length), practice).value


@router.get("/jobs/{job_id}/layout.csv")
def buying_csv(request: Request, job_id: int) -> Response:
    """Give what boards and sheets the layouts take, to buy or from the rack."""
    with reading(request) as db:
        shown, shop = layout_page(db, job_id, desk.now(request)), load_shop(db)
    unit = shop.unit
    header = (
        "Material", "Thickness", "Grade", "Board or sheet", "How many", f"Width [{unit}]", f"Length [{unit}]",
        "Holds", "Unit", "To buy",
    )  # fmt: skip
    return csv_text.download(f"job-{job_id}-boards-and-sheets", header, _buying_rows(shown, shop))


def _buying_rows(shown: LayoutPage, shop: Shop) -> Iterator[list[csv_text.Cell]]:
    for size in (size for view in shown.materials for size in view.plan.sizes):
        material = size.material
        yield [
            material.name, material.size, material.grade, size.title, size.count.value, _size(size.width, shop),
            _size(size.length, shop), size.quantity.value, size.quantity.unit.value, _yes(size),
        ]  # fmt: skip


def _yes(size: SizeUsed) -> str:
    return "yes" if is_bought(size) else "no, from the rack"


@router.get("/jobs/{job_id}/cuts.csv")
def cuts_csv(request: Request, job_id: int) -> Response:
    """Give every cut of every board that is not cut yet, in its order."""
    with reading(request) as db:
        shown, shop = layout_page(db, job_id, desk.now(request)), load_shop(db)
    unit = shop.unit
    header = (
        "Material", "Board no.", "Board or sheet", "Cut", "Rip or crosscut", f"Set to [{unit}]",
        f"Piece in hand: width [{unit}]", f"Piece in hand: length [{unit}]", "Parts free after it",
    )  # fmt: skip
    return csv_text.download(f"job-{job_id}-cuts", header, _cut_rows(shown, shop))


def _cut_rows(shown: LayoutPage, shop: Shop) -> Iterator[list[csv_text.Cell]]:
    for view in shown.materials:
        titles = {size.source.key: size.title for size in view.plan.sizes}
        for number, (each, laid) in enumerate(_laid(view), start=1):
            for one in saw_cuts(each.layout, laid):
                yield [
                    view.material.title, number, titles.get(laid.source, ""), one.cut.number, one.cut.way.value,
                    _size(one.setting, shop), _size(one.piece.width, shop), _size(one.piece.length, shop),
                    ", ".join(one.frees),
                ]  # fmt: skip


def _laid(view: MaterialView) -> Iterator[tuple[Round, Laid]]:
    """Yield every board that is not cut yet with its round, in the order they are taken up."""
    for each in view.plan.rounds:
        if each.stand is not Stand.CUT:
            yield from ((each, laid) for laid in each.layout.laid)


def _size(value: Length, shop: Shop) -> csv_text.Cell:
    return value.in_mm if shop.unit == "mm" else value.inches
