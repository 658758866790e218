"""The shop's operations: what hands do, how it is counted, and how long it takes."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from domain.figure import Unit


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation of the catalogue. unit: what its quantity counts.

    starting_setup, starting_each: our starting values [min], offered but never used until the shop takes them;
    they have no source (none was found): a shop measures its own.
    """

    key: str
    name: str
    unit: Unit
    per: str  # what one unit is, in words: `board`, `ft of joint`, `ft² and coat`
    starting_setup: Fraction
    starting_each: Fraction
    crew: int = 1


@dataclass(frozen=True, slots=True)
class OperationTime:
    """What the shop says an operation takes: minutes to set up once per piece, minutes per unit, people at once.

    None means nobody has said yet: never a silent zero.
    """

    setup: Fraction | None = None
    each: Fraction | None = None
    crew: int = 1


OPERATIONS: Mapping[str, Operation] = {}
