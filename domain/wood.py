"""Species, equilibrium moisture content, movement across the grain, and weight."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache

from domain.data import number, rows
from domain.exact import product
from domain.figure import Figure, Rule, Unit, typed

EMC_SOURCE = "US Forest Service, Wood Handbook (FPL-GTR-282, 2021), Eq. 4-5; behind Table 4-2 of the 2010 edition"
MOVEMENT_SOURCE = "US Forest Service, Wood Handbook (FPL-GTR-190, 2010), ch. 13, Table 13-5"
SHRINKAGE_SOURCE = "US Forest Service, Wood Handbook (FPL-GTR-282, 2021), Eq. 4-9"
DENSITY_SOURCE = "US Forest Service, Wood Handbook (FPL-GTR-190, 2010), density relation, ch. 4"

STRAIGHT = (Fraction(6), Fraction(14))
"""Moisture contents [%] between which the coefficient holds. Source: Wood Handbook (2010), ch. 13."""

WATER = Fraction("62.43")
"""Weight of a cubic foot of water [lb]. Source: Wood Handbook (2010), density relation."""


class Cut(Enum):
    """How the boards were sawn: which way the growth rings run in the face."""

    FLAT = "flat-sawn"
    QUARTER = "quarter-sawn"


@dataclass(frozen=True, slots=True)
class Species:
    """A wood of data/species.csv. None: not known.

    specific_gravity: at 12 % MC; hardness: side, at 12 % MC [lbf]; shrinkage: green to oven-dry [share];
    coefficient: change of size per percent of moisture; shrinks_below: moisture where shrinkage starts [%].
    """

    name: str
    botanical: str
    is_softwood: bool
    specific_gravity: Fraction | None
    hardness: Fraction | None
    radial_shrinkage: Fraction | None
    tangential_shrinkage: Fraction | None
    radial_coefficient: Fraction | None
    tangential_coefficient: Fraction | None
    shrinks_below: Fraction
    in_light: str
    notes: str
    source: str

    @property
    def where(self) -> str:
        """The symbolic address of its entry in the handbook."""
        return f"handbook:species:{self.name}"

    def shrinkage(self, cut: Cut) -> Fraction | None:
        """Return the total shrinkage across a face so cut [share]."""
        return self.tangential_shrinkage if cut is Cut.FLAT else self.radial_shrinkage

    def coefficient(self, cut: Cut) -> Fraction | None:
        """Return the change of size across a face so cut, per percent of moisture."""
        return self.tangential_coefficient if cut is Cut.FLAT else self.radial_coefficient


@cache
def _species() -> dict[str, Species]:
    """Return every species by name, lower case."""
    return {row["common_name"].casefold(): _read(row) for row in rows("species.csv")}


def _read(row: Mapping[str, str]) -> Species:
    radial, tangential = number(row, "shrink_radial_pct"), number(row, "shrink_tangential_pct")
    return Species(
        name=row["common_name"],
        botanical=row["botanical_name"],
        is_softwood=row["kind"] == "softwood",
        specific_gravity=number(row, "specific_gravity_12pct"),
        hardness=number(row, "side_hardness_lbf_12pct"),
        radial_shrinkage=None if radial is None else radial / 100,
        tangential_shrinkage=None if tangential is None else tangential / 100,
        radial_coefficient=number(row, "dimensional_change_coefficient_radial_CR"),
        tangential_coefficient=number(row, "dimensional_change_coefficient_tangential_CT"),
        shrinks_below=number(row, "shrinkage_starts_at_mc_pct") or Fraction(30),
        in_light=row["light_response"],
        notes=row["notes"],
        source=f"{row['source']}: {row['source_locator']}; {row['confidence']}",
    )


@cache
def species_names() -> tuple[str, ...]:
    """Return the common names, in the order of the table."""
    return tuple(species.name for species in _species().values())


def species(name: str) -> Species:
    """Return a species by its common name, in any case. Raises KeyError for an unknown one."""
    return _species()[name.casefold()]


def find_species(name: str) -> Species | None:
    """Return a species by its common name in any case, None when the table does not have it."""
    return _species().get(name.casefold())


def specific_gravity(wood: Species) -> Figure | None:
    """Return the specific gravity at 12 % MC; None when it is not known."""
    if wood.specific_gravity is None:
        return None
    rule = Rule("weight over that of as much water, at 12 % moisture content", wood.source, wood.where)
    label = f"Specific gravity of {wood.name}"
    return Figure(label, wood.specific_gravity, Unit.SPECIFIC_GRAVITY, rule)


@cache
def weight_per_board_foot(name: str) -> Figure | None:
    """Return the weight of a board foot at 12 % MC [lb/bf]; None when the specific gravity is not known.

    Raises KeyError for an unknown species. Source: Wood Handbook (2010), density relation.
    """
    gravity = specific_gravity(species(name))
    if gravity is None:
        return None
    weight = WATER * gravity.value * Fraction(112, 100) / 12
    words = "62.43 lb of water in a cubic foot × specific gravity × 1.12 for the moisture ÷ 12"
    return Figure(f"Weight of {name}", weight, Unit.POUND_PER_BOARD_FOOT, Rule(words, DENSITY_SOURCE), (gravity,))


def weight(
    name: str, thickness: Figure, width: Figure, length: Figure, pieces: int = 1, *, label: str = "Weight"
) -> Figure | None:
    """Return the weight of wood at its real size and 12 % MC [lb]; None when its density is not known.

    thickness, width, length: real sizes [in], thin stock as thin as it is. Raises KeyError for an unknown
    species.
    """
    each = weight_per_board_foot(name)
    if each is None:
        return None
    value = product(pieces, thickness.value, width.value, length.value, each.value, over=144)
    words = f"{pieces} × thickness × width × length ÷ 144 × weight of a board foot"
    return Figure(label, value, Unit.POUND, Rule(words), (thickness, width, length, each))


def emc_fahrenheit(temperature: Fraction, humidity: Fraction) -> Figure:
    """Return the equilibrium moisture content [% MC].

    temperature [°F], 30 to 210; humidity: relative, as a share from 0 to 1. Raises ValueError outside.
    Source: Wood Handbook (2021), Eq. 4-5 (Hailwood and Horrobin), within 0.1 % MC of Table 4-2 (2010).
    """
    _check_air(temperature, humidity, Fraction(30), Fraction(210), "°F")
    square = temperature * temperature
    value = _hailwood_horrobin(
        humidity,
        330 + Fraction("0.452") * temperature + Fraction("0.00415") * square,
        Fraction("0.791") + Fraction("0.000463") * temperature - Fraction("0.000000844") * square,
        Fraction("6.34") + Fraction("0.000775") * temperature - Fraction("0.0000935") * square,
        Fraction("1.09") + Fraction("0.0284") * temperature - Fraction("0.0000904") * square,
    )
    return _emc(value, typed("Temperature", temperature, Unit.FAHRENHEIT), humidity)


def emc_celsius(temperature: Fraction, humidity: Fraction) -> Figure:
    """Return the equilibrium moisture content [% MC].

    temperature [°C], -1.2 to 99; humidity: relative, as a share from 0 to 1. Raises ValueError outside.
    Source: Wood Handbook (2021), Eq. 4-5 in Celsius, as cited with FPL-RN-0268 (Simpson 1998).
    """
    _check_air(temperature, humidity, Fraction("-1.2"), Fraction(99), "°C")
    square = temperature * temperature
    value = _hailwood_horrobin(
        humidity,
        349 + Fraction("1.29") * temperature + Fraction("0.0135") * square,
        Fraction("0.805") + Fraction("0.000736") * temperature - Fraction("0.00000273") * square,
        Fraction("6.27") - Fraction("0.00938") * temperature - Fraction("0.000303") * square,
        Fraction("1.91") + Fraction("0.0407") * temperature - Fraction("0.000293") * square,
    )
    return _emc(value, typed("Temperature", temperature, Unit.CELSIUS), humidity)


def _check_air(temperature: Fraction, humidity: Fraction, coldest: Fraction, warmest: Fraction, unit: str) -> None:
    if not coldest <= temperature <= warmest:
        raise ValueError(f"the formula holds from {coldest} to {warmest} {unit}, not at {temperature} {unit}")
    if not 0 <= humidity <= 1:
        raise ValueError(f"relative humidity is a share from 0 to 1, not {humidity}")


def _hailwood_horrobin(h: Fraction, w: Fraction, k: Fraction, k1: Fraction, k2: Fraction) -> Fraction:
    """Return EMC [%] from relative humidity [share] and the four terms in temperature."""
    kh = k * h
    one, two = k1 * kh, k1 * k2 * kh * kh
    return 1800 / w * (kh / (1 - kh) + (one + 2 * two) / (1 + one + two))


def _emc(value: Fraction, temperature: Figure, humidity: Fraction) -> Figure:
    words = "what wood settles at in this air: two kinds of bound water by Hailwood and Horrobin"
    came_from = (temperature, typed("Relative humidity", humidity, Unit.SHARE))
    return Figure("Equilibrium moisture", value, Unit.MOISTURE, Rule(words, EMC_SOURCE), came_from)


def movement_by_coefficient(across: Figure, coefficient: Figure, start: Figure, end: Figure) -> Figure:
    """Return how much a width changes [in], positive for swelling: width × coefficient × change of moisture.

    across [in], coefficient [per % MC], start, end [% MC]; good between 6 and 14 % MC.
    Source: Wood Handbook (2010), ch. 13.
    """
    value = across.value * coefficient.value * (end.value - start.value)
    rule = Rule("width × coefficient × change of moisture; a straight line, so an estimate", MOVEMENT_SOURCE)
    return Figure("Movement", value, Unit.INCH, rule, (across, coefficient, start, end))


def movement_by_shrinkage(
    across: Figure, shrinkage: Figure, start: Figure, end: Figure, *, starts_at: Fraction = Fraction(30)
) -> Figure:
    """Return how much a width changes [in], positive for swelling, from total shrinkage.

    across [in], shrinkage: green to oven-dry [share], start, end [% MC] at most starts_at, where shrinkage
    starts [% MC]. Raises ValueError above that. Source: Wood Handbook (2010), ch. 13.
    """
    if max(start.value, end.value) > starts_at:
        raise ValueError(f"wood does not move above {starts_at} % moisture; hand in at most that")
    value = across.value * (end.value - start.value) / (starts_at / shrinkage.value - starts_at + start.value)
    words = f"width × change of moisture ÷ ({starts_at} ÷ shrinkage − {starts_at} + moisture at the start)"
    came_from = (across, shrinkage, start, end)
    return Figure("Movement", value, Unit.INCH, Rule(words, MOVEMENT_SOURCE), came_from)


def movement(wood: Species, cut: Cut, across: Figure, start: Figure, end: Figure) -> Figure | None:
    """Return how much a width of a species changes [in], positive for swelling; None when not known.

    across [in]; start, end [% MC]. Between 6 and 14 % MC by coefficient, beyond that by total shrinkage;
    above the moisture where shrinkage starts nothing moves.
    """
    low, high = STRAIGHT
    coefficient, shrinkage = wood.coefficient(cut), wood.shrinkage(cut)
    is_straight = low <= min(start.value, end.value) and max(start.value, end.value) <= high
    if coefficient is not None and (is_straight or shrinkage is None):
        rule = Rule(f"change per percent of moisture, {cut.value}", wood.source, wood.where)
        figure = Figure(f"Coefficient of {wood.name}", coefficient, Unit.COEFFICIENT, rule)
        return movement_by_coefficient(across, figure, start, end)
    if shrinkage is None:
        return None
    rule = Rule(f"total shrinkage, green to oven-dry, {cut.value}", wood.source, wood.where)
    figure = Figure(f"Shrinkage of {wood.name}", shrinkage, Unit.SHARE, rule)
    green = wood.shrinks_below
    return movement_by_shrinkage(across, figure, _at_most(start, green), _at_most(end, green), starts_at=green)


def _at_most(moisture: Figure, green: Fraction) -> Figure:
    if moisture.value <= green:
        return moisture
    rule = Rule(f"wood does not move above {green} %", SHRINKAGE_SOURCE)
    return Figure(moisture.label, green, Unit.MOISTURE, rule, (moisture,))
