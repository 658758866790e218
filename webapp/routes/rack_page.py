"""What the rack's page shows: boards and sheets by place and material, those that hold every word looked for."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session

from domain.figure import Figure
from domain.job import JobState
from domain.money import Money
from domain.rack import RackPiece, RackPlace, noun, so_many
from domain.rack_list import RackGroup, grouped
from webapp.store import rack as store
from webapp.store.job import search_jobs
from webapp.store.shop import load_practice
from webapp.working import SHOP_PAGES

MOST_SHOWN = 300
GONE = "a job that is removed"


@dataclass(frozen=True)
class JobNames:
    """Names of jobs by id. all_of_them: newest first; still_open: those that something can be set aside for."""

    all_of_them: Mapping[int, str]
    still_open: Mapping[int, str]

    def of(self, job_id: int | None) -> str:
        """Return the name of a job, empty for none."""
        return "" if job_id is None else self.all_of_them.get(job_id, GONE)

    def to_choose(self, *chosen: int | None) -> dict[int, str]:
        """Return the open jobs, and those chosen already whatever became of them."""
        return dict(self.still_open) | {job_id: self.of(job_id) for job_id in chosen if job_id is not None}


@dataclass(frozen=True)
class RackLine:
    """A board or sheet as its row shows it. aside, offcut_of: names of jobs, empty for none."""

    piece: RackPiece
    amount: Figure
    aside: str
    offcut_of: str

    @property
    def words(self) -> str:
        """Return what can be looked for in it, in lower case."""
        piece = self.piece
        said = (piece.mark, piece.material.title, piece.supplier, piece.note, self.aside, self.offcut_of)
        return " ".join(said).casefold()


@dataclass(frozen=True)
class GroupView:
    """Boards or sheets of one material in one place. lines: those shown of them; price, supplier: of every one of them,
    none and empty where they differ.
    """

    group: RackGroup
    lines: tuple[RackLine, ...]

    @property
    def one(self) -> str:
        return noun(self.group.material.kind)

    @property
    def many(self) -> str:
        """Return how many there are of them, shown or not."""
        return so_many(len(self.group.pieces), self.group.material.kind)

    @property
    def price(self) -> Money | None:
        first = self.group.pieces[0].price
        return first if all(piece.price == first for piece in self.group.pieces) else None

    @property
    def supplier(self) -> str:
        first = self.group.pieces[0].supplier
        return first if all(piece.supplier == first for piece in self.group.pieces) else ""


@dataclass(frozen=True)
class RackPage:
    """places: each with its groups; found: how many hold the words, shown: of them; total: on the whole rack."""

    places: tuple[tuple[RackPlace, tuple[GroupView, ...]], ...]
    found: int
    shown: int
    total: int
    words: str
    place: RackPlace | None
    jobs: Mapping[int, str]


@dataclass(frozen=True)
class RackFigures:
    """Figures of the rack that can be opened: of each piece by its id, of each group by its key."""

    pieces: Mapping[str, Figure]
    sums: Mapping[str, Figure]
    tallies: Mapping[str, Figure]


def rack_figures(db: Session, now: datetime) -> RackFigures:
    groups = grouped(store.load_rack(db), load_practice(db))
    return RackFigures(
        {str(one.id): amount for group in groups for one, amount in zip(group.pieces, group.amounts, strict=True)},
        {group.key: group.amount for group in groups},
        {group.key: group.tally for group in groups if group.tally},
    )


SHOP_PAGES["rack"] = rack_figures


def job_names(db: Session) -> JobNames:
    """Return the names of the newest jobs."""
    jobs = search_jobs(db, most=500)
    names = {job.id: f"{job.name}, {job.client.name}" for job in jobs}
    return JobNames(names, {job.id: names[job.id] for job in jobs if job.state is not JobState.CLOSED})


def rack_page(db: Session, words: str = "", place: RackPlace | None = None) -> RackPage:
    """Return what lies on the rack and is seen at the yard, as far as it holds every word and is in the place."""
    rack, names = store.load_rack(db), job_names(db)
    groups = [(group, _lines(group, names)) for group in grouped(rack, load_practice(db))]
    wanted = words.casefold().split()
    found = [
        (group, tuple(line for line in lines if all(word in line.words for word in wanted)))
        for group, lines in groups
        if place in (None, group.place)
    ]
    views = tuple(_shown(found, MOST_SHOWN))
    places = ((one, tuple(view for view in views if view.group.place is one)) for one in RackPlace)
    return RackPage(
        places=tuple((one, group_views) for one, group_views in places if group_views),
        found=sum(len(lines) for _, lines in found), shown=sum(len(view.lines) for view in views), total=len(rack),
        words=words, place=place, jobs=names.still_open,
    )  # fmt: skip


def _lines(group: RackGroup, names: JobNames) -> tuple[RackLine, ...]:
    return tuple(
        RackLine(piece, amount, names.of(piece.set_aside_for), names.of(piece.offcut_of))
        for piece, amount in zip(group.pieces, group.amounts, strict=True)
    )


def _shown(found: Sequence[tuple[RackGroup, tuple[RackLine, ...]]], most: int) -> Iterable[GroupView]:
    """Yield groups that have lines, until so many lines are shown."""
    for group, lines in found:
        if some := lines[:most]:
            yield GroupView(group, some)
        most -= len(some)
