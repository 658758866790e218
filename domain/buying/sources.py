"""What parts can be cut from: boards and sheets of the rack, and sizes for sale."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from domain.buying.shape import OnHand
from domain.figure import Figure, Rule, Unit
from domain.layout.shape import Source
from domain.length import ZERO, Length
from domain.lumber import board_feet, grade, grade_names
from domain.material import Material, MaterialKind
from domain.practice import COMMON, ShopPractice
from domain.price import PriceBook
from domain.rack import RackPiece, RackPlace, rough_thickness, to_use
from domain.sheet_goods import sheet_size

STEP = Length.feet(2)
"""Boards are sold in lengths two feet apart. Source: common practice, no source."""

BUY = "buy:"
"""How the key of a source begins that is a size for sale."""


@dataclass(frozen=True, slots=True)
class Stock:
    """A source of a layout with what it is: its real size, trims and all, how much it is and what it is bought as."""

    source: Source
    title: str
    material: Material
    width: Length
    length: Length
    quantity: Figure
    piece: RackPiece | None = None


@dataclass(frozen=True, slots=True)
class Offered:
    """What can be cut in one round. unit: of the costs, which are to be kept small."""

    stocks: tuple[Stock, ...]
    unit: Unit

    @property
    def sources(self) -> tuple[Source, ...]:
        return tuple(one.source for one in self.stocks)


def listed(material: Material, on_hand: OnHand, practice: ShopPractice, *, own_only: bool = False) -> Offered:
    """Return the boards and sheets of the rack that a job may cut for a material; those in the shop cost nothing.

    own_only: of those at the yard, just what is set aside for this job. Those at the yard cost what they are priced
    at; when nobody has said that of one of them, they all count by size.
    """
    found = tuple(to_use(on_hand.rack, material, job_id=on_hand.job_id))
    if own_only:
        found = tuple(one for one in found if one.place is RackPlace.SHOP or one.set_aside_for == on_hand.job_id)
    stocks = [stock for one in found if (stock := rack_stock(one, practice))]
    at_yard = {one.source.key: one for one in stocks if one.piece and one.piece.place is RackPlace.YARD}
    prices = {key: _price_of(one, on_hand.prices) for key, one in at_yard.items()}
    in_money = bool(prices) and None not in prices.values()
    costs = prices if in_money else {key: one.quantity.value for key, one in at_yard.items()}
    priced = (replace(one, source=replace(one.source, cost=costs.get(one.source.key) or Fraction(0))) for one in stocks)
    return Offered(tuple(priced), Unit.DOLLAR if in_money else material.unit)


def rack_stock(piece: RackPiece, practice: ShopPractice) -> Stock | None:
    """Return one piece of the rack, at no cost; None when trimming its ends leaves nothing of it."""
    length = piece.length
    if piece.material.kind is MaterialKind.LUMBER and piece.offcut_of is None:
        length -= 2 * practice.length("board_end_trim")
    if length <= ZERO:
        return None
    source = Source(piece.key, piece.width, length, Fraction(0), 1)
    return Stock(source, piece.title, piece.material, piece.width, piece.length, piece.quantity(practice), piece)


def _price_of(stock: Stock, prices: PriceBook) -> Fraction | None:
    """Return what a board or sheet of the rack costs [$], by its own price or the price book's; None without one."""
    piece = stock.piece
    own = piece.price.dollars if piece and piece.price else None
    if own is not None and stock.material.kind is MaterialKind.SHEET:
        return own
    each = own if own is not None else _lowest_price(stock.material, prices)
    return None if each is None else each * stock.quantity.value


def _lowest_price(material: Material, prices: PriceBook) -> Fraction | None:
    """Return the lowest price of a base unit of a material [$], None when it has none."""
    return min((price.unit_price for price in prices.of(material)), default=None)


def for_sale(material: Material, on_hand: OnHand, practice: ShopPractice) -> Offered:
    """Return the sizes a material can be bought in, as many as wanted."""
    if material.kind is MaterialKind.SHEET:
        return _sheets(material, on_hand.prices, practice)
    return Offered(tuple(_boards(material, practice)), Unit.BOARD_FOOT)


