"""Price: every price and time of a job's estimate, changed where it is read."""

from collections.abc import Mapping
from dataclasses import replace

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.operation import OPERATIONS, OperationTime, starting_times
from domain.problem import Problem
from domain.words import counted
from webapp import desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import estimate as forms
from webapp.forms import operation as operation_forms
from webapp.routes.estimate_page import (
    clashed,
    estimate_page,
    operation_slot,
    refused,
    saved,
    show,
)
from webapp.store import price as price_store
from webapp.store import shop as shop_store
from webapp.store.form_key import leads_to
from webapp.store.job import load_job
from webapp.store.rows import ChangedMeanwhile, Missing

router = APIRouter()


@router.get("/jobs/{job_id}/price")
def show_estimate(request: Request, job_id: int) -> Response:
    return show(request, job_id)


@router.post("/jobs/{job_id}/price/prices/{price_id}")
def save_price(request: Request, job_id: int, price_id: int, posted: Posted) -> Response:
    """Save a price in the price book as of today; the same amount again says that it still holds."""
    slot = forms.price_name(price_id)
    url = f"/jobs/{job_id}/price#{slot}"
    with reading(request) as db:
        load_job(db, job_id)
        stored, on = price_store.load_price(db, price_id), shop_store.today(db, desk.now(request))
    price, problems = forms.read_price(posted, stored, on)
    if price is None:
        return refused(request, job_id, slot, posted, problems)
    try:
        with writing(request, f"Price of {price.material.title} set", job_id=job_id) as db:
            price_store.save_price(db, replace(price, version=version_of(posted)))
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            theirs = price_store.load_price(db, price_id).package_price.plain()
        labels = {slot: f"Price of one {price.package}"}
        return clashed(request, job_id, slot, changed, labels=labels, stored={slot: theirs}, theirs=url)
    return saved(request, job_id, slot, url)


@router.post("/jobs/{job_id}/price/missing")
def save_missing(request: Request, job_id: int, posted: Posted) -> Response:
    """Add the prices typed into the list of missing ones to the price book."""
    with reading(request) as db:
        load_job(db, job_id)
        on = shop_store.today(db, desk.now(request))
    try:
        materials = forms.materials_of(posted)
    except ValueError:
        return show(request, job_id, problems=[Problem("missing", "The list changed. Type the prices again.")])
    prices, problems = forms.read_missing(posted, materials, on)
    if problems:
        return show(request, job_id, typed=posted, problems=problems)
    url = f"/jobs/{job_id}/price#{'missing' if len(prices) < len(materials) else 'materials'}"
    with writing(request, f"{counted(len(prices), 'missing price')} added", job_id=job_id) as db:
        price_store.save_price_list(db, prices)
        leads_to(db, url)
    return see_other(request, url)


@router.post("/jobs/{job_id}/price/operations/{key}")
def save_operation(request: Request, job_id: int, key: str, posted: Posted) -> Response:
    """Save how long an operation takes, for the whole shop."""
    if key not in OPERATIONS:
        raise Missing(f"operation {key}")
    slot, operation = operation_slot(key), OPERATIONS[key]
    url = f"/jobs/{job_id}/price#{slot}"
    with reading(request) as db:
        load_job(db, job_id)
    time, problems = _read_said(key, posted)
    if time is None:
        return refused(request, job_id, slot, posted, problems)
    try:
        with writing(request, f"Time of “{operation.name}” changed", job_id=job_id) as db:
            shop_store.save_operation_time(db, key, time, version=version_of(posted))
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = operation_forms.fill(operation, shop_store.load_operation_times(db).get(key))
        labels = dict(zip(stored, ("Minutes to set up", f"Minutes per {operation.per}", "People"), strict=True))
        return clashed(request, job_id, slot, changed, labels=labels, stored=stored, theirs=url)
    return saved(request, job_id, slot, url)


def _read_said(key: str, posted: Mapping[str, str]) -> tuple[OperationTime | None, list[Problem]]:
    """Return a time as typed, none of it blank: emptied by mistake, it would fall out of the price."""
    time, problems = operation_forms.read(key, posted)
    if time is None or time.is_said:
        return time, problems
    name = next(name for name in operation_forms.fill(OPERATIONS[key], time) if not posted.get(name, "").strip())
    return None, [Problem(name, f"{OPERATIONS[key].name}: a time is empty. Type its minutes; 0 if it takes none.")]


@router.post("/jobs/{job_id}/price/unsaid")
def save_unsaid(request: Request, job_id: int, posted: Posted) -> Response:
    """Save the times typed into the list of operations that had none."""
    with reading(request) as db:
        load_job(db, job_id)
    typed: dict[str, OperationTime] = {}
    problems: list[Problem] = []
    for key in OPERATIONS:
        if posted.get(f"{key}-setup", "").strip() or posted.get(f"{key}-each", "").strip():
            time, found = _read_said(key, posted)
            problems += found
            if time is not None:
                typed[key] = time
    if not (typed or problems):
        problems.append(Problem("unsaid", "No time is typed yet. Type the minutes of at least one operation."))
    if problems:
        return show(request, job_id, typed=posted, problems=problems)
    url = f"/jobs/{job_id}/price#labour"
    words = f"{counted(len(typed), 'operation time')} said"
    try:
        with writing(request, words, job_id=job_id) as db:
            _save_unsaid(db, typed, keep_mine="version" in posted)
            leads_to(db, url)
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            stored = _said(shop_store.load_operation_times(db), typed)
        labels = {name: OPERATIONS[name.rpartition("-")[0]].name for name in stored}
        return conflict(request, changed, labels=labels, stored=stored, theirs=url)
    return see_other(request, url)


def _save_unsaid(db: Session, typed: Mapping[str, OperationTime], *, keep_mine: bool) -> None:
    """Save times of operations that had none. Raises ChangedMeanwhile when somebody else said one meanwhile."""
    times, versions = shop_store.load_operation_times(db), shop_store.load_operation_versions(db)
    for key, time in typed.items():
        said = times.get(key, time)
        if said.is_said and said != time and not keep_mine:
            raise ChangedMeanwhile(versions.get(key, 0))
        shop_store.save_operation_time(db, key, time, version=versions.get(key, 0))


def _said(times: Mapping[str, OperationTime], typed: Mapping[str, OperationTime]) -> dict[str, str]:
    stored: dict[str, str] = {}
    for key in typed:
        stored |= operation_forms.fill(OPERATIONS[key], times.get(key))
    return stored


@router.post("/jobs/{job_id}/price/starting-times")
def take_starting_times(request: Request, job_id: int, posted: Posted) -> Response:
    """Take our starting values for the operations of this job that nobody has said a time for."""
    with reading(request) as db:
        unsaid = estimate_page(db, job_id, desk.now(request)).unsaid
    times = {operation.key: starting_times()[operation.key] for operation in unsaid}
    url = f"/jobs/{job_id}/price#labour"
    with writing(request, "Starting values taken for operations without a time", job_id=job_id) as db:
        shop_store.add_starting_times(db, times)
        leads_to(db, url)
    return see_other(request, url)
