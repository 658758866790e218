"""Faces and coats to gallons, and how long a coat takes to dry, recoat and cure."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from domain.figure import Figure
from domain.part import Face, FinishChoice
from domain.practice import ShopPractice
from domain.problem import Problem

Range = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Finish:
    """A finish family, by chemistry. None: not known, or does not apply. The label governs.

    coverage_first, coverage_next [ft²/gal]; coats: least, typical, most; min_recoat, max_recoat [h];
    dry_to_handle [h]; full_cure [days]; temperature [°C]; humidity: most at application [share].
    """

    family: str
    chemistry: str
    coverage_first: Range
    coverage_next: Range | None
    coats: tuple[int, int, int]
    min_recoat: Fraction
    max_recoat: Fraction | None
    dry_to_handle: Fraction
    full_cure: Range | None
    temperature: Range
    humidity: Fraction | None
    resistance: str
    hazards: str
    notes: str
    source: str

    @property
    def is_colour(self) -> bool:
        """Whether it is a stain, which needs a topcoat."""
        raise NotImplementedError

    @property
    def is_sprayed(self) -> bool:
        raise NotImplementedError

    @property
    def makes_oily_rags(self) -> bool:
        raise NotImplementedError


def finish_families() -> tuple[str, ...]:
    """Return the topcoat families."""
    raise NotImplementedError


def colour_families() -> tuple[str, ...]:
    """Return the stain families."""
    raise NotImplementedError


def finish(family: str) -> Finish:
    """Return a finish or stain family. Raises KeyError for an unknown one."""
    raise NotImplementedError


def area(faces: Iterable[Face]) -> Figure:
    """Return the area of faces [ft²]."""
    raise NotImplementedError


def gallons(area: Figure, coats: int, family: str, practice: ShopPractice) -> Figure:
    """Return the finish for an area in so many coats [gal], the first coat with its own coverage, loss added."""
    raise NotImplementedError


def finish_needed(faces: Iterable[Face], practice: ShopPractice) -> Mapping[str, Figure]:
    """Return gallons by family, stain coats included."""
    raise NotImplementedError


def recoat_opens(family: str, practice: ShopPractice) -> Figure:
    """Return the least time between coats [h]."""
    raise NotImplementedError


def recoat_closes(family: str, practice: ShopPractice) -> Figure | None:
    """Return the longest time until the next coat without scuffing [h]; None when it never closes."""
    raise NotImplementedError


def dry_to_handle(family: str, practice: ShopPractice) -> Figure:
    """Return the time until a coated piece can be handled [h]."""
    raise NotImplementedError


def full_cure(family: str, practice: ShopPractice) -> Figure | None:
    """Return the time until full cure [days]; None for a finish that never cures."""
    raise NotImplementedError


def finish_problems(choice: FinishChoice) -> tuple[Problem, ...]:
    """Return what would not work about a choice: stain without topcoat, a film over an oil that never cures."""
    raise NotImplementedError


def discs_needed(area: Figure, grit: str, practice: ShopPractice) -> Figure:
    """Return the sanding discs of one grit [each]."""
    raise NotImplementedError


def scuff_sheets_needed(area: Figure, times: int, practice: ShopPractice) -> Figure:
    """Return 9 x 11 in sheets for scuffing an area between coats [each]."""
    raise NotImplementedError
