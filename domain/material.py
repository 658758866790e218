"""What is bought: boards, sheets, glue, finish, fasteners and the rest, each in its base unit."""

from dataclasses import dataclass
from enum import Enum

from domain.figure import Unit


class MaterialKind(Enum):
    LUMBER = "lumber"  # name: species; size: rough quarter such as 8/4; grade: FAS
    SHEET = "sheet"  # name: maple plywood; size: nominal thickness; grade: width x length if not the usual, 60 x 60
    GLUE = "glue"  # name: family in data/adhesives.csv
    FINISH = "finish"  # name: family in data/finishes.csv
    FASTENER = "fastener"  # name: biscuit, wood screw; size: #20, #8 x 1-1/4
    EDGE_STRIP = "edge strip"  # name: maple edge strip; size: 7/8
    ABRASIVE = "abrasive"  # name: sanding disc; size: 120
    HARDWARE = "hardware"  # name: drawer slide pair; size: 21
    OTHER = "other"


BASE_UNIT = {
    MaterialKind.LUMBER: Unit.BOARD_FOOT,
    MaterialKind.SHEET: Unit.SHEET,
    MaterialKind.GLUE: Unit.FLUID_OUNCE,
    MaterialKind.FINISH: Unit.GALLON,
    MaterialKind.FASTENER: Unit.EACH,
    MaterialKind.EDGE_STRIP: Unit.FOOT,
    MaterialKind.ABRASIVE: Unit.EACH,
    MaterialKind.HARDWARE: Unit.EACH,
    MaterialKind.OTHER: Unit.EACH,
}


@dataclass(frozen=True, slots=True)
class Material:
    """A thing to buy, told apart by kind, name, size and grade. Prices and stock refer to it by its key."""

    kind: MaterialKind
    name: str
    size: str = ""
    grade: str = ""

    def __post_init__(self) -> None:
        if not self.name or any("|" in part for part in (self.name, self.size, self.grade)):
            raise ValueError(f"a material needs a name, and no part of it may hold “|”: {self!r}")

    @property
    def key(self) -> str:
        return "|".join((self.kind.value, self.name, self.size, self.grade))

    @classmethod
    def from_key(cls, key: str) -> "Material":
        """Return the material of a key. Raises ValueError for text that is no key."""
        kind, name, size, grade = key.split("|")
        return cls(MaterialKind(kind), name, size, grade)

    @property
    def unit(self) -> Unit:
        return BASE_UNIT[self.kind]

    @property
    def title(self) -> str:
        """Return the material as the shop says it: `8/4 White oak FAS`, `120 grit sanding disc`."""
        unit = _SIZE_UNIT.get(self.kind, "") if self.size.replace("/", "").replace(" ", "").isdecimal() else ""
        return " ".join(part for part in (self.size, unit, self.name, self.grade) if part)

    @property
    def trade_words(self) -> str:
        """Return the material as a supplier is asked for it: `8/4 FAS White oak`, `3/4 in maple plywood`."""
        name, size = f"{self.name[:1].upper()}{self.name[1:]}", self.size
        if self.kind is MaterialKind.LUMBER:
            return " ".join(filter(None, (size, self.grade, name)))
        if self.kind is MaterialKind.ABRASIVE:
            return ", ".join(filter(None, (name, f"{size} grit" if size else "", self.grade)))
        if self.kind in _SIZED_IN_INCHES and size.replace("/", "").replace(" ", "").isdecimal():
            size = f"{size} in"
        if self.kind is MaterialKind.HARDWARE:
            return ", ".join(filter(None, (name, size, self.grade)))
        return " ".join(filter(None, (size, self.name if size else name, self.grade)))


_SIZE_UNIT = {MaterialKind.ABRASIVE: "grit", MaterialKind.HARDWARE: "in"}
_SIZED_IN_INCHES = (MaterialKind.SHEET, MaterialKind.EDGE_STRIP, MaterialKind.HARDWARE)
