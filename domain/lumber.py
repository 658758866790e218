"""Board feet, surface measure, rough size from finished size, and what to buy for a net quantity."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from itertools import cycle
from math import floor

from domain.data import rows
from domain.exact import product
from domain.figure import Figure, Rule, Unit, add_up, count, together, typed
from domain.length import Length
from domain.part import Part
from domain.practice import ShopPractice
from domain.problem import Problem
from domain.wood import find_species

MEASURE = "American Hardwood Export Council, public grading guide, Measurement page (restates the NHLA rules)"
HALVES = "NHLA rules of measurement, measurement and tally section; from memory"

_BOARD_FEET = Rule("thickness × width × length ÷ 144, under 1 in thick counted as 1 in", MEASURE)
_BOARD_FEET_EACH = Rule("pieces × thickness × width × length ÷ 144, under 1 in thick counted as 1 in", MEASURE)
_ROUGH_WIDTH = Rule("finished width + 2 × left on each edge + one saw kerf")
_ROUGH_LENGTH = Rule("finished length + left on the length + one saw kerf")
_ROUGH_LENGTH_EXTRA = Rule("finished length + extra until the last cut + left on the length + one saw kerf")


@dataclass(frozen=True, slots=True)
class Quarter:
    """A rough thickness sold. name: `8/4`; rough: what is paid for; dressed: what planing leaves [in]."""

    name: str
    rough: Length
    dressed: Figure


@dataclass(frozen=True, slots=True)
class RoughSize:
    """What is bought for one part. quarter: name of the rough thickness, `8/4`; the figures in inches."""

    quarter: str
    thickness: Figure
    width: Figure
    length: Figure


@lru_cache(maxsize=64)
def quarters(practice: ShopPractice) -> tuple[Quarter, ...]:
    """Return the rough thicknesses the shop buys, thinnest first.

    Source: dressed thickness from data/thickness.csv, which a shop may change; zero means not bought.
    """
    found = (Quarter(name, rough, practice.figure(key)) for name, rough, key in _thicknesses())
    return tuple(quarter for quarter in found if quarter.dressed.value > 0)


@cache
def _thicknesses() -> tuple[tuple[str, Length, str], ...]:
    """Return name, rough thickness and practice key of each, thinnest first."""
    return tuple(
        (row["quarter"], Length.of(row["rough_in"]), f"dressed_{row['quarter'].replace('/', '_')}")
        for row in rows("thickness.csv")
    )


@lru_cache(maxsize=1024)
def quarter_for(finished: Length, practice: ShopPractice) -> Quarter | Problem:
    """Return the thinnest stock that can be dressed to a finished thickness, or what would work instead."""
    needed = finished.inches + 2 * practice.value("thickness_per_face")
    for quarter in quarters(practice):
        if quarter.dressed.value >= needed:
            return quarter
    return Problem(
        "thickness",
        f"No stock you buy can be dressed to {finished.tape()}. Glue it up from thinner layers, or set the "
        "dressed thickness of thicker stock in Practice.",
    )


def rough_size(part: Part, practice: ShopPractice, *, where: str = "") -> RoughSize | Problem:
    """Return the rough size for one of a lumber part, its extra length included, or why no stock gives it.

    The material's size names the stock, such as `8/4`; when it is empty the thinnest that serves is taken.
    where: address of the piece's sizes, such as `piece:7`.
    """
    quarter = stock(part.name, part.thickness, part.material.size, practice)
    if isinstance(quarter, Problem):
        return quarter
    thickness, width, length, *extra = _sizes_of(part, where)
    return RoughSize(
        quarter.name,
        _rough_thickness(quarter, thickness, practice),
        _rough_width(width, practice),
        _rough_length(length, extra[0] if extra else None, practice),
    )


def _sizes_of(part: Part, where: str) -> tuple[Figure, ...]:
    """Return thickness, width, length and any extra length, with the working the part keeps of them."""
    known = (
        ("Finished thickness", part.thickness),
        ("Finished width", part.width),
        ("Finished length", part.length),
        *((("Extra length until the last cut", part.extra_length),) if part.extra_length.inches else ()),
    )
    rest = (typed(label, size, where=where) for label, size in known[len(part.sizes) :])
    return (*part.sizes, *rest)


def stock(name: str, finished: Length, size: str, practice: ShopPractice) -> Quarter | Problem:
    """Return the rough stock for a part, or why there is none. size: `8/4`, empty for the thinnest that serves."""
    if not size:
        return quarter_for(finished, practice)
    bought = quarters(practice)
    quarter = next((quarter for quarter in bought if quarter.name == size), None)
    if quarter is None:
        names = ", ".join(quarter.name for quarter in bought)
        return Problem("material", f"{name}: “{size}” is not stock you buy. Try {names}.")
    if quarter.dressed.value < finished.inches + 2 * practice.value("thickness_per_face"):
        return Problem(
            "thickness",
            f"{name}: {quarter.name} dresses to {quarter.dressed.length.tape()}, too thin for "
            f"{finished.tape()}. Choose thicker stock or a thinner part.",
        )
    return quarter


def _rough_thickness(quarter: Quarter, finished: Figure, practice: ShopPractice) -> Figure:
    words = f"{quarter.name}: rough stock that can be dressed to the finished thickness"
    came_from = (finished, practice.figure("thickness_per_face"), quarter.dressed)
    return Figure("Rough thickness", quarter.rough.inches, Unit.INCH, Rule(words), came_from)


def _rough_width(finished: Figure, practice: ShopPractice) -> Figure:
    edge, kerf = practice.figure("width_per_edge"), practice.figure("kerf")
    width = finished.value + 2 * edge.value + kerf.value
    return Figure("Rough width", width, Unit.INCH, _ROUGH_WIDTH, (finished, edge, kerf))


def _rough_length(finished: Figure, later: Figure | None, practice: ShopPractice) -> Figure:
    left, kerf = practice.figure("length_per_part"), practice.figure("kerf")
    length = finished.value + left.value + kerf.value
    if later is None:
        return Figure("Rough length", length, Unit.INCH, _ROUGH_LENGTH, (finished, left, kerf))
    came_from = (finished, later, left, kerf)
    return Figure("Rough length", length + later.value, Unit.INCH, _ROUGH_LENGTH_EXTRA, came_from)


def board_feet(
    thickness: Figure, width: Figure, length: Figure, pieces: Figure | None = None, *, label: str = "Board feet"
) -> Figure:
    """Return the exact board measure of rough stock [bf]: T × W × L ÷ 144, under 1 in thick counted as 1 in.

    thickness, width, length: rough sizes [in]; pieces: how many alike, one when None.
    Raises ValueError for a size or count that is not positive.
    Source: American Hardwood Export Council, public grading guide, Measurement page (rules R1, R2).
    """
    sizes = (thickness, width, length) if pieces is None else (pieces, thickness, width, length)
    for size in sizes:
        if size.value <= 0:
            raise ValueError(f"{size.label} must be more than zero, not {size.value} {size.unit.value}".strip())
    many, thick = pieces.value if pieces else 1, max(thickness.value, Fraction(1))
    value = product(many, thick, width.value, length.value, over=144)
    return Figure(label, value, Unit.BOARD_FOOT, _BOARD_FEET_EACH if pieces else _BOARD_FEET, sizes)


def _rounding() -> Callable[[Fraction], int]:
    """Return a rounding to whole numbers in which successive exact halves go down and up by turns."""
    halves = cycle((0, 1))

    def rounded(exact: Fraction) -> int:
        whole, part = divmod(exact, 1)
        return int(whole) + (next(halves) if part == Fraction(1, 2) else int(part > Fraction(1, 2)))

    return rounded


def surface_measure(boards: Iterable[tuple[Length, Length]]) -> tuple[int, ...]:
    """Return the surface measure of each board [whole ft²]; exact halves go down and up by turns.

    boards: (width, length) of each; parts of a foot of length are dropped.
    Raises ValueError for a size that is not positive.
    Source: American Hardwood Export Council grading guide, Measurement page (R3, R4); halves NHLA (R5).
    """
    rounded = _rounding()
    return tuple(rounded(width.inches * floor(length.in_feet) / 12) for width, length in _checked(boards))


def _checked(boards: Iterable[tuple[Length, Length]]) -> Iterator[tuple[Length, Length]]:
    for width, length in boards:
        if width.inches <= 0 or length.inches <= 0:
            raise ValueError(f"a board is wider and longer than zero, not {width.tape()} by {length.tape()}")
        yield width, length


def _measured(boards: Sequence[tuple[Length, Length]]) -> Iterator[Figure]:
    words = "width × whole feet of length ÷ 12, to the nearest foot, exact halves down and up by turns"
    rule = Rule(words, f"{MEASURE}; halves {HALVES}")
    for number, (board, measured) in enumerate(zip(boards, surface_measure(boards), strict=True), start=1):
        sizes = (typed("Width", board[0]), typed("Length", board[1]))
        label = f"Surface measure of board {number}"
        yield Figure(label, Fraction(measured), Unit.SQUARE_FOOT, rule, sizes)


def tally(boards: Iterable[tuple[Length, Length]], thickness: Length) -> Figure:
    """Return the board feet of a board tally [bf]: surface measure × thickness, under 1 in counted as 1 in.

    boards: (width, length) of each; thickness: rough. Raises ValueError for a size that is not positive.
    Source: American Hardwood Export Council grading guide, Measurement page (R7).
    """
    if thickness.inches <= 0:
        raise ValueError(f"a board is thicker than zero, not {thickness.tape()}")
    measured = add_up("Surface measure", _measured(tuple(boards)), Unit.SQUARE_FOOT)
    words = "surface measure × rough thickness, under 1 in thick counted as 1 in"
    feet = measured.value * max(thickness.inches, Fraction(1))
    came_from = (measured, typed("Rough thickness", thickness))
    return Figure("Board feet by tally", feet, Unit.BOARD_FOOT, Rule(words, MEASURE), came_from)


def bundle_tally(boards: Iterable[tuple[Length, Length]]) -> Figure:
    """Return the area of a bundle tallied by width [ft²].

    boards: (width, length) of each. Widths go to the nearest inch, exact halves down and up by turns;
    lengths down to the whole foot. Raises ValueError for a size that is not positive.
    Source: American Hardwood Export Council grading guide, Measurement page (R6).
    """
    rounded = _rounding()
    tallied = (
        _bundled(rounded(width.inches), floor(length.in_feet), width, length) for width, length in _checked(boards)
    )
    return add_up("Bundle tally", tallied, Unit.SQUARE_FOOT)


def _bundled(inches: int, feet: int, width: Length, length: Length) -> Figure:
    rule = Rule("width to the nearest inch × whole feet of length ÷ 12", MEASURE)
    sizes = (typed("Width", width), typed("Length", length))
    return Figure(f"{inches} in by {feet} ft", Fraction(inches * feet, 12), Unit.SQUARE_FOOT, rule, sizes)


@dataclass(frozen=True, slots=True)
class AddOn:
    """Extra stock as a share of the net quantity: gross = net × (1 + share).

    share: a figure in SHARE. Raises ValueError for another unit or a negative share.
    """

    share: Figure

    def __post_init__(self) -> None:
        _check(self.share, "an add-on is at least 0 %", self.share.value >= 0)


@dataclass(frozen=True, slots=True)
class WasteShare:
    """Waste as a share of what is bought: gross = net ÷ (1 − share).

    share: a figure in SHARE. Raises ValueError for another unit, or a share outside 0 to below 100 %.
    """

    share: Figure

    def __post_init__(self) -> None:
        _check(self.share, "a waste share is at least 0 % and below 100 %", 0 <= self.share.value < 1)


@dataclass(frozen=True, slots=True)
class GradeYield:
    """Usable share of what is bought, as in lumber grades: gross = net ÷ share.

    share: a figure in SHARE. Raises ValueError for another unit, or a share outside above 0 to 100 %.
    """

    share: Figure

    def __post_init__(self) -> None:
        _check(self.share, "a yield is above 0 % and at most 100 %", 0 < self.share.value <= 1)


Extra = AddOn | WasteShare | GradeYield


def _check(share: Figure, words: str, holds: bool) -> None:
    if share.unit is not Unit.SHARE or not holds:
        raise ValueError(f"{words}, not {share.value} {share.unit.value}")


def gross(net: Figure, extra: Extra) -> Figure:
    """Return what to buy for a net quantity, in the same unit, the words saying which percentage it is."""
    share = extra.share.value
    match extra:
        case AddOn():
            value, words = net.value * (1 + share), "net × (1 + add-on): the percentage is of the net quantity"
        case WasteShare():
            value, words = net.value / (1 - share), "net ÷ (1 − waste): the percentage is of what is bought"
        case GradeYield():
            value, words = net.value / share, "net ÷ yield: the percentage is the usable part of what is bought"
    return Figure(f"{net.label} to buy", value, net.unit, Rule(words), (net, extra.share))


def usual_extra(species: str, grade: str, practice: ShopPractice) -> AddOn:
    """Return the shop's usual add-on for a species and grade, as one share of the net quantity.

    Source: each addition names its own; furniture-making textbook and magazine reader service.
    """
    known = find_species(species)
    keys = ["softwood_add_on" if known and known.is_softwood else "hardwood_add_on"]
    if any(name in species.casefold() for name in ("walnut", "cherry")):
        keys.append("sapwood_add_on")
    if grade.startswith("No."):
        keys.append("common_add_on")
    return AddOn(together("Added to net", (practice.figure(key) for key in keys), Unit.SHARE))


@dataclass(frozen=True, slots=True)
class Grade:
    """A hardwood grade of data/grades.csv. units_per_foot: cutting units asked of each foot of surface measure.

    A cutting unit is 1 in by 1 ft, 12 of them to a square foot. cuttings: how the number allowed is found.
    """

    name: str
    least_width: Length
    least_length: Length
    cutting_sizes: str
    units_per_foot: int
    cuttings: str
    most_cuttings: int | None
    quality: str
    face: str
    notes: str
    source: str


@cache
def _grades() -> dict[str, Grade]:
    return {row["grade"]: _grade(row) for row in rows("grades.csv")}


def _grade(row: Mapping[str, str]) -> Grade:
    units = int(row["cutting_units_required"].removeprefix("SM x ").split()[0])
    return Grade(
        row["grade"],
        Length.of(row["min_board_width_in"]),
        Length.feet(row["min_board_length_ft"]),
        row["min_cutting_sizes"],
        units,
        row["cuttings_allowed_formula"],
        int(row["cuttings_max"]) if row["cuttings_max"] else None,
        row["cutting_quality"],
        row["face_graded"],
        row["notes"],
        f"{row['source']}, {row['source_locator']}; {row['confidence']}",
    )


def grade_names() -> tuple[str, ...]:
    """Return the names of the grades, best first."""
    return tuple(_grades())


def grade(name: str) -> Grade:
    """Return a grade such as `FAS`. Raises KeyError for an unknown one."""
    return _grades()[name]


@cache
def grade_yield(name: str) -> GradeYield:
    """Return the least clear-face yield of a grade such as `FAS`. Raises KeyError for an unknown grade."""
    found = grade(name)
    words = "cutting units asked ÷ 12 in a square foot; a least clear area, not what parts yield"
    rule = Rule(words, found.source)
    return GradeYield(Figure(f"Yield of {name}", Fraction(found.units_per_foot, 12), Unit.SHARE, rule))


SMALL_BOARDS = {
    ("Selects", 2): (11, 1),
    ("Selects", 3): (11, 1),
    ("No. 1 Common", 1): (12, 1),
    ("No. 1 Common", 2): (9, 1),
    ("No. 2A Common", 1): (8, 1),
    ("No. 2B Common", 1): (8, 1),
}
"""Cutting units per foot and cuttings of boards too small for the usual rule, by grade and surface measure.

