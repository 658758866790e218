"""The price book: list and search, adding, changing, and pasting a supplier's list."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import groupby

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from domain.figure import Figure
from domain.material import BASE_UNIT, Material, MaterialKind
from domain.practice import ShopPractice
from domain.price import Price
from domain.price_list import Listed, listed, one_of, unit_price
from domain.problem import Problem
from webapp import csv_text, desk
from webapp.conflict import conflict
from webapp.desk import Posted, reading, see_other, version_of, writing
from webapp.forms import material as material_forms
from webapp.forms import price as forms
from webapp.forms import price_list as list_forms
from webapp.forms.number import as_typed
from webapp.links import own_path
from webapp.render import page
from webapp.store import price as store
from webapp.store import shop
from webapp.store.form_key import leads_to
from webapp.store.rows import ChangedMeanwhile
from webapp.working import SHOP_PAGES

router = APIRouter()

HOME = "/prices"
MOST_SHOWN = 300
MOST_PREVIEWED = 100

COLUMNS = (
    "Kind", "Name", "Size", "Grade", "Description", "Supplier", "Package", "Holds", "Price", "Priced on", "Lead days",
    "Whole packages", "Taxed",
)  # fmt: skip


@dataclass(frozen=True)
class PriceLine:
    """A price in the list. each: of one base unit; is_old: longer ago than the shop lets a price stand."""

    price: Price
    each: Figure
    is_old: bool


@dataclass(frozen=True)
class SupplierPrices:
    supplier: str
    lines: tuple[PriceLine, ...]


@dataclass(frozen=True)
class KindPrices:
    ask: material_forms.MaterialAsk
    suppliers: tuple[SupplierPrices, ...]

    @property
    def one(self) -> str:
        """What the price of one unit is headed by: `Each`, `A sheet`."""
        return one_of(BASE_UNIT[self.ask.kind]).capitalize()


@dataclass(frozen=True)
class PricesPage:
    """kinds: prices found, by kind and supplier; found: how many there are, shown: of them; total: in the book."""

    kinds: tuple[KindPrices, ...]
    found: int
    shown: int
    total: int
    old: int
    words: str
    kind: MaterialKind | None


@dataclass(frozen=True)
class PriceFigures:
    """Figures of prices that can be opened. each: of one base unit, by the price's id."""

    each: Mapping[str, Figure]


def price_figures(db: Session, now: datetime) -> PriceFigures:
    return PriceFigures({str(price.id): unit_price(price) for price in store.load_price_book(db).prices})


SHOP_PAGES["prices"] = price_figures


def prices_page(db: Session, words: str, kind: MaterialKind | None, *, today: date) -> PricesPage:
    """Return the prices that hold every word, by kind and supplier. today: in the shop's zone, to tell old ones."""
    prices, found = store.search_prices(db, words, kind=kind, most=MOST_SHOWN)
    practice = shop.load_practice(db)
    kinds = tuple(
        KindPrices(ask, _by_supplier([price for price in prices if price.material.kind is one], practice, today))
        for one, ask in material_forms.asks().items()
        if any(price.material.kind is one for price in prices)
    )
    old = sum(line.is_old for each in kinds for supplier in each.suppliers for line in supplier.lines)
    return PricesPage(kinds, found, len(prices), store.count_prices(db), old, words, kind)


def _by_supplier(prices: Iterable[Price], practice: ShopPractice, today: date) -> tuple[SupplierPrices, ...]:
    ordered = sorted(prices, key=lambda price: (price.supplier.casefold(), price.material.key, price.id))
    return tuple(
        SupplierPrices(supplier, tuple(PriceLine(one, unit_price(one), one.is_old(today, practice)) for one in group))
        for supplier, group in groupby(ordered, key=lambda price: price.supplier)
    )


@router.get(HOME)
def show_prices(request: Request, words: str = "", kind: str = "") -> Response:
    with reading(request) as db:
        shown = prices_page(db, words[:200], material_forms.known_kind(kind), today=_today(request, db))
    return page(request, "prices", page=shown, asks=tuple(material_forms.asks().values()))


@router.get(f"{HOME}.csv")
def download_prices(request: Request) -> Response:
    with reading(request) as db:
        book = store.load_price_book(db)
    return csv_text.download("prices", COLUMNS, (csv_row(price) for price in book.prices))


def csv_row(price: Price) -> tuple[csv_text.Cell, ...]:
    """Return a price under COLUMNS."""
    material = price.material
    return (
        material.kind.value, material.name, material.size, material.grade, price.description, price.supplier,
        price.package, as_typed(price.package_quantity), price.package_price, price.priced_on.isoformat(),
        price.lead_time.days, "yes" if price.whole else "no", "yes" if price.taxed else "no",
    )  # fmt: skip


@router.get(f"{HOME}/new")
def new_price(request: Request, material: str = "", kind: str = "", back: str = "") -> Response:
    """Ask for the kind first, then for the price; a material in the address is ready to be priced."""
    wanted = material_forms.known_material(material)
    chosen = wanted.kind if wanted else material_forms.known_kind(kind)
    if chosen is None:
        return page(request, "price_kinds", asks=tuple(material_forms.asks().values()), back=own_path(back, ""))
    with reading(request) as db:
        typed = forms.blank(chosen, _today(request, db))
    return _form(request, typed | (_of(wanted) if wanted else {}) | {"back": back}, kind=chosen)


def _of(material: Material) -> dict[str, str]:
    return material_forms.fill(material)


