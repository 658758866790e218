"""Take-off: what a job needs, its cut list on screen and on paper, and both as CSV."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.caution import GOVERNS, Caution, cautions_for
from domain.job import Job
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.part import TaskKind
from domain.shop import Shop
from domain.take_off import CutLine, PartRef, TakeOff, TakeOffLine, WasteChoice
from webapp import csv_text, desk
from webapp.desk import reading
from webapp.render import page
from webapp.store.job import load_job
from webapp.store.shop import load_shop
from webapp.store.take_off import load_take_off
from webapp.store.terms import load_terms
from webapp.working import PAGES

router = APIRouter()

TITLES = {
    MaterialKind.LUMBER: "Boards",
    MaterialKind.SHEET: "Sheets",
    MaterialKind.GLUE: "Glue",
    MaterialKind.FINISH: "Finish",
    MaterialKind.FASTENER: "Fasteners",
    MaterialKind.EDGE_STRIP: "Edge strip",
    MaterialKind.ABRASIVE: "Abrasives",
    MaterialKind.HARDWARE: "Hardware",
    MaterialKind.OTHER: "Everything else",
}


@dataclass(frozen=True)
class TakeOffPage:
    """waste: how boards beyond the net quantity are reckoned; cautions: for all the work of the job."""

    job: Job
    take_off: TakeOff
    waste: WasteChoice
    cautions: tuple[Caution, ...]

    @property
    def materials(self) -> Mapping[str, list[tuple[int, TakeOffLine]]]:
        """Return the lines with their places, under the title of their kind."""
        groups: dict[str, list[tuple[int, TakeOffLine]]] = {}
        for place, line in enumerate(self.take_off.lines):
            groups.setdefault(TITLES[line.material.kind], []).append((place, line))
        return groups

    @property
    def cuts(self) -> Mapping[Material, list[tuple[int, CutLine]]]:
        """Return the cut lines with their places, under what they are cut from."""
        groups: dict[Material, list[tuple[int, CutLine]]] = {}
        for place, line in enumerate(self.take_off.cut_list):
            groups.setdefault(line.part.material, []).append((place, line))
        return dict(
            sorted(groups.items(), key=lambda group: (group[0].kind is not MaterialKind.LUMBER, group[0].title))
        )

    def named(self, pieces: Iterable[int]) -> list[tuple[int, str, str]]:
        """Return the id and name of pieces, without marks of parts."""
        names = {built.placed.id: built.placed.name for built in self.take_off.pieces}
        return [(piece_id, names[piece_id], "") for piece_id in pieces]


def take_off_page(db: Session, job_id: int, now: datetime) -> TakeOffPage:
    """Return what a job needs. Raises Missing."""
    job, needed = load_job(db, job_id), load_take_off(db, job_id)
    heaviest = needed.heaviest.weight.value if needed.heaviest and needed.heaviest.weight else None
    steps = (step.kind for built in needed.pieces for step in built.steps)
    cautions = cautions_for(steps, [line.material for line in needed.lines], heaviest)
    return TakeOffPage(job, needed, load_terms(db, job_id).waste, cautions)


PAGES["take-off"] = take_off_page


@router.get("/jobs/{job_id}/take-off")
def show_take_off(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = take_off_page(db, job_id, desk.now(request))
    return page(request, "take_off", job=shown.job, page=shown, parts_of=parts_of, governs=GOVERNS)


@router.get("/jobs/{job_id}/cut-list/print")
def print_cut_list(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        shown = take_off_page(db, job_id, desk.now(request))
    cautions = cautions_for([TaskKind.MILL, TaskKind.CUT], shown.cuts)
    return page(request, "cut_list_print", job=shown.job, page=shown, cautions=cautions, governs=GOVERNS)


@router.get("/jobs/{job_id}/take-off.csv")
def take_off_csv(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        needed = load_take_off(db, job_id)
    header = ("Kind", "Material", "Size", "Grade", "Net", "Net unit", "Needed", "Unit", "For", "Why")
    return csv_text.download(f"job-{job_id}-take-off", header, (_material_row(line) for line in needed.lines))


@router.get("/jobs/{job_id}/cut-list.csv")
def cut_list_csv(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        needed, shop = load_take_off(db, job_id), load_shop(db)
    sizes = ("thickness", "width", "length")
    header = (
        "Piece", "Mark", "Part", "How many", *(f"Finished {size} [{shop.unit}]" for size in sizes), "Material",
        "Stock", "Grade", "Grain", *(f"Rough {size} [{shop.unit}]" for size in sizes), f"Extra length [{shop.unit}]",
    )  # fmt: skip
    return csv_text.download(f"job-{job_id}-cut-list", header, (_cut_row(line, shop) for line in needed.cut_list))


def parts_of(refs: Iterable[PartRef]) -> Iterator[tuple[int, str, str]]:
    """Yield the id and name of each piece once, with the marks of its parts: `A, B`."""
    marks: dict[tuple[int, str], list[str]] = {}
    for ref in refs:
        marks.setdefault((ref.piece_id, ref.piece), []).append(ref.mark)
    for (piece_id, piece), found in marks.items():
        yield piece_id, piece, ", ".join(mark for mark in found if mark)


def _material_row(line: TakeOffLine) -> list[csv_text.Cell]:
    material, net, needed = line.material, line.net, line.needed
    parts = "; ".join(f"{piece} {marks}".strip() for _, piece, marks in parts_of(line.parts))
    return [
        material.kind.value, material.name, material.size, material.grade,
        net.value, net.unit.value, needed.value, needed.unit.value, parts, line.why,
    ]  # fmt: skip


def _cut_row(line: CutLine, shop: Shop) -> list[csv_text.Cell]:
    part, material = line.part, line.part.material
    finished = [_size(figure.length, shop) for figure in line.sizes]
    rough = line.rough
    bought = (rough.thickness, rough.width, rough.length) if rough else ()
    return [
        line.ref.piece, line.ref.on_stock, part.name, line.pieces.value, *finished, material.name, material.size,
        material.grade, part.grain.value, *([_size(size.length, shop) for size in bought] or [None] * 3),
        _size(part.extra_length, shop),
    ]  # fmt: skip


def _size(value: Length, shop: Shop) -> csv_text.Cell:
    return value.in_mm if shop.unit == "mm" else value.inches
