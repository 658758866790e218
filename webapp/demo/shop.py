"""The demo's shop: who it is, when it is open, what things cost it. All of it is invented, the prices too."""

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from fractions import Fraction

from sqlmodel import Session

from domain.hours import usual_week
from domain.length import Length
from domain.material import Material, MaterialKind
from domain.money import Money
from domain.operation import starting_times
from domain.price import Margin, Price
from domain.shop import ClampsOf, Shop
from domain.stock import StockItem
from domain.take_off import WasteChoice, WasteMethod
from domain.terms import OverheadBase, TaxBase, Terms
from webapp.store import shop as store
from webapp.store.price import add_price
from webapp.store.stock import add_stock_item

SHOP = Shop(
    name="Sample Street Cabinets (invented)",
    address="4 Sample Lane, Exampleton",
    phone="555 0142",
    email="bench@cabinets.example",
    licence="Licence 00000 (invented)",
    zone="America/New_York",
    hands=2,
    clamps=24,
    benches=2,
    clamps_of=(ClampsOf(Length.parse("36"), 16), ClampsOf(Length.parse("50"), 8)),
    dry_places=8,
    region="US-NY",
)

TERMS = Terms(
    shop_rate=Money.parse("68"),
    overhead=Fraction(19),
    overhead_base=OverheadBase.LABOUR_HOURS,
    contingency=Fraction(5, 100),
    profit=Margin(Fraction(18, 100)),
    tax=Fraction(625, 10_000),
    tax_base=TaxBase.MATERIALS,
    round_to=Money.parse("5"),
    waste=WasteChoice(WasteMethod.LAYOUT),
)

YARD, PANELS, COATINGS, FITTINGS = (
    "Sample yard (invented)",
    "Sample panels (invented)",
    "Sample coatings (invented)",
    "Sample fittings (invented)",
)
LEAD = {YARD: timedelta(days=6), PANELS: timedelta(days=3), COATINGS: timedelta(days=4), FITTINGS: timedelta(days=9)}

_LUMBER = (
    ("Black cherry", "4/4", "6.10"), ("Black cherry", "8/4", "8.45"), ("White ash", "4/4", "4.70"),
    ("White ash", "5/4", "5.35"), ("Hard maple (sugar maple)", "8/4", "6.95"), ("White oak", "8/4", "9.80"),
    ("White oak", "4/4", "7.40"),
)  # fmt: skip
_SHEETS = (
    ("birch plywood", "1/4", "31"), ("birch plywood", "1/2", "58"), ("fir plywood", "1/2", "44"),
    ("maple plywood", "1/4", "46"), ("maple plywood", "3/4", "104"),
)  # fmt: skip
_GLUE = "PVA cross-linking, water resistant"
_PACKAGES = (
    (MaterialKind.GLUE, _GLUE, "", "16 fl oz bottle", 16, "9.75", COATINGS),
    (MaterialKind.GLUE, _GLUE, "", "1 gal jug", 128, "38", COATINGS),
    (MaterialKind.FINISH, "Hardwax oil", "", "1 qt can", Fraction(1, 4), "64", COATINGS),
    (MaterialKind.FINISH, "Waterborne polyurethane", "", "1 qt can", Fraction(1, 4), "29", COATINGS),
    (MaterialKind.FINISH, "Waterborne polyurethane", "", "1 gal can", 1, "88", COATINGS),
    (MaterialKind.FINISH, "Oil-modified polyurethane", "", "1 qt can", Fraction(1, 4), "22", COATINGS),
    (MaterialKind.FASTENER, "biscuit", "#20", "box of 250", 250, "14.50", FITTINGS),
    (MaterialKind.FASTENER, "wood screw", "#6 x 1", "box of 100", 100, "6.20", FITTINGS),
    (MaterialKind.FASTENER, "wood screw", "#6 x 1 1/4", "box of 100", 100, "6.60", FITTINGS),
    (MaterialKind.FASTENER, "wood screw", "#8 x 1 1/4", "box of 100", 100, "7.40", FITTINGS),
    (MaterialKind.FASTENER, "wood screw", "#8 x 1 1/2", "box of 100", 100, "7.90", FITTINGS),
    (MaterialKind.FASTENER, "wood screw", "#8 x 2", "box of 100", 100, "8.80", FITTINGS),
    (MaterialKind.FASTENER, "wood screw", "#8 x 2 1/2", "box of 50", 50, "6.90", FITTINGS),
    (MaterialKind.EDGE_STRIP, "maple edge strip", "7/8", "roll of 250 ft", 250, "42", PANELS),
    (MaterialKind.ABRASIVE, "sanding disc", "120", "box of 50", 50, "23", COATINGS),
    (MaterialKind.ABRASIVE, "sanding disc", "150", "box of 50", 50, "23", COATINGS),
    (MaterialKind.ABRASIVE, "sanding disc", "180", "box of 50", 50, "23", COATINGS),
    (MaterialKind.ABRASIVE, "scuffing sheet", "320", "pack of 25", 25, "17", COATINGS),
    (MaterialKind.HARDWARE, "concealed hinge", "", "each", 1, "4.10", FITTINGS),
    (MaterialKind.HARDWARE, "drawer slide pair, side-mounted", "16", "pair", 1, "17.40", FITTINGS),
    (MaterialKind.HARDWARE, "drawer slide pair, side-mounted", "22", "pair", 1, "21.60", FITTINGS),
    (MaterialKind.HARDWARE, "pull", "", "each", 1, "8.25", FITTINGS),
    (MaterialKind.HARDWARE, "shelf pin", "", "bag of 50", 50, "5.50", FITTINGS),
)


def prices(on: date) -> Iterator[Price]:
    """Yield the demo's price book; lumber was priced a while ago, one price is old."""
    for name, quarter, dollars in _LUMBER:
        lumber = Material(MaterialKind.LUMBER, name, quarter, "FAS")
        age = timedelta(days=120 if name == "White oak" else 20)
        yield _price(lumber, "board foot", Fraction(1), dollars, YARD, on - age, whole=False)
    for name, thickness, dollars in _SHEETS:
        sheet = Material(MaterialKind.SHEET, name, thickness)
        yield _price(sheet, "sheet", Fraction(1), dollars, PANELS, on - timedelta(days=9))
    for kind, name, size, package, quantity, dollars, supplier in _PACKAGES:
        thing = Material(kind, name, size)
        yield _price(thing, package, Fraction(quantity), dollars, supplier, on - timedelta(days=30))


def _price(material: Material, package: str, quantity: Fraction, dollars: str, supplier: str, on: date, *,
           whole: bool = True) -> Price:  # fmt: skip
    return Price(
        id=0, material=material, description="", supplier=supplier, package=package, package_quantity=quantity,
        package_price=Money.parse(dollars), priced_on=on, lead_time=LEAD[supplier], whole=whole, taxed=True,
    )  # fmt: skip


def add_shop(db: Session, *, at: datetime) -> None:
    """Set up the shop: profile, hours, terms, times of operations, prices and a little stock."""
    store.save_shop(db, SHOP, version=store.load_version(db))
    store.save_terms(db, TERMS, version=store.load_version(db))
    store.add_hours(db, usual_week())
    store.add_starting_times(db, starting_times())
    for price in prices(SHOP.day_of(at)):
        add_price(db, price)
    biscuits, discs = (
        Material(MaterialKind.FASTENER, "biscuit", "#20"),
        Material(MaterialKind.ABRASIVE, "sanding disc", "120"),
    )
    add_stock_item(db, StockItem(0, biscuits, Fraction(180), note="open box"))
    add_stock_item(db, StockItem(0, discs, Fraction(30)))