def _boards(material: Material, practice: ShopPractice) -> Iterator[Stock]:
    """Yield the boards usually sold of a wood, in whole inches of width and steps of length; their cost is in [bf].

    Widths and lengths are the shop's, and at least what the grade asks for.
    """
    narrowest, widest = practice.length("board_narrowest"), practice.length("board_widest")
    shortest, longest = practice.length("board_shortest"), practice.length("board_longest")
    if material.grade in grade_names():
        asked = grade(material.grade)
        narrowest, shortest = max(narrowest, asked.least_width), max(shortest, asked.least_length)
    thick, trim = rough_thickness(material, practice), practice.length("board_end_trim")
    for width in _steps(narrowest, widest, Length.of(1)):
        for length in _steps(shortest, longest, STEP):
            sizes = _usual("Width", width), _usual("Length", length)
            feet = board_feet(thick, *sizes, label=_board_title(width, length))
            source = Source(f"{BUY}{width.exact()}x{length.exact()}", width, length - 2 * trim, feet.value)
            yield Stock(source, _board_title(width, length), material, width, length, feet)


def _usual(label: str, size: Length) -> Figure:
    rule = Rule("a size usually sold, as set in Practice", COMMON, "practice:board_narrowest")
    return Figure(label, size.inches, Unit.INCH, rule)


def _steps(least: Length, most: Length, step: Length) -> Iterator[Length]:
    """Yield sizes from the least in steps up to the most; at least the least."""
    size = least
    yield size
    while (size := size + step) <= most:
        yield size


def _board_title(width: Length, length: Length) -> str:
    feet, inches = divmod(length.inches, 12)
    long = f"{feet} ft" if not inches else f"{feet} ft {Length(inches).exact()} in"
    return f"{width.exact()} in × {long}"


def _sheets(material: Material, prices: PriceBook, practice: ShopPractice) -> Offered:
    """Return the sheet sizes of a material: one is counted, several are weighed by price, else by area."""
    offered = _sizes_offered(material, prices)
    sizes = [_size_of_sheet(each, practice) for each in offered]
    priced = [cost for each in offered if (cost := _lowest_price(each, prices))]
    if len(offered) == 1:
        unit, worth = Unit.SHEET, [Fraction(1)]
    elif len(priced) == len(offered):
        unit, worth = Unit.DOLLAR, priced
    else:
        unit, worth = Unit.SQUARE_FOOT, [width.inches * length.inches / 144 for width, length in sizes]
    stocks = (_sheet(*one, practice) for one in zip(offered, sizes, worth, strict=True))
    return Offered(tuple(one for one in stocks if one), unit)


def _sheet(material: Material, size: tuple[Length, Length], worth: Fraction, practice: ShopPractice) -> Stock | None:
    """Return a sheet size for sale; None when trimming its edges leaves nothing of it."""
    trim, (width, length) = practice.length("sheet_trim"), size
    if min(size) <= 2 * trim:
        return None
    title = f"{width.exact()} × {length.exact()} in"
    source = Source(f"{BUY}{material.key}", width - 2 * trim, length - 2 * trim, worth)
    return Stock(
        source, title, material, width, length, Figure(title, Fraction(1), Unit.SHEET, Rule("one sheet", "as sold"))
    )


def _sizes_offered(material: Material, prices: PriceBook) -> Sequence[Material]:
    """Return a sheet material as it is bought: in its usual size, then in every other size of the price book.

    Only those with a price, unless none has one.
    """
    wanted = (material.kind, material.name, material.size)
    alike = (each for each in prices.materials if (each.kind, each.name, each.size) == wanted)
    return sorted(alike, key=lambda each: each.grade) or [material]


def _size_of_sheet(material: Material, practice: ShopPractice) -> tuple[Length, Length]:
    """Return width and length of a sheet as bought: those of its grade, such as `60 x 60`, or the shop's usual ones."""
    width, sign, length = material.grade.partition("x")
    if sign:
        try:
            return Length.parse(width.strip()), Length.parse(length.strip())
        except ValueError:
            pass
    usual = sheet_size(material, practice)
    return usual.width.length, usual.length.length
