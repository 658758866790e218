"""Sheets needed for a set of sheet parts, by area, kerf, edge trim and usual yield."""

from collections.abc import Sequence
from dataclasses import dataclass

from domain.figure import Figure
from domain.material import Material
from domain.part import Part
from domain.practice import ShopPractice
from domain.problem import Problem


@dataclass(frozen=True, slots=True)
class SheetSize:
    """A full sheet as sold. width, length: figures in inches, the grain along the length."""

    width: Figure
    length: Figure


@dataclass(frozen=True, slots=True)
class SheetNeed:
    """sheets: whole sheets for the parts that fit one; problems: a part that fits none."""

    sheets: Figure
    problems: tuple[Problem, ...] = ()


def sheet_size(material: Material, practice: ShopPractice) -> SheetSize:
    """Return the sheet size the shop buys of a sheet material."""
    raise NotImplementedError


def sheets_needed(parts: Sequence[Part], practice: ShopPractice) -> SheetNeed:
    """Return whole sheets for parts that are all of one sheet material.

    Raises ValueError for parts of several materials or none.
    """
    raise NotImplementedError


def sheet_area(part: Part) -> Figure:
    """Return the net area of a part, all of its count [ft²]."""
    raise NotImplementedError


def sheet_weight(part: Part, practice: ShopPractice) -> Figure:
    """Return the weight of a sheet part, all of its count [lb]."""
    raise NotImplementedError
