"""Operations: how long the shop says each takes, changed in place."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.operation import OPERATIONS, Operation, OperationTime, is_starting, starting_times
from domain.problem import Problem
from webapp.conflict import conflict
from webapp.desk import Posted, is_htmx, reading, see_other, version_of, writing
from webapp.forms import operation as forms
from webapp.render import fragments, page
from webapp.store import shop as store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile, Missing

router = APIRouter()

HOME = "/shop/operations"


@dataclass(frozen=True)
class Timed:
    """One operation as its row shows it. time: None while nobody has said anything; version: 0 then."""

    operation: Operation
    time: OperationTime | None
    typed: Mapping[str, str]
    version: int

    @property
    def key(self) -> str:
        return self.operation.key

    @property
    def lacks(self) -> str:
        """What nobody has said yet, in words; empty when all is said."""
        time = self.time or OperationTime()
        lacking = [
            words
            for words, value in (("setting up", time.setup), (f"minutes per {self.operation.per}", time.each))
            if value is None
        ]
        return " and ".join(lacking)

    @property
    def is_starting(self) -> bool:
        """Whether its time is our starting value still."""
        return self.time is not None and is_starting(self.key, self.time)


@dataclass(frozen=True)
class OperationsPage:
    operations: tuple[Timed, ...]

    @property
    def starting(self) -> int:
        return sum(one.is_starting for one in self.operations)

    @property
    def said(self) -> int:
        return sum(not one.lacks for one in self.operations)

    @property
    def unsaid(self) -> int:
        return len(self.operations) - self.said


def operations_page(db: Session) -> OperationsPage:
    """Return the catalogue with what the shop says each operation takes."""
    times, versions = store.load_operation_times(db), store.load_operation_versions(db)
    return OperationsPage(tuple(_timed(one, times, versions) for one in OPERATIONS.values()))


def _timed(operation: Operation, times: Mapping[str, OperationTime], versions: Mapping[str, int]) -> Timed:
    time = times.get(operation.key)
    return Timed(operation, time, forms.fill(operation, time), versions.get(operation.key, 0))


@router.get(HOME)
def show_operations(request: Request) -> Response:
    return _page(request)


@router.post(f"{HOME}/starting")
def take_starting_times(request: Request, posted: Posted) -> Response:
    with writing(request, "Starting values taken for the operations nobody had timed") as db:
        store.add_starting_times(db, starting_times())
        leads_to(db, HOME)
    return see_other(request, HOME)


@router.post(f"{HOME}/{{key}}")
def save_operation(request: Request, key: str, posted: Posted) -> Response:
    if key not in OPERATIONS:
        raise Missing(f"operation {key}")
    time, problems = forms.read(key, posted)
    if time is None:
        return _refused(request, key, posted, problems)
    try:
        with writing(request, f"Time of “{OPERATIONS[key].name}” changed") as db:
            store.save_operation_time(db, key, time, version=version_of(posted))
            leads_to(db, f"{HOME}#{key}")
    except ChangedMeanwhile as changed:
        return _changed(request, key, posted, changed)
    if is_htmx(request):
        return _row(request, key, "saved")
    return see_other(request, f"{HOME}#{key}")


def _refused(request: Request, key: str, posted: Mapping[str, str], problems: list[Problem]) -> Response:
    if is_htmx(request):
        return _row(request, key, "refused", problems=problems, status=422)
    return _page(request, typed=posted, problems=problems)


def _changed(request: Request, key: str, posted: Mapping[str, str], changed: ChangedMeanwhile) -> Response:
    if is_htmx(request):
        return _row(request, key, "changed", posted=posted, status=409)
    with reading(request) as db:
        saved = forms.fill(OPERATIONS[key], store.load_operation_times(db).get(key))
    labels = dict(zip(saved, ("Setting up", "Each", "People"), strict=True))
    return conflict(request, changed, labels=labels, stored=saved, theirs=f"{HOME}#{key}")


def _row(request: Request, key: str, outcome: str, *, problems: list[Problem] | None = None,
         posted: Mapping[str, str] | None = None, status: int = 200) -> Response:  # fmt: skip
    """Return what changes beside the fields of an operation. outcome: saved, refused or changed (meanwhile)."""
    with reading(request) as db:
        shown = operations_page(db)
    one = next(timed for timed in shown.operations if timed.key == key)
    typed = {name: (posted or {}).get(name, "") for name in one.typed}
    return fragments(
        request, "operations", "state", "hidden", "said", status=status, one=one, page=shown, outcome=outcome,
        problems=problems or [], typed=typed,
    )  # fmt: skip


def _page(request: Request, *, typed: Mapping[str, str] | None = None,
          problems: list[Problem] | None = None) -> Response:  # fmt: skip
    with reading(request) as db:
        shown = operations_page(db)
    return page(
        request, "operations", status=422 if problems else 200, page=shown, kept=typed or {}, problems=problems or [],
        outcome="", typed={},
    )  # fmt: skip
