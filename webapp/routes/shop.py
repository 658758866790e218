"""The shop: who it is, how it reads clock and tape, and the money terms that new jobs start with."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.figure import Figure
from domain.operation import OPERATIONS
from domain.overhead import overhead_rate
from domain.problem import Problem
from domain.terms import DEPOSIT_CAUTION, otherwise_said
from domain.words import counted
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import shop as forms
from webapp.forms import terms as terms_forms
from webapp.render import page
from webapp.store import person as person_store
from webapp.store import price as price_store
from webapp.store import shop as store
from webapp.store import stock as stock_store
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile

router = APIRouter()


@dataclass(frozen=True)
class Step:
    """One page of what a shop sets once, and how far it is."""

    address: str
    name: str
    words: str


@dataclass(frozen=True)
class YearPage:
    """The overhead of a year's books: as typed, what is wrong with it, and the rate."""

    typed: Mapping[str, str]
    problems: list[Problem]
    rate: Figure | None


@router.get("/shop")
def show_shop(request: Request) -> Response:
    with reading(request) as db:
        typed = forms.fill(store.load_shop(db))
    return _shop_page(request, typed)


@router.post("/shop")
def save_shop(request: Request, posted: Posted) -> Response:
    shop, problems = forms.read(posted)
    if shop is None:
        return _shop_page(request, posted, problems)
    try:
        with writing(request, f"Shop “{shop.name}” saved") as db:
            store.save_shop(db, shop, version=version_of(posted))
            leads_to(db, "/shop")
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            saved = forms.fill(store.load_shop(db))
        return conflict(request, changed, labels=forms.LABELS, stored=saved, theirs="/shop")
    return see_other(request, "/shop")


@router.get("/shop/terms")
def show_terms(request: Request) -> Response:
    with reading(request) as db:
        typed = terms_forms.fill(store.load_terms(db))
    return _terms_page(request, typed)


@router.post("/shop/terms")
def save_terms(request: Request, posted: Posted) -> Response:
    terms, problems = terms_forms.read(posted)
    if terms is None:
        return _terms_page(request, terms_forms.typed_again(posted), problems)
    try:
        with writing(request, "Money terms of the shop saved") as db:
            store.save_terms(db, terms, version=version_of(posted))
            leads_to(db, "/shop/terms")
    except ChangedMeanwhile as changed:
        with reading(request) as db:
            saved = terms_forms.fill(store.load_terms(db))
        return conflict(request, changed, labels=terms_forms.ALL_LABELS, stored=saved, theirs="/shop/terms")
    return see_other(request, "/shop/terms")


def _shop_page(request: Request, typed: Mapping[str, str], problems: list[Problem] | None = None) -> Response:
    with reading(request) as db:
        version, steps, saved = store.load_version(db), _steps(db), store.load_shop(db)
        people = len(person_store.load_people(db))
    return page(
        request, "shop", status=422 if problems else 200, typed=dict.fromkeys(forms.LABELS, "") | dict(typed),
        problems=problems or [], version=version, steps=steps, labels=forms.LABELS, zones=forms.zones(),
        units=forms.UNITS, precisions=forms.PRECISIONS, papers=forms.PAPERS, rooms=forms.ROOMS, aims=forms.AIMS,
        people=people, clamps_words=forms.clamps_words(saved),
    )  # fmt: skip


def _steps(db: Session) -> tuple[Step, ...]:
    """Return the pages of what a shop sets once, each with what is there so far."""
    calendar, times = store.load_calendar(db), store.load_operation_times(db)
    said = sum(time.is_said for time in times.values())
    changed = len(store.load_changed_practice(db))
    missing = len(store.load_terms(db).missing)
    named, hands = len(person_store.load_people(db)), store.load_shop(db).hands
    unnamed = f"nobody named: {counted(hands, 'pair of hands is', 'pairs of hands are')} counted"
    return (
        Step("/shop/hours", "Hours", "when the shop is open" if calendar else "none yet: no work can be planned"),
        Step("/shop/people", "People", f"{named} named" if named else unnamed),
        Step("/shop/practice", "Practice", f"{changed} of your own, the others as usual"),
        Step("/shop/operations", "Operations", f"{said} of {len(OPERATIONS)} timed"),
        Step("/shop/terms", "Money terms", f"{missing} not said yet" if missing else "said"),
        Step("/prices", "Prices", f"{price_store.count_prices(db)} in the price book"),
        Step("/stock", "Stock", f"{len(stock_store.load_stock(db))} in the shop"),
    )


def _terms_page(request: Request, typed: Mapping[str, str], problems: list[Problem] | None = None) -> Response:
    with reading(request) as db:
        terms = store.load_terms(db)
    year = _year(request.query_params)
    return page(
        request, "shop_terms", status=422 if problems or year.problems else 200, typed=typed, problems=problems or [],
        version=terms.version, asks=terms_forms, unsaid=terms.missing, caution=DEPOSIT_CAUTION, year=year,
        otherwise=otherwise_said(terms.profit), year_labels=terms_forms.YEAR_LABELS,
    )  # fmt: skip


def _year(query: Mapping[str, str]) -> YearPage:
    asked, problems = terms_forms.read_year(query)
    typed = {name: query.get(name, "") for name in terms_forms.YEAR_LABELS}
    return YearPage(typed, problems, overhead_rate(*asked) if asked else None)
