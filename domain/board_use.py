"""The real yield of finished jobs: what was cut up for a wood, against what its parts needed."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from domain.exact import summed
from domain.figure import Figure, Rule, Unit, add_up, count
from domain.material import Material
from domain.order import Order
from domain.practice import ShopPractice
from domain.rack import RackPiece, serves

ENOUGH_JOBS = 3
"""Fewer jobs say little of the next one: common practice, no source."""


@dataclass(frozen=True, slots=True)
class BoardUse:
    """What a job really took of a wood. job: its name; net: in its rough parts; used: cut up for them [bf].

    Raises ValueError when nothing was in the parts, or so little was cut up that they cannot come from it.
    """

    id: int
    job_id: int
    job: str
    material: Material
    net: Fraction
    used: Fraction
    note: str = ""
    version: int = 1

    def __post_init__(self) -> None:
        if self.net <= 0 or self.used < least_used(self.net):
            raise ValueError(f"parts of {self.net} bf are not cut from {self.used} bf")

    @property
    def where(self) -> str:
        return f"job:{self.job_id}:board-use"


def least_used(net: Fraction) -> Fraction:
    """Return the least that can have been cut up for a net quantity [bf].

    It may be less than the net, which holds a kerf and a trim for every part that one cut often serves for two; half
    of it is a slip of the pen. Common practice, no source.
    """
    return net / 2


@dataclass(frozen=True, slots=True)
class OwnYield:
    """What the shop's own jobs gave of a wood and grade. share: of what was cut up, in the parts; jobs: behind it;
    lowest, highest: of one job; each: of every job, as recorded.
    """

    share: Figure
    jobs: Figure
    lowest: Figure
    highest: Figure
    each: tuple[Figure, ...]

    @property
    def suggested(self) -> Figure:
        """Return the yield to reckon with: never more than what is bought."""
        if self.share.value <= 1:
            return self.share
        return Figure(self.share.label, Fraction(1), Unit.SHARE, Rule("at most all of what is bought"), (self.share,))

    @property
    def is_thin(self) -> bool:
        """Whether too few jobs stand behind it to lean on."""
        return self.jobs.value < ENOUGH_JOBS

    @property
    def words(self) -> str:
        """Return how many jobs stand behind it and how far apart they are, for a maker to read."""
        many = int(self.jobs.value)
        if many == 1:
            return "from 1 job; a single job says little of the next"
        spread = f"{_percent(self.lowest.value)} to {_percent(self.highest.value)}"
        thin = f"; fewer than {ENOUGH_JOBS} jobs say little" if self.is_thin else ""
        return f"from {many} jobs, which gave {spread}{thin}"


def suggested_yield(uses: Iterable[BoardUse], material: Material) -> Figure | None:
    """Return the yield the shop's own jobs suggest for a wood and grade, of any thickness [share]; None without jobs.

    At most 1, since what is bought is net ÷ this yield; it opens to its jobs.
    """
    found = own_yield(uses, material)
    return found.suggested if found else None


def own_yields(uses: Sequence[BoardUse]) -> Mapping[tuple[str, str], Figure]:
    """Return the yields the shop's own jobs suggest, by species and grade [share]."""
    found = {(use.material.name, use.material.grade): suggested_yield(uses, use.material) for use in uses}
    return {wood: share for wood, share in found.items() if share}


def own_yield(uses: Iterable[BoardUse], material: Material) -> OwnYield | None:
    """Return the yield of the shop's own jobs of a wood and grade, with their number and spread; None without jobs."""
    by_job: dict[int, list[BoardUse]] = {}
    for use in uses:
        if _is_alike(use.material, material):
            by_job.setdefault(use.job_id, []).append(use)
    if not by_job:
        return None
    each = tuple(_yield(of_job[0].job, of_job) for of_job in by_job.values())
    by_value = sorted(each, key=lambda one: one.value)
    jobs = count("Jobs behind it", len(each), "finished jobs whose use of this wood and grade was recorded")
    wood = " ".join(filter(None, (material.name, material.grade)))
    every = [use for of_job in by_job.values() for use in of_job]
    total = _share(f"Our own yield of {wood}", every, (jobs, *each))
    found = OwnYield(total, jobs, by_value[0], by_value[-1], each)
    return replace(found, share=replace(total, rule=replace(total.rule, words=f"{total.rule.words}, {found.words}")))


