"""Woods side by side: what one asks about before choosing, each figure with its source, the unknown said so."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from domain.figure import Figure, Rule, Unit
from domain.material import MaterialKind
from domain.price import Price, PriceBook
from domain.price_list import unit_price
from domain.season import Seasons
from domain.wood import Cut, Species, movement, species, weight_per_board_foot

FEWEST, MOST = 2, 6
"""Woods that can be compared at once; more no page holds side by side."""

WATER = (
    "The table holds nothing on how woods stand water. Indoors the finish keeps water off: how each stands up to it is "
    "in the handbook. Outdoors or by a sink, ask for a wood known to last there."
)


@dataclass(frozen=True, slots=True)
class BoardPrice:
    """What a board foot costs in one thickness and grade, at the cheapest supplier of the price book."""

    grade: str
    a_board_foot: Figure
    price: Price


@dataclass(frozen=True, slots=True)
class Wood:
    """One wood as it is compared; None or empty: not known.

    flat, quarter: how far the width asked about moves between the shop's driest season and its dampest [in];
    prices: by rough thickness.
    """

    species: Species
    hardness: Figure | None
    weight: Figure | None
    flat: Figure | None
    quarter: Figure | None
    light: str
    prices: Mapping[str, tuple[BoardPrice, ...]]


@dataclass(frozen=True, slots=True)
class WoodChoice:
    """woods: in the order asked; width: across the grain [in]; thicknesses: that the price book has of any of them."""

    woods: tuple[Wood, ...]
    width: Figure
    seasons: Seasons
    thicknesses: tuple[str, ...]


def wood_choice(names: Sequence[str], width: Figure, seasons: Seasons, book: PriceBook) -> WoodChoice:
    """Return woods side by side. width: of the face whose movement is compared [in].

    Raises KeyError for a wood that is not in the table, ValueError for too few or too many.
    """
    if not FEWEST <= len(names) <= MOST:
        raise ValueError(f"{FEWEST} to {MOST} woods stand side by side, not {len(names)}")
    woods = tuple(_wood(species(name), width, seasons, book) for name in names)
    found = {thickness for wood in woods for thickness in wood.prices}
    return WoodChoice(woods, width, seasons, tuple(sorted(found, key=_thick)))


def _wood(wood: Species, width: Figure, seasons: Seasons, book: PriceBook) -> Wood:
    flat, quarter = (movement(wood, cut, width, seasons.driest, seasons.dampest) for cut in (Cut.FLAT, Cut.QUARTER))
    return Wood(
        wood, _hardness(wood), weight_per_board_foot(wood.name), flat, quarter, wood.in_light, _prices(wood, book)
    )


def _hardness(wood: Species) -> Figure | None:
    if wood.hardness is None:
        return None
    rule = Rule("force that presses a steel ball halfway into its side, at 12 % moisture", wood.source, wood.where)
    return Figure(f"Side hardness of {wood.name}", wood.hardness, Unit.POUND_FORCE, rule)


def _prices(wood: Species, book: PriceBook) -> Mapping[str, tuple[BoardPrice, ...]]:
    """Return the cheapest offer of each thickness and grade, the dearest grade first."""
    found: dict[str, list[BoardPrice]] = {}
    for material in book.materials:
        if material.kind is MaterialKind.LUMBER and material.name == wood.name:
            cheapest = min(book.of(material), key=lambda price: (price.unit_price, price.id))
            found.setdefault(material.size, []).append(BoardPrice(material.grade, unit_price(cheapest), cheapest))
    return {size: tuple(sorted(prices, key=_dearest_first)) for size, prices in found.items()}


def _dearest_first(price: BoardPrice) -> tuple[Fraction, str]:
    return -price.a_board_foot.value, price.grade


def _thick(size: str) -> Fraction:
    """Return a rough thickness as a number; a size that is none comes last."""
    try:
        return Fraction(size)
    except ValueError:
        return Fraction(1000)


def sources(woods: Iterable[Wood]) -> Iterator[tuple[str, str]]:
    """Yield each source with the woods it speaks for, in the order of the woods."""
    found: dict[str, list[str]] = {}
    for wood in woods:
        found.setdefault(wood.species.source, []).append(wood.species.name)
    for source, names in found.items():
        yield source, ", ".join(names)
