"""A job as a file to take along, its published schema, and bringing such a file in: looked at first, then confirmed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from starlette.datastructures import UploadFile
from starlette.responses import JSONResponse

from domain.figure import Unit
from domain.length import Length
from domain.operation import OPERATIONS, Operation, OperationTime
from domain.practice import PRACTICES, Practice
from domain.problem import Problem
from webapp import desk
from webapp.desk import reading, see_other, writing
from webapp.filters import decimal, percent
from webapp.job_document import ADDRESS, LARGEST, JobDocument, json_schema, read, to_text
from webapp.render import page
from webapp.store import history
from webapp.store import job_document as store
from webapp.store.form_key import leads_to
from webapp.store.job_document import NewHere, Taken
from webapp.store.price import count_prices

router = APIRouter()

LARGEST_BODY = 3 * LARGEST
"""Bytes of a posted form with a file in it; files between the two limits are refused in words."""

SHOWN_ON_TROUBLE = 200_000
"""Characters of a pasted file that an error page still shows, so that it is not lost."""


@dataclass(frozen=True)
class Posted:
    """What the form brought. file: of an upload; text: pasted, or carried over from the preview."""

    file: bytes
    text: str
    fields: Mapping[str, str]

    @property
    def data(self) -> bytes | str:
        return self.file or self.text

    def ticked(self, name: str) -> bool:
        return self.fields.get(name, "") == "yes"


async def read_posted(request: Request) -> Posted:
    """Return what was posted; a long text is a part like any other here."""
    async with request.form(max_part_size=LARGEST_BODY) as form:
        file, text = form.get("file"), form.get("text")
        fields = {name: value for name, value in form.items() if isinstance(value, str) and name != "text"}
        content = await file.read() if isinstance(file, UploadFile) else b""
    pasted = text if isinstance(text, str) else ""
    request.state.posted = fields | ({"text": pasted} if 0 < len(pasted) < SHOWN_ON_TROUBLE else {})
    return Posted(content, pasted, fields)


@dataclass(frozen=True)
class ImportPage:
    """A file that was read, before it is brought in. text: the file, carried along; new: for this shop."""

    document: JobDocument
    text: str
    new: NewHere
    is_empty_shop: bool

    @property
    def practice(self) -> list[tuple[Practice, str]]:
        return [(PRACTICES[key], habit_text(key, value)) for key, value in self.new.practice.items()]

    @property
    def other_practice(self) -> list[tuple[Practice, str]]:
        return [(PRACTICES[key], habit_text(key, value)) for key, value in self.new.other_practice.items()]

    @property
    def operations(self) -> list[tuple[Operation, OperationTime]]:
        return [(OPERATIONS[key], time) for key, time in self.new.operations.items()]


@router.get("/jobs/{job_id}/job.json")
def job_json(request: Request, job_id: int) -> Response:
    with reading(request) as db:
        document = store.load_job_document(db, job_id, at=desk.now(request))
    return Response(
        to_text(document),
        media_type="application/json",
        headers={"Content-Disposition": f'attachment; filename="job-{job_id}.json"'},
    )


@router.get(ADDRESS)
def schema(request: Request) -> Response:
    return JSONResponse(json_schema(), media_type="application/schema+json")


@router.get("/import")
def show_import(request: Request) -> Response:
    return _ask(request)


@router.post("/import", max_body_size=LARGEST_BODY)
def preview(request: Request, posted: Annotated[Posted, Depends(read_posted)]) -> Response:
    """Show what a file holds and what of it is new here. Nothing is saved."""
    document, problems = read(posted.data)
    if document is None:
        return _ask(request, posted, problems)
    with reading(request) as db:
        shown = ImportPage(document, to_text(document), store.new_here(db, document), count_prices(db) == 0)
    return page(request, "import_preview", page=shown)


@router.post("/import/confirm", max_body_size=LARGEST_BODY)
def bring_in(request: Request, posted: Annotated[Posted, Depends(read_posted)]) -> Response:
    document, problems = read(posted.data)
    if document is None:
        return _ask(request, posted, problems)
    taken = Taken(*(posted.ticked(name) for name in ("prices", "practice", "operations", "terms")))
    with writing(request, f"Job “{document.job.name}” brought in from a file") as db:
        job_id = store.add_job_document(db, document, taken=taken, at=desk.now(request))
        history.of_job(db, job_id)
        url = leads_to(db, f"/jobs/{job_id}")
    return see_other(request, url)


def habit_text(key: str, value: Fraction) -> str:
    """Return a habit's value as one reads it."""
    unit = PRACTICES[key].unit
    if unit is Unit.SHARE:
        return percent(value)
    return Length(value).tape(precision=64) if unit is Unit.INCH else f"{decimal(value)} {unit.value}".strip()


def _ask(request: Request, posted: Posted | None = None, problems: Sequence[Problem] = ()) -> Response:
    """Return the page that asks for a file; a pasted text stands there again."""
    text = posted.text if posted and len(posted.text) <= LARGEST else ""
    return page(request, "import", status=422 if problems else 200, problems=problems, text=text)