@router.post(f"{HOME}/new")
def add_price(request: Request, posted: Posted) -> Response:
    with reading(request) as db:
        today = _today(request, db)
    price, problems = forms.read(posted, today=today)
    if price is None:
        return _form(request, posted, problems, kind=material_forms.known_kind(posted.get("kind", "")))
    with writing(request, f"Price of “{price.description}” from {price.supplier} added") as db:
        store.add_price(db, price)
        url = leads_to(db, own_path(posted.get("back", ""), HOME))
    return see_other(request, url)


@router.get(f"{HOME}/paste")
def show_paste(request: Request) -> Response:
    return _paste_page(request, {}, None)


@router.post(f"{HOME}/paste")
def paste_prices(request: Request, posted: Posted) -> Response:
    """Show what a pasted list would change; store it once that was looked at and confirmed."""
    with reading(request) as db:
        today = _today(request, db)
    pasted = list_forms.read(posted, today=today)
    if pasted.problem or not pasted.prices or posted.get("step") != "store":
        return _paste_page(request, posted, pasted)
    count, left = len(pasted.prices), len(pasted.wrong)
    words = f"{count:,} prices taken from a pasted list" + (f", {left:,} lines left out" if left else "")
    with writing(request, words) as db:
        found = listed(pasted.prices, store.load_price_book(db))
        store.save_price_list(db, (one.price for one in found if not one.is_same))
        leads_to(db, HOME)
    return see_other(request, HOME)


@router.get(f"{HOME}/{{price_id}}")
def edit_price(request: Request, price_id: int, back: str = "") -> Response:
    with reading(request) as db:
        price = store.load_price(db, price_id)
    return _form(request, forms.fill(price) | {"back": back}, price=price)


@router.post(f"{HOME}/{{price_id}}")
def save_price(request: Request, price_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        today, old = _today(request, db), store.load_price(db, price_id)
    typed = dict(posted) | {"kind": old.material.kind.value}
    price, problems = forms.read(typed, today=today, price_id=price_id, version=version_of(posted))
    if price is None:
        return _form(request, typed, problems, price=old)
    try:
        with writing(request, f"Price of “{price.description}” from {price.supplier} changed") as db:
            store.save_price(db, price)
            url = leads_to(db, own_path(posted.get("back", ""), HOME))
    except ChangedMeanwhile as changed:
        return conflict(request, changed, labels=forms.LABELS, stored=forms.fill(old), theirs=request.url.path)
    return see_other(request, url)


@router.post(f"{HOME}/{{price_id}}/checked")
def check_price(request: Request, price_id: int, posted: Posted) -> Response:
    """Note that a price was found right again today."""
    with reading(request) as db:
        price, today = store.load_price(db, price_id), _today(request, db)
    with writing(request, f"Price of “{price.description}” from {price.supplier} is right today") as db:
        store.save_price(db, replace(price, priced_on=today))
        url = leads_to(db, own_path(posted.get("back", ""), HOME))
    return see_other(request, url)


@router.post(f"{HOME}/{{price_id}}/remove")
def remove_price(request: Request, price_id: int, posted: Posted) -> Response:
    with reading(request) as db:
        price = store.load_price(db, price_id)
    with writing(request, f"Price of “{price.description}” from {price.supplier} removed") as db:
        store.remove_price(db, price_id, at=desk.now(request))
        leads_to(db, HOME)
    return see_other(request, HOME)


def _today(request: Request, db: Session) -> date:
    return shop.today(db, desk.now(request))


def _form(request: Request, typed: Mapping[str, str], problems: list[Problem] | None = None, *,
          kind: MaterialKind | None = None, price: Price | None = None) -> Response:  # fmt: skip
    kind = price.material.kind if price else kind or MaterialKind.OTHER
    with reading(request) as db:
        suppliers, today = store.load_suppliers(db), _today(request, db)
        is_old = price is not None and price.is_old(today, shop.load_practice(db))
    blank = dict.fromkeys(forms.blank(kind, today), "") | {"back": ""}
    kept = blank | dict(typed)
    return page(
        request, "price_form", status=422 if problems else 200, typed=kept | {"back": own_path(kept["back"], "")},
        problems=problems or [], price=price, ask=material_forms.asks()[kind], labels=forms.LABELS,
        suppliers=suppliers, is_old=is_old,
    )  # fmt: skip


def _paste_page(request: Request, typed: Mapping[str, str], pasted: list_forms.PastedList | None) -> Response:
    with reading(request) as db:
        found: tuple[Listed, ...] = listed(pasted.prices, store.load_price_book(db)) if pasted else ()
        suppliers = store.load_suppliers(db)
    problems = [pasted.problem] if pasted and pasted.problem else []
    changes = tuple(one for one in found if not one.is_same)
    wrong = pasted.wrong if pasted else ()
    counts = {
        "new": sum(one.replaces is None for one in changes),
        "replaced": sum(one.replaces is not None for one in changes),
        "same": len(found) - len(changes),
        "changes": len(changes),
        "more_changes": max(len(changes) - MOST_PREVIEWED, 0),
        "more_wrong": max(len(wrong) - MOST_PREVIEWED, 0),
    }
    return page(
        request, "price_paste", status=422 if problems else 200, problems=problems, counts=counts,
        typed={"text": "", "kind": "", "supplier": ""} | dict(typed), pasted=None if problems else pasted,
        changes=changes[:MOST_PREVIEWED], wrong=wrong[:MOST_PREVIEWED],
        asks=tuple(material_forms.asks().values()), suppliers=suppliers, most=list_forms.MOST_LINES, columns=COLUMNS,
    )  # fmt: skip