Source: NHLA grade chart as published by AHEC and by a lumber distributor; No. 2B follows No. 2A.
"""


def cutting_units(name: str, measured: int) -> tuple[Figure, Figure | None]:
    """Return the cutting units a board of a surface measure must give, and in how many cuttings at most.

    name: a grade; measured: surface measure [ft²]. The cuttings are None where the rule does not limit them.
    Raises KeyError for an unknown grade, ValueError for a board too small for the grade.
    """
    found = grade(name)
    per_foot, allowed = SMALL_BOARDS.get((name, measured), (found.units_per_foot, _cuttings(found, measured)))
    if measured < 1 or allowed == 0:
        raise ValueError(f"a board of {measured} ft² surface measure is too small for {name}")
    board = count("Surface measure", measured, "measured")
    rule = Rule(f"surface measure × {per_foot}", found.source)
    units = Figure("Cutting units", Fraction(measured * per_foot), Unit.EACH, rule, (board,))
    if allowed is None:
        return units, None
    rule = Rule(f"{found.cuttings}, at most {found.most_cuttings}", found.source)
    return units, Figure("Cuttings allowed", Fraction(allowed), Unit.EACH, rule, (board,))


def _cuttings(found: Grade, measured: int) -> int | None:
    """Return how many cuttings a grade allows a board, None without limit."""
    if found.most_cuttings is None:
        return None
    added, divisor = (1, 3) if "(SM + 1) / 3" in found.cuttings else (0, 4 if "SM / 4" in found.cuttings else 2)
    return min((measured + added) // divisor, found.most_cuttings)