def yield_of(use: BoardUse) -> Figure:
    """Return what part of the boards cut up is in the parts of one wood of a job [share]."""
    return _yield(use.material.title, (use,))


def received(orders: Iterable[Order], material: Material) -> Figure | None:
    """Return what came with a job's orders of a wood, thickness and grade [bf]; None when nothing came."""
    lines = [
        _came(order, line.received * line.package_quantity)
        for order in orders
        for line in order.lines
        if line.received and line.material == material
    ]
    return add_up("Came with the orders", lines, Unit.BOARD_FOOT) if lines else None


def cut_from_rack(rack: Iterable[RackPiece], job_id: int, practice: ShopPractice) -> Figure | None:
    """Return the boards among these that were cut up for a job [bf]; None when none was."""
    return _sum("Cut from the rack", (one for one in rack if one.cut_for == job_id), practice)


def put_back(rack: Iterable[RackPiece], job_id: int, practice: ShopPractice) -> Figure | None:
    """Return the offcuts of a job among these that lie on the rack [bf]; None when none does."""
    return _sum("Offcuts put back on the rack", (one for one in rack if one.offcut_of == job_id), practice)


def by_wood(rack: Iterable[RackPiece], woods: Sequence[Material]) -> dict[Material, list[RackPiece]]:
    """Return the boards that count for each wood of a job: of that very grade, else of one that it serves for."""
    found: dict[Material, list[RackPiece]] = {wood: [] for wood in woods}
    for piece in rack:
        same = piece.material if piece.material in found else None
        if wood := same or next((wood for wood in woods if serves(piece, wood)), None):
            found[wood].append(piece)
    return found


def likely_used(taken: Figure | None, back: Figure | None) -> Figure | None:
    """Return what was probably cut up: boards taken less offcuts put back [bf]; None when it cannot be told."""
    if taken is None or back is None:
        return taken
    if taken.value <= back.value:
        return None
    rule = Rule(f"{taken.label[:1].lower()}{taken.label[1:]}, less offcuts put back")
    return Figure("Cut up", taken.value - back.value, Unit.BOARD_FOOT, rule, (taken, back))


def _is_alike(one: Material, other: Material) -> bool:
    return (one.kind, one.name.casefold(), one.grade) == (other.kind, other.name.casefold(), other.grade)


def _yield(label: str, uses: Sequence[BoardUse]) -> Figure:
    return _share(label, uses, tuple(_parts(uses)), where=uses[0].where)


def _parts(uses: Iterable[BoardUse]) -> Iterator[Figure]:
    """Yield what went into a job's parts and what was cut up for them, each as it was recorded."""
    for use in uses:
        said = Rule("recorded", "typed", use.where)
        yield Figure(f"{use.material.title} in the parts", use.net, Unit.BOARD_FOOT, said)
        yield Figure(f"{use.material.title} cut up", use.used, Unit.BOARD_FOOT, said)


def _share(label: str, uses: Sequence[BoardUse], came_from: tuple[Figure, ...], *, where: str = "") -> Figure:
    value = summed(use.net for use in uses) / summed(use.used for use in uses)
    rule = Rule("net in the rough parts ÷ what was cut up", "our own jobs", where)
    return Figure(label, value, Unit.SHARE, rule, came_from)


def _came(order: Order, feet: Fraction) -> Figure:
    rule = Rule(f"came with {order.number} from {order.supplier}", "orders", f"order:{order.id}")
    return Figure(f"Order {order.number}", feet, Unit.BOARD_FOOT, rule)


def _sum(label: str, rack: Iterable[RackPiece], practice: ShopPractice) -> Figure | None:
    boards = [one.quantity(practice) for one in rack]
    return add_up(label, boards, Unit.BOARD_FOOT) if boards else None


def _percent(share: Fraction) -> str:
    return f"{round(share * 100)} %"
